"""What lies over the chart for a while: the slip, the tape and the path of a needleful."""

from dataclasses import replace
from pathlib import Path

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from stitchview.chart.fileformat import read_chart, write_chart
from stitchview.follow.clothpatch import OPEN_SQUARE
from stitchview.ui.patchdialog import PatchDialog
from tests.journeys.effects_at_the_cloth import slip_of, take_in_hand, tape_of
from tests.journeys.sofa import Sofa


def choose_in_key(sofa: Sofa, number: int) -> None:
    """Click a thread in the list of the key."""
    keys = sofa.window.panels.keys
    index = keys.model.index(keys.model.place_of(number))
    keys.list.scrollTo(index)
    place = keys.list.visualRect(index).center()
    QTest.mouseClick(keys.list.viewport(), Qt.MouseButton.LeftButton, pos=place)


def test_a_path_goes_with_its_thread(sofa: Sofa, harbour: Path) -> None:
    """Put down by key, by a click in the key, or changed for another: slip and path go at once."""
    sofa.sit_down(harbour)
    number = take_in_hand(sofa)

    def put_down_by_click() -> None:
        choose_in_key(sofa, number)

    def change_by_click() -> None:
        choose_in_key(sofa, number % len(sofa.desk.chart.key) + 1)

    def put_down_by_menu() -> None:
        sofa.choose("put-thread-down")

    for letting_go in (put_down_by_click, change_by_click, put_down_by_menu):
        sofa.sitting.take_thread(number, go_there=False)
        sofa.canvas.setFocus()
        sofa.press("E")
        assert len(sofa.canvas.showing.signs.route) > 10
        assert "Next needleful" in slip_of(sofa)
        letting_go()
        assert sofa.works.holding.thread != number
        assert sofa.canvas.showing.signs.route == ()
        assert slip_of(sofa) == ""


def patch_of(sofa: Sofa) -> PatchDialog:
    """The dialog that looks for a patch of the cloth, opened by key."""
    sofa.canvas.setFocus()
    sofa.choose("find-place")
    dialog = sofa.works.cloth.finding.dialog
    assert dialog is not None
    return dialog


def test_what_lies_over_the_chart_is_there_next_evening(sofa: Sofa, harbour: Path) -> None:
    """A fixed tape, a path that is half worked and a half-filled patch: she goes on where she stopped."""
    sofa.sit_down(harbour)
    number = take_in_hand(sofa)
    sofa.press("E")
    route, slip = sofa.canvas.showing.signs.route, slip_of(sofa)
    for square in route[:4]:
        sofa.mark(square)
    sofa.put_pointer((20, 20))
    sofa.press("R", "Shift+Right", "Shift+Down", "R")
    dialog = patch_of(sofa)
    dialog.grid.put(2, 3, number)
    dialog.grid.put(3, 3, 0)
    draft = dialog.grid.draft.copy()
    dialog.close()
    assert sofa.get_up()
    sofa.sit_down(harbour)
    assert sofa.canvas.showing.signs.route == route
    assert tape_of(sofa) == ((20, 20), (21, 21))
    assert slip.split(";", maxsplit=1)[0] in slip_of(sofa)
    assert "1 column right, 1 row down" in slip_of(sofa)
    assert np.array_equal(patch_of(sofa).grid.draft, draft)
    patch_of(sofa).close()
    assert sofa.sitting.give_up()
    assert sofa.sitting.give_up()
    assert sofa.canvas.showing.signs.route == ()
    assert sofa.get_up()
    sofa.sit_down(harbour)
    assert sofa.canvas.showing.signs.route == ()
    assert tape_of(sofa) is None


def test_a_path_over_stitches_that_were_corrected_away_is_gone(sofa: Sofa, harbour: Path) -> None:
    """What cannot be worked any more is not proposed; nor is a tape that is led still laid again."""
    sofa.sit_down(harbour)
    take_in_hand(sofa)
    sofa.press("E")
    column, row = sofa.canvas.showing.signs.route[3]
    sofa.press("R")
    assert sofa.get_up()
    chart = read_chart(harbour)
    squares = chart.squares.copy()
    squares[row, column] = squares[row, column] % len(chart.key) + 1
    write_chart(replace(chart, squares=squares), harbour)
    sofa.sit_down(harbour)
    assert sofa.canvas.showing.signs.route == ()
    assert slip_of(sofa) == ""
    assert (patch_of(sofa).grid.draft == OPEN_SQUARE).all()
