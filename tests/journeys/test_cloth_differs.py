"""The cloth differs from the chart: unpicked with its thread noted, or kept beside an untouched chart."""

from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from stitchview.chart.fileformat import read_chart
from stitchview.done.change import DONE, OPEN
from stitchview.done.shapes import Takes, rectangle
from stitchview.ui.differencedialog import LESS, MORE, THREAD
from tests.journeys.effects_of_differing import BLOCK, asked, keep_shifted
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
