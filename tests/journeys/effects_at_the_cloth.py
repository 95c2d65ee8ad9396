"""What the actions between cloth and chart must come to: set the scene, yield for the key, look."""

from collections.abc import Iterator

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from stitchview.ui.landmarkdialog import LandmarkDialog
from stitchview.ui.patchdialog import PatchDialog
from stitchview.ui.slip import Slip
from tests.journeys.effects_of_looking import Scene
from tests.journeys.sofa import Sofa, Square


def slip_of(sofa: Sofa) -> str:
    """What stands on the slip over the chart; nothing while it is away."""
    slip = sofa.sitting.board.findChild(Slip)
    assert isinstance(slip, Slip)
    return slip.text() if slip.isVisible() else ""


def tape_of(sofa: Sofa) -> tuple[Square, Square] | None:
    """The ends of the tape on the canvas."""
    return sofa.canvas.showing.signs.tape


def lays_a_tape(sofa: Sofa) -> Iterator[None]:
    sofa.put_pointer((20, 20))
    yield
    assert tape_of(sofa) == ((20, 20), (20, 20))
    sofa.press("Shift+Right", "Shift+Right", "Shift+Down")
    assert tape_of(sofa) == ((20, 20), (22, 21))
    assert "2 columns right, 1 row down; 1 square diagonal and 1 square straight on" in slip_of(sofa)
    sofa.press("R", "Shift+Right")
    assert tape_of(sofa) == ((20, 20), (22, 21))
    sofa.press("Escape")
    assert tape_of(sofa) is None
    assert slip_of(sofa) == ""
    assert sofa.canvas.showing.pointers.cursor == (23, 21)


def asks_about_a_stitch(sofa: Sofa) -> Iterator[None]:
    sofa.put_pointer((20, 20))
    yield
    dialog = sofa.window.findChild(LandmarkDialog)
    assert dialog is not None
    sofa.qtbot.waitUntil(dialog.isActiveWindow)
    sofa.press("3", "Tab", "Tab", "2")
    assert "Column 24 " in dialog.answer.text()
    assert "row 23 " in dialog.answer.text()
    sofa.press("Return")
    assert not dialog.isVisible()
    assert sofa.canvas.showing.pointers.cursor == (23, 22)


def finds_the_place(sofa: Sofa) -> Iterator[None]:
    chart = sofa.desk.chart
    yield
    dialog = sofa.window.findChild(PatchDialog)
    assert dialog is not None
    sofa.qtbot.waitUntil(dialog.isActiveWindow)
    assert dialog.grid.hasFocus()
    codes = [[chart.key[number - 1].code if number else "." for number in line] for line in chart.squares]
    for row in range(3):
        sofa.press(*codes[30 + row][40:44], *["Left"] * 4, "Down")
    QTest.mouseClick(dialog.find_button, Qt.MouseButton.LeftButton)
    wanted = chart.squares[30:33, 40:44]
    windows = np.lib.stride_tricks.sliding_window_view(chart.squares, (3, 4))
    fits = {(int(column), int(row)) for row, column in np.argwhere((windows == wanted).all(axis=(2, 3)))}
    assert {(area.column, area.row) for area in sofa.canvas.showing.signs.found} == fits
    assert dialog.places.count() == len(fits)
    assert dialog.places.hasFocus()
    sofa.press("Down")
    assert sofa.canvas.showing.pointers.cursor in fits
    sofa.press("Escape")
    assert sofa.canvas.showing.signs.found == ()


AT_THE_CLOTH: dict[str, Scene] = {
    "tape": lays_a_tape,
    "check-stitch": asks_about_a_stitch,
    "find-place": finds_the_place,
}
