"""An evening with runs called out: a pedal's two keys, marks made by hand between, and the next evening."""

from pathlib import Path

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from stitchview.done.change import DONE
from stitchview.follow.heldback import holding_back
from tests.journeys.sofa import Sofa

HERE = (20, 20)
ROWS = slice(16, 26)


def done(sofa: Sofa) -> set[tuple[int, int]]:
    return {(int(column), int(row)) for row, column in np.argwhere(sofa.desk.marks.squares == DONE)}


def begin(sofa: Sofa, path: Path) -> None:
    """Rows 17 to 26, thread 1 in hand, runs called out."""
    sofa.sit_down(path)
    sofa.put_pointer(HERE)
    sofa.press("B", "]", "C")


def test_one_key_works_the_whole_band(sofa: Sofa, harbour: Path) -> None:
    """Pressed until all is called, it has marked every square of the thread in the band and no other."""
    begin(sofa, harbour)
    band = sofa.works.band.band
    for _ in range(400):
        if sofa.canvas.showing.pointers.called is None:
            break
        sofa.press("PgDown")
    wanted = {(int(column), int(row) + 16) for row, column in np.argwhere(sofa.desk.chart.squares[ROWS] == 1)}
    assert done(sofa) == wanted
    assert "is done" in sofa.window.panels.runs.now.text
    assert sofa.works.band.band == band
    sofa.press("PgDown")
    assert sofa.works.band.band != band
    assert done(sofa) == wanted
    assert sofa.window.panels.runs.now.text.startswith("Row 27, from column ")


def test_back_takes_back_as_far_as_she_came(sofa: Sofa, harbour: Path) -> None:
    """As many times back as on leaves nothing marked, and the first run is called again."""
    begin(sofa, harbour)
    first = sofa.window.panels.runs.now.text
    sofa.press(*["PgDown"] * 5)
    assert done(sofa)
    sofa.press(*["PgUp"] * 5)
    assert not done(sofa)
    assert sofa.window.panels.runs.now.text == first
    sofa.press("PgUp")
    assert not done(sofa)


def test_undo_goes_back_to_the_run_too(sofa: Sofa, harbour: Path) -> None:
    """Whoever takes a run back by Ctrl+Z is called the same run again."""
    begin(sofa, harbour)
    areas = []
    for _ in range(3):
        areas.append(sofa.canvas.showing.pointers.called)
        sofa.press("PgDown")
    sofa.press("Ctrl+Z")
    assert sofa.canvas.showing.pointers.called == areas[2]
    sofa.press("Ctrl+Z")
    assert sofa.canvas.showing.pointers.called == areas[1]
    sofa.press("PgUp")
    assert not done(sofa)
    assert sofa.canvas.showing.pointers.called == areas[0]


def test_marks_made_by_hand_are_not_called_again(sofa: Sofa, harbour: Path) -> None:
    """A run she marked with the mouse meanwhile is passed over."""
    begin(sofa, harbour)
    called = sofa.canvas.showing.pointers.called
    assert called is not None
    sofa.press("4", "+", "+", "+", "+")
    sofa.canvas.centre_on(called.column, called.row)
    sofa.click((called.column, called.row))
    after = sofa.canvas.showing.pointers.called
    assert done(sofa)
    assert after is not None
    assert not {(after.column + at, after.row) for at in range(after.columns)} & done(sofa)


def test_the_other_way_begins_at_the_right(sofa: Sofa, harbour: Path) -> None:
    """Right to left the first run of a line is its rightmost; chosen on the strip, kept for next week."""
    begin(sofa, harbour)
    panel = sofa.window.panels.runs
    panel.way.setFocus()
    QTest.keyClick(panel.way, Qt.Key.Key_Down)
    panel.way.activated.emit(panel.way.currentIndex())
    sofa.canvas.setFocus()
    row = next(row for row in range(16, 26) if (sofa.desk.chart.squares[row] == 1).any())
    last = int(np.flatnonzero(sofa.desk.chart.squares[row] == 1)[-1])
    sofa.put_pointer((last, row))
    sofa.press("Shift+C")
    called = sofa.canvas.showing.pointers.called
    assert called is not None
    assert called.right - 1 == last
    assert f"Row {row + 1}, leftwards from column {last + 1}: " in panel.now.text


def test_next_evening_the_same_run_is_called(sofa: Sofa, harbour: Path) -> None:
    """The strip is there again, with the run she stopped at."""
    begin(sofa, harbour)
    sofa.press("PgDown", "PgDown", "I")
    called = sofa.canvas.showing.pointers.called
    assert sofa.get_up()
    sofa.sit_down(harbour)
    assert sofa.window.panels.runs.isVisible()
    assert sofa.window.panels.aside.isVisible()
    assert sofa.canvas.showing.pointers.called == called


def test_without_a_band_or_a_thread_the_strip_says_what_to_do(sofa: Sofa, harbour: Path) -> None:
    """Nothing is marked by the pedal then."""
    sofa.sit_down(harbour)
    sofa.press("C")
    assert "Lay a band" in sofa.window.panels.runs.now.text
    sofa.press("PgDown", "PgUp", "B")
    assert "Take a thread in hand" in sofa.window.panels.runs.now.text
    sofa.press("PgDown")
    assert not done(sofa)
    panel = sofa.window.panels.runs
    panel.whose.setCurrentIndex(1)
    panel.whose.activated.emit(1)
    QTest.mouseClick(panel.step, Qt.MouseButton.LeftButton)
    assert done(sofa)
    QTest.mouseClick(panel.back, Qt.MouseButton.LeftButton)
    assert not done(sofa)
    QTest.mouseClick(panel.stop, Qt.MouseButton.LeftButton)
    assert not panel.isVisible()


def test_threads_held_back_wait(sofa: Sofa, harbour: Path) -> None:
    """With all threads called, what she holds back for the end is not among them."""
    begin(sofa, harbour)
    panel = sofa.window.panels.runs
    panel.whose.setCurrentIndex(1)
    panel.whose.activated.emit(1)
    assert "shade 1" in panel.now.text
    desk = sofa.desk
    desk.note(holding_back(desk.chart, desk.marks.notes, 1, True))
    sofa.sitting.show()
    assert "shade 2" in panel.now.text
    assert not done(sofa)
