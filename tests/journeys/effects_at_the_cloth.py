"""What the actions between cloth and chart must come to: set the scene, yield for the key, look."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from stitchview.done.change import DONE
from stitchview.follow.countoffwords import AGREES
from stitchview.follow.habits import Habits
from stitchview.ui.countoffdialog import CountOffDialog
from stitchview.ui.habits import read_habits
from stitchview.ui.habitsdialog import HabitsDialog
from stitchview.ui.landmarkdialog import LandmarkDialog
from stitchview.ui.notesdialog import NotesDialog
from stitchview.ui.patchdialog import PatchDialog
from stitchview.ui.pindialog import PinDialog
from stitchview.ui.settings import open_settings
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
    for box in (dialog.turned, dialog.behind, dialog.one_wrong):
        box.click()
        QTest.mouseClick(dialog.find_button, Qt.MouseButton.LeftButton)
        assert dialog.places.count() >= len(fits)
    assert any("seen from behind" in dialog.places.item(at).text() for at in range(dialog.places.count()))
    sofa.press("Escape")
    assert sofa.canvas.showing.signs.found == ()


def take_in_hand(sofa: Sofa, square: Square = (20, 20)) -> int:
    """Take a stitched square's thread in hand by key; gives its number."""
    row = sofa.desk.chart.squares[square[1]]
    column = next(at for at in range(square[0], len(row)) if row[at])
    sofa.put_pointer((column, square[1]))
    sofa.press("K")
    assert sofa.works.holding.thread == row[column]
    return int(row[column])


def proposes_a_needleful(sofa: Sofa) -> Iterator[None]:
    number = take_in_hand(sofa)
    yield
    route = sofa.canvas.showing.signs.route
    assert len(route) > 10
    assert {sofa.desk.chart.squares[row, column] for column, row in route} == {number}
    assert f"Next needleful: {len(route)} stitches" in slip_of(sofa)
    sofa.press("Escape")
    assert slip_of(sofa) == ""
    assert sofa.works.holding.thread == number


def marks_the_needleful(sofa: Sofa) -> Iterator[None]:
    take_in_hand(sofa)
    sofa.press("E")
    route = sofa.canvas.showing.signs.route
    yield
    assert done_squares(sofa) == set(route)
    assert sofa.canvas.showing.signs.route == ()
    assert [end.used_up for end in sofa.desk.notes.needlefuls] == [False]
    sofa.press("Ctrl+Z")
    assert done_squares(sofa) == set()
    assert sofa.desk.notes.needlefuls == ()


def marks_up_to_here(sofa: Sofa) -> Iterator[None]:
    take_in_hand(sofa)
    sofa.press("E")
    route = sofa.canvas.showing.signs.route
    sofa.put_pointer(route[9])
    before = sofa.works.cloth.needle.estimate.factor
    yield
    assert done_squares(sofa) == set(route[:10])
    assert sofa.works.cloth.needle.estimate.factor > before
    sofa.press("Ctrl+Z")
    assert sofa.works.cloth.needle.estimate.factor == before


def done_squares(sofa: Sofa) -> set[Square]:
    """All squares marked done."""
    return {(int(column), int(row)) for row, column in np.argwhere(sofa.desk.marks.squares == DONE)}


def asks_about_thread(sofa: Sofa) -> Iterator[None]:
    yield
    dialog = sofa.window.findChild(HabitsDialog)
    assert dialog is not None
    sofa.qtbot.waitUntil(dialog.isActiveWindow)
    dialog.length.selectAll()
    sofa.press("3", "0", "0", "Return")
    assert sofa.works.cloth.needle.habits == replace(Habits(), length_mm=300)
    assert read_habits(open_settings()) == sofa.works.cloth.needle.habits


def sticks_a_pin(sofa: Sofa) -> Iterator[None]:
    sofa.put_pointer((20, 20))
    yield
    dialog = sofa.window.findChild(PinDialog)
    assert dialog is not None
    sofa.qtbot.waitUntil(dialog.isActiveWindow)
    sofa.press("M", "A", "S", "T", "Return")
    assert [(pin.name, pin.column, pin.row) for pin in sofa.desk.notes.pins] == [("mast", 20, 20)]
    assert [pin.square for pin in sofa.canvas.showing.signs.pins] == [(20, 20)]
    sofa.choose("undo")
    assert sofa.desk.notes.pins == ()
    assert sofa.canvas.showing.signs.pins == ()


def goes_to_the_next_pin(sofa: Sofa) -> Iterator[None]:
    for square in ((5, 6), (40, 30)):
        sofa.works.cloth.notes.pin(square, "mast", "")
    sofa.put_pointer((5, 6))
    yield
    assert sofa.canvas.showing.pointers.cursor == (40, 30)


def parks_the_thread(sofa: Sofa) -> Iterator[None]:
    number = take_in_hand(sofa)
    square = sofa.canvas.showing.pointers.cursor
    assert square is not None
    yield
    assert [(each.code, each.column, each.row) for each in sofa.desk.notes.parked] == [
        (sofa.desk.chart.key[number - 1].code, *square)
    ]
    assert [each.square for each in sofa.canvas.showing.signs.parks] == [square]
    assert "Parked in this block" in slip_of(sofa)
    sofa.press("1", "Return")
    assert sofa.desk.notes.parked == ()
    assert sofa.canvas.showing.signs.parks == ()
    sofa.press("Ctrl+Z")
    assert len(sofa.desk.notes.parked) == 1


def holds_the_thread_back(sofa: Sofa) -> Iterator[None]:
    number = take_in_hand(sofa)
    yield
    assert sofa.works.cloth.notes.is_held(number)
    model = sofa.window.panels.keys.model
    assert model.row_at(model.place_of(number)).spoken.endswith("held back until last")
    assert [each for each, _ in sofa.works.cloth.notes.held_words()] == [number]
    sofa.press("Y")
    assert sofa.works.cloth.notes.held_words() == ()


def lists_the_notes(sofa: Sofa) -> Iterator[None]:
    notes = sofa.works.cloth.notes
    notes.pin((5, 6), "mast", "foot of it")
    notes.set_held(take_in_hand(sofa), True)
    yield
    dialog = sofa.window.findChild(NotesDialog)
    assert dialog is not None
    sofa.qtbot.waitUntil(dialog.isActiveWindow)
    assert dialog.list.item(0).text() == "Pin 1: mast (column 6, row 7): foot of it"
    assert dialog.list.item(1).text().startswith("Held back: ")
    sofa.press("Return")
    assert sofa.canvas.showing.pointers.cursor == (5, 6)
    QTest.mouseClick(dialog.off, Qt.MouseButton.LeftButton)
    assert sofa.desk.notes.pins == ()
    assert dialog.list.count() == 1
    QTest.mouseClick(dialog.off, Qt.MouseButton.LeftButton)
    assert notes.held_words() == ()
    sofa.press("Escape")


def finds_where_the_count_departs(sofa: Sofa) -> Iterator[None]:
    """Column 20 in its place and 30 one too far right: the dialog tells, and goes between the two."""
    sofa.put_pointer((12, 20))
    yield
    dialog = sofa.window.findChild(CountOffDialog)
    assert dialog is not None
    sofa.qtbot.waitUntil(dialog.isActiveWindow)
    assert (dialog.line.value(), dialog.cloth.value()) == (20, 20)
    sofa.press("Return")
    assert dialog.told.text() == AGREES
    assert (dialog.line.value(), dialog.cloth.value()) == (30, 30)
    sofa.press("3", "1", "Return")
    assert dialog.found.count() == 1
    assert (
        dialog.found.item(0).text().startswith("Between columns 20 and 30 the cloth has 1 column too many.")
    )
    assert (dialog.line.value(), dialog.cloth.value()) == (40, 41)
    sofa.press("2", "0", "Return")
    assert dialog.told.text().startswith("Column 30 and column 40 were counted at 31 and 20:")
    assert dialog.listed.count() == 2
    QTest.mouseClick(dialog.go, Qt.MouseButton.LeftButton)
    assert sofa.canvas.showing.pointers.cursor == (20, 20)
    QTest.mouseClick(dialog.keep, Qt.MouseButton.LeftButton)
    asking = sofa.works.cloth.differing.asking
    assert asking is not None
    columns, rows = sofa.desk.chart.columns, sofa.desk.chart.rows
    assert "would lie 1 column right" in asking.answer.text()
    assert [box.value() for box in (*asking.corner.boxes, *asking.extent.boxes)] == [
        30,
        1,
        columns - 30,
        rows,
    ]
    asking.reject()
    sofa.qtbot.waitUntil(dialog.isActiveWindow)
    dialog.axis.setCurrentIndex(1)
    assert dialog.line.maximum() == sofa.desk.chart.rows
    dialog.listed.setCurrentRow(1)
    QTest.mouseClick(dialog.off, Qt.MouseButton.LeftButton)
    assert dialog.told.text() == AGREES
    assert not dialog.go.isEnabled()
    sofa.press("Escape")
    assert not dialog.isVisible()


AT_THE_CLOTH: dict[str, Scene] = {
    "tape": lays_a_tape,
    "check-stitch": asks_about_a_stitch,
    "count-off": finds_where_the_count_departs,
    "find-place": finds_the_place,
    "needleful": proposes_a_needleful,
    "needleful-worked": marks_the_needleful,
    "used-up": marks_up_to_here,
    "needle-habits": asks_about_thread,
    "pin": sticks_a_pin,
    "next-pin": goes_to_the_next_pin,
    "park": parks_the_thread,
    "hold-back": holds_the_thread_back,
    "notes": lists_the_notes,
}
