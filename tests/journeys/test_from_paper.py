"""From a photograph to a chart followed on its picture, marked, then read, with every mark kept."""

from pathlib import Path

import cv2
import numpy as np
import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog, QPushButton
from pytestqt.qtbot import QtBot

from stitchview.chart.fileformat import read_chart
from stitchview.ui.reading.readingwindow import ReadingWindow
from tests.journeys.sofa import Sofa
from tests.paper.photographing import photographed
from tests.paper.printing import PrintedChart, printed_sheets

LONG_MS = 300_000


@pytest.fixture(scope="module")
def printed() -> PrintedChart:
    """A small chart on one sheet."""
    return printed_sheets(30, 40, 9, 5)


@pytest.fixture
def photograph(sofa: Sofa, printed: PrintedChart) -> Path:
    """A careful photograph of it in her folder."""
    path = sofa.folder / "quay.png"
    assert cv2.imwrite(str(path), photographed(printed.pages[0], "careful", 0).picture.colour[..., ::-1])
    return path


def test_a_photograph_is_followed_marked_and_then_read(
    sofa: Sofa, harbour: Path, photograph: Path, printed: PrintedChart, qtbot: QtBot
) -> None:
    """She follows on the picture at once; when the symbols are read, what she has marked is still marked."""
    sofa.sit_down(harbour)
    sofa.press("Ctrl+R")
    table = sofa.window.findChild(ReadingWindow)
    assert table is not None
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(photograph))])
    action, left = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton
    none = Qt.KeyboardModifier.NoModifier
    QApplication.sendEvent(table, QDragEnterEvent(QPoint(9, 9), action, data, left, none))
    QApplication.sendEvent(table, QDropEvent(QPointF(9, 9), action, data, left, none))
    qtbot.waitUntil(table.follow_button.isEnabled, timeout=LONG_MS)
    chart = sofa.folder / "quay.svchart"
    make(table, table.follow_button, chart, qtbot)
    assert sofa.sitting.path == chart
    assert sofa.canvas.showing.look.shown == "picture"
    assert looks_printed(sofa)
    # What turns out to be an empty square has nothing that could be marked.
    marked = np.argwhere(printed.content.codes)[[10, -10]].tolist()
    for row, column in marked:
        sofa.mark((column, row))
    make(table, table.read_button, chart, qtbot)
    assert sofa.sitting.path == chart
    assert np.argwhere(sofa.desk.marks.squares).tolist() == marked
    squares, true = sofa.desk.chart.squares, printed.content.codes
    assert squares.shape == true.shape
    right = sum(np.bincount(true[squares == number]).max() for number in np.unique(squares).tolist())
    assert right / true.size > 0.97
    assert read_chart(chart).sheets[0].read
    assert "Not read yet" not in {entry.name for entry in sofa.desk.chart.key}
    table.reject()


def test_pictures_dropped_on_the_window_open_the_reading_table(
    sofa: Sofa, harbour: Path, photograph: Path, qtbot: QtBot
) -> None:
    """Her chart stays open behind it, and what was dropped is being looked at."""
    sofa.sit_down(harbour)
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(photograph))])
    action, left = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton
    none = Qt.KeyboardModifier.NoModifier
    QApplication.sendEvent(sofa.window, QDragEnterEvent(QPoint(9, 9), action, data, left, none))
    QApplication.sendEvent(sofa.window, QDropEvent(QPointF(9, 9), action, data, left, none))
    table = sofa.window.findChild(ReadingWindow)
    assert table is not None
    assert table.isVisible()
    assert [sheet.name for sheet in table.sheets.model.sheets] == ["quay"]
    assert sofa.sitting.path == harbour
    qtbot.waitUntil(table.follow_button.isEnabled, timeout=LONG_MS)
    table.reject()


def make(table: ReadingWindow, button: QPushButton, path: Path, qtbot: QtBot) -> None:
    """Press a button that makes a chart, say where to, and wait until it is on the window."""
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    dialog = table.findChild(QFileDialog)
    assert dialog is not None
    dialog.fileSelected.emit(str(path))
    dialog.reject()
    dialog.deleteLater()
    qtbot.waitUntil(lambda: not table.job.busy, timeout=LONG_MS)
    QApplication.processEvents()


def looks_printed(sofa: Sofa) -> bool:
    """Whether the canvas shows light paper with dark ink on it, which the symbols of one thread do not."""
    image = sofa.canvas.grab().toImage().convertToFormat(QImage.Format.Format_Grayscale8)
    grey = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), -1)
    x, y = sofa.place_of((10, 10)).x(), sofa.place_of((10, 10)).y()
    around = grey[y - 60 : y + 60, x - 60 : x + 60]
    return bool(np.percentile(around, 80) > 180 and around.min() < 90)
