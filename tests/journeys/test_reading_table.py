"""The whole way from paper to a chart she trusts: dropped, found, read, named, answered and checked."""

import json
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog
from pytestqt.qtbot import QtBot

from stitchview.chart.fileformat import read_chart
from stitchview.ui.reading.readingwindow import ReadingWindow
from tests.journeys.reader import Reader, right_share
from tests.journeys.sofa import Sofa
from tests.paper.photographing import photographed
from tests.paper.printing import Paper, printed_sheets

LONG_MS = 300_000


def drop_on_the_window(sofa: Sofa, *paths: Path) -> ReadingWindow:
    """Drag pictures over the window and let them fall; gives the reading table that opens."""
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    action, left = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton
    none = Qt.KeyboardModifier.NoModifier
    QApplication.sendEvent(sofa.window, QDragEnterEvent(QPoint(9, 9), action, data, left, none))
    QApplication.sendEvent(sofa.window, QDropEvent(QPointF(9, 9), action, data, left, none))
    table = sofa.window.findChild(ReadingWindow)
    assert table is not None
    assert table.isVisible()
    return table


def read_symbols(table: ReadingWindow, path: Path, qtbot: QtBot) -> None:
    """Press the button once all sheets are found, say where to, and wait for the chart and its looks."""
    qtbot.waitUntil(table.read_button.isEnabled, timeout=LONG_MS)
    QTest.mouseClick(table.read_button, Qt.MouseButton.LeftButton)
    dialog = table.findChild(QFileDialog)
    assert dialog is not None
    dialog.fileSelected.emit(str(path))
    dialog.reject()
    dialog.deleteLater()
    qtbot.waitUntil(lambda: not table.job.busy and table.book.chart is not None, timeout=LONG_MS)
    qtbot.waitUntil(lambda: not table.book.learning, timeout=LONG_MS)
    table.activateWindow()
    qtbot.waitUntil(table.isActiveWindow, timeout=LONG_MS)


def go_the_whole_way(
    sofa: Sofa, pictures: list[Path], truth: NDArray[np.int32], qtbot: QtBot, blank: int = 0
) -> tuple[Reader, Path]:
    """From dropping the pictures to the chart on the window; gives who read it, and the chart's file."""
    sofa.start(None, (1000, 700))
    path = sofa.folder / "read.svchart"
    table = drop_on_the_window(sofa, *pictures)
    read_symbols(table, path, qtbot)
    reader = Reader(table, truth, blank)
    assert reader.chart.squares.shape == truth.shape
    reader.name_piles()
    reader.answer_doubts()
    assert "0 squares left" in table.doubts.left.text()
    assert "No square is in doubt" in table.doubts.asked.text()
    reader.compare_size()
    lines = [table.check.list.item(row).text() for row in range(table.check.list.count())]
    assert lines[0].startswith("✓")
    assert lines[-1].startswith("✓")
    QTest.keyClick(table, Qt.Key.Key_Escape)
    assert not table.isVisible()
    assert sofa.sitting.path == path
    return reader, path


def test_two_photographed_sheets_become_the_chart_that_was_printed(sofa: Sofa, qtbot: QtBot) -> None:
    """Named and answered by keys and presses alone; all but a few squares are as printed."""
    printed = printed_sheets(56, 40, 10, 31, Paper(across=2, overlap=5))
    pictures = []
    for number, page in enumerate(printed.pages):
        pictures.append(sofa.folder / f"sheet {number + 1}.png")
        taken = photographed(page, "careful", 31 + number)
        assert cv2.imwrite(str(pictures[-1]), taken.picture.colour[..., ::-1])
    reader, path = go_the_whole_way(sofa, pictures, printed.content.codes, qtbot)
    final = read_chart(path)
    assert right_share(final, reader) > 0.995
    assert right_share(sofa.desk.chart, reader) == right_share(final, reader)
    assert not len(final.doubts)
    assert len(final.sheets) == 2
    assert not [entry.name for entry in final.key if entry.name.startswith("Symbol ")]


@pytest.mark.parametrize("plate", ["288", "289"])
def test_an_old_plate_becomes_the_chart_that_is_printed(
    sofa: Sofa, shared: Path, qtbot: QtBot, plate: str
) -> None:
    """Source of plate and truth: Encyclopedia of Needlework (1886), Project Gutenberg ebook 20776."""
    told = json.loads((shared / "plates" / f"plate-{plate}.truth.json").read_text("utf-8"))
    letters = np.array([list(row) for row in told["grid"]])
    truth = np.unique(letters, return_inverse=True)[1].reshape(letters.shape).astype(np.int32) + 1
    picture = sofa.folder / f"plate {plate}.jpg"
    picture.write_bytes((shared / "plates" / f"plate-{plate}.jpg").read_bytes())
    # An open square has nothing in it, so that is what no stitch looks like on this paper.
    blank = sorted(set(letters.ravel().tolist())).index("O") + 1
    reader, path = go_the_whole_way(sofa, [picture], truth, qtbot, blank)
    assert right_share(read_chart(path), reader) > 0.985
