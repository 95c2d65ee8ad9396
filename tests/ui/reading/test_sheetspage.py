"""The sheets of the reading table: pictures come in, are found, corrected, put in order and removed."""

from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog
from pytestqt.qtbot import QtBot

from stitchview.ui.reading.cornerview import CornerView
from stitchview.ui.reading.readingwindow import HERS, ReadingWindow
from stitchview.ui.reading.tablesheet import State
from tests.paper.printing import PrintedChart
from tests.ui.reading.conftest import COLUMNS, ROWS, photograph

LEFT = Qt.MouseButton.LeftButton
LONG_MS = 300_000


def drop(window: ReadingWindow, *paths: Path) -> None:
    """Drag files over the table and let them fall."""
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    action, none = Qt.DropAction.CopyAction, Qt.KeyboardModifier.NoModifier
    enter = QDragEnterEvent(QPoint(20, 20), action, data, LEFT, none)
    QApplication.sendEvent(window, enter)
    assert enter.isAccepted()
    QApplication.sendEvent(window, QDropEvent(QPointF(20, 20), action, data, LEFT, none))


def settled(window: ReadingWindow, qtbot: QtBot) -> None:
    """Wait until no picture is being looked at."""
    sheets = window.sheets
    qtbot.waitUntil(
        lambda: bool(sheets.model.sheets) and not any(e.busy for e in sheets.model.sheets), timeout=LONG_MS
    )


def cell(window: ReadingWindow, row: int, column: int) -> str:
    """What stands in a cell of the list."""
    return str(window.sheets.model.data(window.sheets.model.index(row, column), Qt.ItemDataRole.DisplayRole))


def press(button: object) -> None:
    """Click a button."""
    QTest.mouseClick(button, LEFT)  # type: ignore[call-overload]


def test_a_dropped_photograph_is_found(table: ReadingWindow, picture: Path, qtbot: QtBot) -> None:
    """Its columns and rows stand in the list and beside the picture, and a chart can be made at once."""
    drop(table, picture)
    assert not table.follow_button.isEnabled()
    settled(table, qtbot)
    assert [cell(table, 0, column) for column in range(4)] == [
        "harbour",
        f"{COLUMNS} x {ROWS}",
        "Found",
        "none",
    ]
    assert (table.sheets.columns.value(), table.sheets.rows.value()) == (COLUMNS, ROWS)
    assert table.follow_button.isEnabled()
    assert "yours" in HERS


def test_pictures_come_by_the_button_too(table: ReadingWindow, pictures: list[Path], qtbot: QtBot) -> None:
    """Several files chosen at once are all looked at, in their order."""
    press(table.sheets.add_button)
    dialog = table.sheets.findChild(QFileDialog)
    assert dialog is not None
    assert dialog.fileMode() is QFileDialog.FileMode.ExistingFiles
    dialog.filesSelected.emit([str(path) for path in pictures])
    dialog.reject()
    settled(table, qtbot)
    assert [sheet.name for sheet in table.sheets.model.sheets] == ["left", "right"]
    assert [sheet.state for sheet in table.sheets.model.sheets] == [State.FOUND] * 2


def test_the_window_answers_while_pictures_are_looked_at(
    table: ReadingWindow, pictures: list[Path], qtbot: QtBot
) -> None:
    """Keys and clicks are taken in between: sheets can be moved while they are being found."""
    drop(table, *pictures)
    assert any(sheet.busy for sheet in table.sheets.model.sheets)
    press(table.sheets.down_button)
    assert [sheet.name for sheet in table.sheets.model.sheets] == ["right", "left"]
    settled(table, qtbot)
    assert [sheet.name for sheet in table.sheets.model.sheets] == ["right", "left"]
    assert [sheet.found.name for sheet in table.sheets.model.sheets if sheet.found] == ["right", "left"]


def test_a_sheet_is_dragged_to_another_place(
    table: ReadingWindow, pictures: list[Path], qtbot: QtBot
) -> None:
    """Dropped below the last it is the last; dropped on the first it takes that place."""
    drop(table, *pictures)
    settled(table, qtbot)
    sheets = table.sheets.table
    action, none = Qt.DropAction.MoveAction, Qt.KeyboardModifier.NoModifier
    first, nothing = QPointF(20, sheets.rowViewportPosition(0) + 5), QMimeData()
    for row, place, order in (
        (0, QPointF(20, sheets.viewport().height() - 3), ["right", "left"]),
        (1, first, ["left", "right"]),
    ):
        sheets.selectRow(row)
        sheets.dropEvent(QDropEvent(place, action, nothing, LEFT, none))
        assert [sheet.name for sheet in table.sheets.model.sheets] == order
    assert table.sheets.chosen is not None
    assert table.sheets.chosen.name == "left"


def test_each_failing_picture_says_its_sentence(table: ReadingWindow, tmp_path: Path, qtbot: QtBot) -> None:
    """A text, half a picture, a missing file and a blank page: one sentence each, and the table goes on."""
    text, half, blank = tmp_path / "letter.jpg", tmp_path / "half.png", tmp_path / "blank.png"
    text.write_text("Dear aunt", "utf-8")
    Image.fromarray(np.full((900, 700), 240, np.uint8)).save(blank)
    half.write_bytes(blank.read_bytes()[:200])
    drop(table, text, half, blank, tmp_path / "gone.png")
    settled(table, qtbot)
    said = [cell(table, row, 2) for row in range(4)]
    assert "letter.jpg is not a picture" in said[0]
    assert "half.png is damaged" in said[1]
    assert "blank.png shows no chart" in said[2]
    assert "gone.png is not there" in said[3]
    assert not table.follow_button.isEnabled()
    assert "0 of 4" in table.said.text()


def test_stop_stops_and_look_again_goes_on(table: ReadingWindow, pictures: list[Path], qtbot: QtBot) -> None:
    """What was stopped tells nothing more, also when its thread comes to an end later."""
    drop(table, *pictures)
    press(table.sheets.stop_button)
    assert [sheet.state for sheet in table.sheets.model.sheets] == [State.STOPPED] * 2
    assert not table.sheets.stop_button.isEnabled()
    qtbot.wait(300)
    assert [sheet.state for sheet in table.sheets.model.sheets] == [State.STOPPED] * 2
    press(table.sheets.again_button)
    settled(table, qtbot)
    assert [sheet.state for sheet in table.sheets.model.sheets] == [State.FOUND, State.STOPPED]


def test_a_sheet_taken_away_does_not_come_back(
    table: ReadingWindow, pictures: list[Path], qtbot: QtBot
) -> None:
    """Removed while it is being looked for, it stays away, and the next one is chosen."""
    drop(table, *pictures)
    press(table.sheets.remove_button)
    settled(table, qtbot)
    assert [sheet.name for sheet in table.sheets.model.sheets] == ["right"]
    assert table.sheets.chosen is table.sheets.model.sheets[0]


def test_pages_of_a_pdf_get_a_row_each(
    table: ReadingWindow, printed_on_two: PrintedChart, tmp_path: Path, qtbot: QtBot
) -> None:
    """A PDF with two sheets and an empty page between them: two are found, one says that it is none."""
    file = tmp_path / "harbour.pdf"
    pages = [Image.fromarray(page.pixels) for page in printed_on_two.pages]
    pages.insert(1, Image.new("RGB", pages[0].size, "white"))
    pages[0].save(file, save_all=True, append_images=pages[1:], resolution=300)
    drop(table, file)
    settled(table, qtbot)
    assert [sheet.name for sheet in table.sheets.model.sheets] == [f"harbour, page {n}" for n in (1, 2, 3)]
    states = [sheet.state for sheet in table.sheets.model.sheets]
    assert states == [State.FOUND, State.FAILED, State.FOUND]


def test_counts_typed_by_her_are_used(table: ReadingWindow, picture: Path, qtbot: QtBot) -> None:
    """Columns and rows typed and looked again: the sheet has as many as she says."""
    drop(table, picture)
    settled(table, qtbot)
    field = table.sheets.columns
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, str(COLUMNS - 1))
    QTest.keyClick(field, Qt.Key.Key_Tab)
    press(table.sheets.again_button)
    settled(table, qtbot)
    sheet = table.sheets.model.sheets[0]
    assert sheet.told.columns == COLUMNS - 1
    assert sheet.told.rows is None
    assert sheet.state is State.FAILED or sheet.size == f"{COLUMNS - 1} x {ROWS}"


@pytest.mark.parametrize("by_key", [False, True], ids=["by mouse", "by key"])
def test_corners_are_corrected_over_the_picture(
    table: ReadingWindow, printed: PrintedChart, tmp_path: Path, qtbot: QtBot, by_key: bool
) -> None:
    """A corner drawn away and looked again is what the sheet is looked for by; put back, all is found."""
    path = tmp_path / "harbour.png"
    nodes = photograph(printed.pages[0], path)
    drop(table, path)
    settled(table, qtbot)
    view = table.sheets.view
    true = np.array([nodes[0, 0], nodes[0, -1], nodes[-1, -1], nodes[-1, 0]], np.float64)
    assert view.corners is not None
    assert np.abs(view.corners - true).max() < 6
    before = view.corners.copy()
    move = nudge if by_key else drag
    move(view, 1, QPoint(9, 5))
    assert view.corners is not None
    assert np.abs(view.corners - before)[[0, 2, 3]].max() < 1e-6
    assert (view.corners - before)[1].min() > 3
    move(view, 1, QPoint(-9, -5))
    press(table.sheets.again_button)
    settled(table, qtbot)
    sheet = table.sheets.model.sheets[0]
    assert sheet.told.corners is not None
    assert np.abs(sheet.told.corners - true).max() < 12
    assert sheet.size == f"{COLUMNS} x {ROWS}"


def drag(view: CornerView, corner: int, by: QPoint) -> None:
    """Drag a corner's handle with the mouse."""
    place = view.place_of(corner).toPoint()
    QTest.mousePress(view, LEFT, pos=place)
    QTest.mouseMove(view, place + by)
    QTest.mouseRelease(view, LEFT, pos=place + by)


def nudge(view: CornerView, corner: int, by: QPoint) -> None:
    """Choose a corner with Space and move it with the arrow keys."""
    view.setFocus()
    while f"Corner {('top left', 'top right')[corner]}" not in view.accessibleDescription():
        QTest.keyClick(view, Qt.Key.Key_Space)
    for key, steps in (
        (Qt.Key.Key_Right if by.x() > 0 else Qt.Key.Key_Left, abs(by.x())),
        (Qt.Key.Key_Down if by.y() > 0 else Qt.Key.Key_Up, abs(by.y())),
    ):
        for _ in range(steps):
            QTest.keyClick(view, key)
