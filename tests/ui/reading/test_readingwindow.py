"""The reading table as a whole: charts come off it, in the light and in the dark, by mouse and by key."""

from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractSpinBox, QApplication, QFileDialog, QPushButton
from pytestqt.qtbot import QtBot

from stitchview.ui.reading.readingwindow import ReadingWindow
from stitchview.ui.theme import Theme, apply_theme
from tests.paper.printing import PrintedChart
from tests.ui.reading.conftest import COLUMNS, ROWS, Shelf, photograph
from tests.ui.reading.test_sheetspage import LEFT, LONG_MS, drop, press, settled


def choose_place(table: ReadingWindow, path: Path) -> None:
    """Choose in the dialog that is up where the chart goes."""
    dialog = table.findChild(QFileDialog)
    assert dialog is not None
    assert dialog.acceptMode() is QFileDialog.AcceptMode.AcceptSave
    dialog.fileSelected.emit(str(path))
    dialog.reject()


def read(table: ReadingWindow, button: QPushButton, path: Path, qtbot: QtBot) -> None:
    """Press a button that makes a chart, and wait for it."""
    press(button)
    choose_place(table, path)
    assert table.stop_button.isVisible()
    qtbot.waitUntil(lambda: not table.job.busy, timeout=LONG_MS)


def test_a_sheet_can_be_followed_at_once(
    table: ReadingWindow, shelf: Shelf, picture: Path, tmp_path: Path, qtbot: QtBot
) -> None:
    """The chart has her squares and her picture, and its symbols wait to be read."""
    drop(table, picture)
    settled(table, qtbot)
    read(table, table.follow_button, tmp_path / "harbour.svchart", qtbot)
    ((chart, path),) = shelf.kept
    assert path == tmp_path / "harbour.svchart"
    assert (chart.columns, chart.rows) == (COLUMNS, ROWS)
    assert [entry.name for entry in chart.key] == ["Not read yet"]
    assert (chart.squares == 1).all()
    assert chart.attachments[chart.sheets[0].picture].startswith(b"\xff\xd8")
    assert "open to be followed" in table.said.text()


def test_symbols_of_two_sheets_are_read(
    table: ReadingWindow,
    shelf: Shelf,
    pictures: list[Path],
    printed_on_two: PrintedChart,
    tmp_path: Path,
    qtbot: QtBot,
) -> None:
    """In whatever order they lie, the sheets are joined; nearly every square is in the pile of its sign."""
    drop(table, *reversed(pictures))
    settled(table, qtbot)
    read(table, table.read_button, tmp_path / "harbour.svchart", qtbot)
    ((chart, _),) = shelf.kept
    true = printed_on_two.content.codes
    assert chart.squares.shape == true.shape
    right = sum(
        np.bincount(true[chart.squares == number]).max() for number in np.unique(chart.squares).tolist()
    )
    assert right / true.size > 0.97
    assert "doubtful" in table.said.text()
    assert [sheet.name for sheet in table.sheets.model.sheets] == ["left", "right"]
    left, right = (table.sheets.laid.card(sheet.key) for sheet in table.sheets.model.sheets)
    assert left.geometry().intersects(right.geometry())
    assert left.x() < right.x()


def test_a_sheet_is_added_later_and_a_poor_one_replaced(
    table: ReadingWindow,
    shelf: Shelf,
    pictures: list[Path],
    printed_on_two: PrintedChart,
    tmp_path: Path,
    qtbot: QtBot,
) -> None:
    """The left sheet comes second: addresses stay. A better photograph of it takes its place."""
    path = tmp_path / "harbour.svchart"
    drop(table, pictures[1])
    settled(table, qtbot)
    read(table, table.read_button, path, qtbot)
    first = shelf.kept[-1][0]
    table.book.say(np.array([first.columns * 3 + 7]), 2)
    table.keep()
    shelf.there = first = shelf.kept[-1][0]
    press(table.sheets.remove_button)
    drop(table, pictures[0])
    settled(table, qtbot)
    read(table, table.read_button, path, qtbot)
    shelf.there = both = shelf.kept[-1][0]
    true = printed_on_two.content.codes
    assert both.squares.shape == true.shape
    added = both.columns - first.columns
    assert both.origin == (-added, 0)
    assert both.squares[3, 7 + added] == 2
    better = tmp_path / "better.png"
    photograph(printed_on_two.pages[0], better, seed=7)
    press(table.sheets.remove_button)
    drop(table, better)
    settled(table, qtbot)
    read(table, table.read_button, path, qtbot)
    after = shelf.kept[-1][0]
    assert after.squares.shape == true.shape
    assert after.origin == both.origin
    assert after.squares[3, 7 + added] == 2
    assert len(after.sheets) == 2
    right = sum(np.bincount(true[after.squares == each]).max() for each in np.unique(after.squares).tolist())
    assert right / true.size > 0.97


def test_a_reading_can_be_stopped(
    table: ReadingWindow, shelf: Shelf, picture: Path, tmp_path: Path, qtbot: QtBot
) -> None:
    """Stopped while it reads, nothing is written, and it can be begun anew."""
    drop(table, picture)
    settled(table, qtbot)
    press(table.read_button)
    choose_place(table, tmp_path / "harbour.svchart")
    press(table.stop_button)
    assert "Nothing was written" in table.said.text()
    assert not table.stop_button.isVisible()
    qtbot.wait(200)
    assert not shelf.kept
    assert table.read_button.isEnabled()


def test_sheets_that_do_not_belong_together_say_so(
    table: ReadingWindow, shelf: Shelf, picture: Path, tmp_path: Path, qtbot: QtBot
) -> None:
    """The same sheet twice is one sentence in the foot of the table, and nothing is written."""
    drop(table, picture, picture)
    settled(table, qtbot)
    read(table, table.follow_button, tmp_path / "harbour.svchart", qtbot)
    assert "the same sheet is there twice" in table.said.text()
    assert not shelf.kept


@pytest.mark.parametrize("theme", [Theme.LIGHT, Theme.DARK])
def test_the_table_fits_a_small_screen(
    table: ReadingWindow, picture: Path, qapp: QApplication, qtbot: QtBot, theme: Theme
) -> None:
    """1024 x 600 with a bar and a frame leave 1000 x 540, by day and by night."""
    apply_theme(qapp, theme)
    drop(table, picture)
    settled(table, qtbot)
    least = table.minimumSizeHint()
    assert least.width() <= 1000
    assert least.height() <= 540


def test_the_table_fits_a_small_screen_with_large_letters(
    table: ReadingWindow, picture: Path, qapp: QApplication, qtbot: QtBot
) -> None:
    """Letters 1.6 times as large as usual still leave the table on a screen of 1024 pixels."""
    font = qapp.font()
    font.setPointSizeF(font.pointSizeF() * 1.6)
    qapp.setFont(font)
    apply_theme(qapp, Theme.LIGHT)
    drop(table, picture)
    settled(table, qtbot)
    assert table.minimumSizeHint().width() <= 1000


def test_tab_comes_to_everything_and_enter_presses_nothing(
    table: ReadingWindow, picture: Path, qtbot: QtBot
) -> None:
    """Every field and button that can be used is come to by Tab (WCAG 2.1.1), and has a name."""
    drop(table, picture)
    settled(table, qtbot)
    wanted = {
        widget
        for kind in (QAbstractSpinBox, QPushButton)
        for widget in table.findChildren(kind)
        if widget.isVisible() and widget.isEnabled()
    } | {table.sheets.view, table.sheets.laid.card(1)}
    table.activateWindow()
    table.tabs.setFocus()
    seen = set()
    for _ in range(40):
        QTest.keyClick(QApplication.focusWidget() or table, Qt.Key.Key_Tab)
        seen.add(QApplication.focusWidget())
    assert wanted <= seen
    assert not [button for button in table.findChildren(QPushButton) if button.autoDefault()]
    nameless = [each for each in wanted if not (each.accessibleName() or getattr(each, "text", str)())]
    assert not nameless


def test_escape_puts_the_table_away_and_keeps_what_is_on_it(
    table: ReadingWindow, picture: Path, qtbot: QtBot
) -> None:
    """Opened again, the sheets lie as they lay."""
    drop(table, picture)
    settled(table, qtbot)
    QTest.keyClick(table, Qt.Key.Key_Escape)
    assert not table.isVisible()
    table.show()
    assert [sheet.name for sheet in table.sheets.model.sheets] == ["harbour"]
    QTest.mouseClick(table.sheets.laid.card(table.sheets.model.sheets[0].key), LEFT)
    assert table.sheets.chosen is not None
