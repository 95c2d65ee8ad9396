"""The cloth differs from the chart: unpicked with its thread noted, or kept beside an untouched chart."""

from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor
from PySide6.QtTest import QTest

from stitchview.chart.colour import Colour
from stitchview.chart.fileformat import read_chart
from stitchview.chart.model import OwnEntry
from stitchview.done.change import DONE, OPEN
from stitchview.done.shapes import Takes, rectangle
from stitchview.plan.threads import bought_threads
from stitchview.ui.differencedialog import LESS, MORE, THREAD
from stitchview.ui.planning.insteaddialog import InsteadDialog
from tests.journeys.effects_of_differing import BLOCK, asked, keep_shifted, laid_out_anew
from tests.journeys.sofa import Sofa


def test_unpicked_with_its_thread_noted(sofa: Sofa, harbour: Path) -> None:
    """Unpicking takes the marks off and notes the thread lost; undo brings both back in one step."""
    sofa.sit_down(harbour)
    desk = sofa.desk
    desk.mark(rectangle(desk.chart, BLOCK, Takes()), DONE)
    sofa.put_pointer((BLOCK.column, BLOCK.row))
    sofa.press("Shift+D")
    dialog = asked(sofa)
    for box, value in zip(dialog.extent.boxes, (BLOCK.columns, BLOCK.rows), strict=True):
        box.setValue(value)
    assert dialog.lost.value() > 0
    lost = dialog.lost.value()
    QTest.mouseClick(dialog.unpick, Qt.MouseButton.LeftButton)
    assert (desk.marks.squares[BLOCK.slices()] == OPEN).all()
    assert sum(each.lost_mm for each in desk.notes.unpicked) == pytest.approx(lost * 1000, abs=6)
    numbers = np.unique(desk.chart.squares[BLOCK.slices()])
    names = {desk.chart.key[number - 1].name for number in numbers if number}
    assert names <= {each.name for each in desk.notes.unpicked}
    sofa.qtbot.waitUntil(sofa.window.isActiveWindow, timeout=20000)
    sofa.press("Ctrl+Z")
    assert not desk.notes.unpicked
    assert (desk.marks.squares[BLOCK.slices()] == DONE).any()


def test_a_difference_is_there_next_evening_and_not_in_the_chart(sofa: Sofa, harbour: Path) -> None:
    """Kept, closed and opened again: the cloth still differs, and the chart file is as it was."""
    before = harbour.read_bytes()
    sofa.sit_down(harbour)
    printed = sofa.desk.chart
    sofa.put_pointer((BLOCK.column, BLOCK.row))
    sofa.press("Shift+D")
    keep_shifted(sofa)
    assert sofa.get_up()
    assert harbour.read_bytes() == before
    sofa.sit_down(harbour)
    worked = sofa.desk.chart
    assert worked.printed.squares.tolist() == printed.squares.tolist() == read_chart(harbour).squares.tolist()
    assert worked.squares.tolist() != printed.squares.tolist()
    assert len(sofa.canvas.showing.signs.differ) == 1
    sofa.press("Ctrl+Z")
    sofa.qtbot.waitUntil(lambda: differs(sofa) is False, timeout=20000)
    sofa.press("Ctrl+Shift+Z")
    sofa.qtbot.waitUntil(lambda: differs(sofa) is True, timeout=20000)


def differs(sofa: Sofa) -> bool | None:
    """Whether the cloth differs; None while the chart is being laid out anew."""
    return None if sofa.charts.sitting is None else sofa.desk.chart.worked is not None


def test_what_cannot_be_kept_is_said_before_anything_changes(sofa: Sofa, harbour: Path) -> None:
    """Off the chart, over another difference, onto stitches: a sentence stands there, and Keep is grey."""
    sofa.sit_down(harbour)
    sofa.put_pointer((BLOCK.column, BLOCK.row))
    sofa.press("Shift+D")
    keep_shifted(sofa)
    sofa.put_pointer((BLOCK.column, BLOCK.row))
    sofa.press("Shift+D")
    dialog = asked(sofa)
    assert "differs there already" in dialog.answer.text()
    assert not dialog.keep.isEnabled()
    dialog.corner.boxes[0].setValue(1)
    dialog.corner.boxes[1].setValue(1)
    for box, value in zip(dialog.extent.boxes, (20, 20), strict=True):
        box.setValue(value)
    dialog.across.way.setCurrentIndex(1)
    assert "off the chart" in dialog.answer.text()
    dialog.kind.setCurrentIndex(MORE)
    assert "has one already" in dialog.answer.text()
    dialog.kind.setCurrentIndex(LESS)
    assert "would be left out" in dialog.answer.text()
    dialog.kind.setCurrentIndex(THREAD)
    assert "would be of the other thread" in dialog.answer.text()
    assert dialog.keep.isEnabled()
    dialog.reject()
    assert len(sofa.desk.notes.differences) == 1


def test_a_thread_that_is_not_in_the_key_is_used_in_an_area(sofa: Sofa, harbour: Path) -> None:
    """Typed into the form and kept: it is in key and place line, and next evening; the file is as it was."""
    before = harbour.read_bytes()
    sofa.sit_down(harbour)
    printed, total = sofa.desk.chart, sofa.desk.tally.total().stitches
    square = keep_own_thread(sofa)
    entry = sofa.desk.chart.key[-1]
    assert (entry.name, entry.number, entry.colour) == ("fog", "18", Colour(10, 200, 30))
    assert sofa.desk.chart.key[:-1] == printed.key
    assert sofa.desk.chart.squares[square[1], square[0]] == len(printed.key) + 1
    assert sofa.desk.tally.total().stitches == total
    model = sofa.window.panels.keys.model
    told = model.row_at(model.place_of(len(printed.key) + 1)).small_words
    assert told.startswith("in an area instead of ")
    assert "lot 44B" in told
    sofa.put_pointer(square)
    assert "fog, number 18, in an area instead of" in sofa.window.panels.line.sentence
    assert "fog (18), lot 44B, used" in sofa.window.panels.line.sentence
    assert any(each.name == "fog" for each in bought_threads(sofa.desk.chart))
    assert sofa.get_up()
    assert harbour.read_bytes() == before
    sofa.sit_down(harbour)
    assert sofa.desk.chart.key[-1].name == "fog"


def test_a_thread_of_her_own_is_corrected_and_undone(sofa: Sofa, harbour: Path) -> None:
    """With it in hand its form is there again by the key for another thread; undo goes back to the chart."""
    sofa.sit_down(harbour)
    printed, total = sofa.desk.chart, sofa.desk.tally.total().stitches
    sofa.put_pointer(keep_own_thread(sofa))
    sofa.press("K", "Ctrl+K")
    again = sofa.works.cloth.plan.instead.dialog
    assert again is not None
    sofa.qtbot.waitUntil(again.isActiveWindow, timeout=20000)
    assert (again.name.text(), again.lot.text()) == ("fog", "44B")
    again.lot.setText("45")
    sitting = sofa.sitting
    sofa.press("Return")
    laid_out_anew(sofa, sitting)
    assert isinstance(sofa.desk.chart.key[-1], OwnEntry)
    assert sofa.desk.chart.key[-1].lot == "45"
    for _ in range(2):
        sitting = sofa.sitting
        sofa.qtbot.waitUntil(sofa.window.isActiveWindow, timeout=20000)
        sofa.press("Ctrl+Z")
        laid_out_anew(sofa, sitting)
    assert sofa.desk.chart.key == printed.key
    assert sofa.desk.chart.worked is None
    assert sofa.desk.tally.total().stitches == total


def keep_own_thread(sofa: Sofa) -> tuple[int, int]:
    """Have crosses of the block in a thread that the key has not; gives one of their squares."""
    sofa.put_pointer((BLOCK.column, BLOCK.row))
    sofa.press("Shift+D")
    dialog = asked(sofa)
    for box, value in zip(dialog.extent.boxes, (BLOCK.columns, BLOCK.rows), strict=True):
        box.setValue(value)
    dialog.kind.setCurrentIndex(THREAD)
    dialog.sort.setCurrentIndex(dialog.sort.findData("crosses"))
    sofa.press("Alt+N")
    sofa.qtbot.waitUntil(lambda: sofa.works.cloth.differing.form is not None, timeout=20000)
    form = sofa.works.cloth.differing.form
    assert isinstance(form, InsteadDialog)
    sofa.qtbot.waitUntil(form.isActiveWindow, timeout=20000)
    sofa.press("Return")
    assert "neither name nor number" in form.told.text()
    sofa.press("F", "O", "G")
    form.number.setText("18")
    form.lot.setText("44B")
    form.use_colour(QColor(10, 200, 30))
    sofa.press("Return")
    assert not form.isVisible()
    assert dialog.used.currentText() == "fog"
    assert "would be of the other thread" in dialog.answer.text()
    row, column = np.argwhere(sofa.desk.chart.squares[BLOCK.slices()])[0]
    sitting = sofa.sitting
    QTest.mouseClick(dialog.keep, Qt.MouseButton.LeftButton)
    laid_out_anew(sofa, sitting)
    return int(column) + BLOCK.column, int(row) + BLOCK.row
