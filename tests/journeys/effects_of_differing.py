"""What the actions about cloth and chart that differ must come to: kept, unpicked, listed, taken back."""

from collections.abc import Iterator

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from stitchview.chart.area import Area
from stitchview.done.change import DONE
from stitchview.done.shapes import Takes, rectangle
from stitchview.ui.differencedialog import DifferenceDialog
from stitchview.ui.differencesdialog import DifferencesDialog
from stitchview.ui.sitting import Sitting
from tests.journeys.effects_of_looking import Scene
from tests.journeys.sofa import Sofa

BLOCK = Area(40, 30, 5, 3)


def asked(sofa: Sofa) -> DifferenceDialog:
    """The dialog that asks what differs, once it has the keyboard."""
    dialog = sofa.works.cloth.differing.asking
    assert dialog is not None
    sofa.qtbot.waitUntil(dialog.isActiveWindow, timeout=20000)
    return dialog


def keep_shifted(sofa: Sofa, block: Area = BLOCK) -> None:
    """Say in the open dialog that a block lies one column to the left, and keep it so."""
    before, dialog = sofa.sitting, asked(sofa)
    for box, value in zip(dialog.extent.boxes, (block.columns, block.rows), strict=True):
        box.setValue(value)
    dialog.across.way.setCurrentIndex(1)
    assert "would lie 1 column left" in dialog.answer.text()
    QTest.mouseClick(dialog.keep, Qt.MouseButton.LeftButton)
    laid_out_anew(sofa, before)


def laid_out_anew(sofa: Sofa, before: Sitting) -> None:
    """Wait until the chart is laid out anew and has the keyboard."""
    sofa.qtbot.waitUntil(lambda: sofa.charts.sitting not in (None, before), timeout=20000)
    sofa.qtbot.waitUntil(lambda: QApplication.focusWidget() is not None, timeout=20000)


def keeps_a_difference(sofa: Sofa) -> Iterator[None]:
    """A block one column to the left: its marks, the counts and the place line follow, undo takes it back."""
    desk, chart = sofa.desk, sofa.desk.chart
    desk.mark(rectangle(chart, BLOCK, Takes()), DONE)
    done = desk.tally.total().done
    sofa.put_pointer((BLOCK.column, BLOCK.row))
    yield
    keep_shifted(sofa)
    worked = sofa.desk.chart
    assert worked.printed.squares.tolist() == chart.squares.tolist()
    left = Area(BLOCK.column - 1, BLOCK.row, BLOCK.columns, BLOCK.rows)
    assert np.array_equal(worked.squares[left.slices()], chart.squares[BLOCK.slices()])
    assert not worked.squares[BLOCK.slices()][:, -1].any()
    stitched = worked.squares[left.slices()] > 0
    assert ((sofa.desk.marks.squares[left.slices()] == DONE) == stitched).all()
    assert sofa.desk.tally.total().done == done
    assert len(sofa.canvas.showing.signs.differ) == 1
    sofa.put_pointer((left.column, left.row))
    assert "Here the cloth differs: block lies 1 column left" in sofa.window.panels.line.sentence
    before = sofa.sitting
    sofa.press("Ctrl+Z")
    laid_out_anew(sofa, before)
    assert sofa.desk.chart.worked is None
    assert sofa.desk.marks.squares[BLOCK.slices()].any()
    assert not sofa.canvas.showing.signs.differ


def lists_differences(sofa: Sofa) -> Iterator[None]:
    """Kept ones are listed, gone to and taken back from there, and the list stays open."""
    sofa.put_pointer((BLOCK.column, BLOCK.row))
    sofa.press("Shift+D")
    keep_shifted(sofa)
    yield
    found = [each for each in sofa.window.findChildren(DifferencesDialog) if each.isVisible()]
    assert len(found) == 1
    listed = found[0]
    assert listed.list.count() == 1
    assert "Block lies 1 column left (columns 41 to 45, rows 31 to 33)" in listed.list.item(0).text()
    QTest.mouseClick(listed.go, Qt.MouseButton.LeftButton)
    assert sofa.canvas.showing.pointers.cursor == (BLOCK.column - 1, BLOCK.row)
    before = sofa.sitting
    QTest.mouseClick(listed.back, Qt.MouseButton.LeftButton)
    laid_out_anew(sofa, before)
    assert not sofa.desk.notes.differences
    again = sofa.works.cloth.differing.listing
    assert again is not None
    assert again.isVisible()
    assert again.list.count() == 0
    again.close()


DIFFERING: dict[str, Scene] = {
    "differs-here": keeps_a_difference,
    "differences": lists_differences,
}
