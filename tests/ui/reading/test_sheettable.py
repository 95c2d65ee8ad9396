"""Sheets beside each other on the table: seen in their place, laid elsewhere by mouse and by keys."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from stitchview.chart.area import Area
from stitchview.chart.model import Chart, KeyEntry, Sheet, Symbol
from stitchview.sheets.lattice import Lattice
from stitchview.sheets.onesheet import flat_of
from stitchview.sheets.reading import FoundSheet
from stitchview.sheets.straightening import Straight
from stitchview.ui.reading.readingwindow import ReadingWindow
from stitchview.ui.reading.sheetcard import SheetCard
from stitchview.ui.reading.sheetjobs import News, Page
from stitchview.ui.reading.tablelayout import LEAST_SIDE, laid_out
from tests.ui.reading.conftest import Shelf

LONG_MS = 60_000
LEFT, SHIFT = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.ShiftModifier
NONE = Qt.KeyboardModifier.NoModifier
PITCH = 12


def sheet(name: str, columns: int, rows: int, first: tuple[int, int] | None) -> FoundSheet:
    """A sheet that was found on grey paper, filled squares strewn over it as its name has it."""
    random = np.random.default_rng(sum(name.encode()))
    across, down = np.meshgrid(np.arange(columns + 1), np.arange(rows + 1))
    nodes = np.stack((across, down), axis=2).astype(np.float32) * PITCH
    filled = np.kron(random.random((rows, columns)) < 0.3, np.ones((PITCH, PITCH)))
    paper = (
        200 - 150 * np.pad(filled, PITCH) + random.normal(0, 4, (PITCH * (rows + 2), PITCH * (columns + 2)))
    )
    grey = paper.clip(0, 255).astype(np.uint8)
    straight = Straight(grey, np.stack([grey] * 3, axis=2), PITCH, PITCH, columns, rows)
    return FoundSheet(name, Lattice(nodes), straight, first)


def lay_on(table: ReadingWindow, *sheets: FoundSheet) -> None:
    """Put sheets on the table that were found already."""
    model = table.sheets.model
    for asking, found in enumerate(sheets, 100 + len(model.sheets)):
        model.add(Path(f"{found.name}.png"), asking)
        model.take(News(Page(asking, 1, 1), found=found, flat=flat_of(found.straight)))
    if table.sheets.chosen is None:
        table.sheets.table.selectRow(0)
    table.activateWindow()
    QApplication.processEvents()


def card(table: ReadingWindow, name: str) -> SheetCard:
    """The card of a sheet."""
    key = next(each.key for each in table.sheets.model.sheets if each.name == name)
    return table.sheets.laid.card(key)


def where(table: ReadingWindow) -> dict[str, tuple[int, int]]:
    """The cell of every sheet."""
    model = table.sheets.model
    return {each.name: cell for each, cell in zip(model.sheets, model.cells, strict=True)}


def press(key: Qt.Key, with_: Qt.KeyboardModifier = NONE) -> None:
    """Press a key on whatever has the keyboard."""
    focused = QApplication.focusWidget()
    assert focused is not None
    QTest.keyClick(focused, key, with_)


def drag(table: ReadingWindow, name: str, to: QPoint) -> None:
    """Take a sheet by its middle and let it go with its middle over a point of the table."""
    held = card(table, name)
    grip = held.rect().center()
    QTest.mousePress(held, LEFT, NONE, grip)
    for part in (2, 1):
        on = held.geometry().center() + (to - held.geometry().center()) / part
        QTest.mouseMove(held, held.mapFromParent(on))
    assert held.held
    QTest.mouseRelease(held, LEFT, NONE, held.rect().center())


@pytest.fixture
def four(table: ReadingWindow) -> ReadingWindow:
    """Four sheets of one size on the table, whose places nobody knows."""
    lay_on(table, *(sheet(name, 30, 40, None) for name in "ABCD"))
    return table


def test_sheets_lie_beside_each_other_in_the_order_given(four: ReadingWindow) -> None:
    """Row by row, none over another, each large enough for a finger, with words for a screen reader."""
    assert where(four) == {"A": (0, 0), "B": (1, 0), "C": (0, 1), "D": (1, 1)}
    rects = [card(four, name).geometry() for name in "ABCD"]
    assert all(min(rect.width(), rect.height()) >= LEAST_SIDE for rect in rects)
    assert not any(one.intersects(two) for one in rects for two in rects if one is not two)
    assert rects[0].right() < rects[1].left()
    assert rects[0].bottom() < rects[2].top()
    assert card(four, "D").accessibleName() == "Sheet D, 30 x 40 squares. Column 2, row 2 of the table."
    assert not four.sheets.table.isVisible()


def test_a_sheet_dropped_on_another_changes_places_with_it(four: ReadingWindow) -> None:
    """The list follows, and the reading is told where each one lies."""
    assert [found.cell for found in four.found] == [None] * 4
    drag(four, "A", card(four, "D").geometry().center())
    assert where(four) == {"D": (0, 0), "B": (1, 0), "C": (0, 1), "A": (1, 1)}
    assert four.sheets.chosen is not None
    assert four.sheets.chosen.name == "A"
    assert card(four, "A").isChecked()
    assert [(found.name, found.cell) for found in four.found] == [
        ("D", (0, 0)),
        ("B", (1, 0)),
        ("C", (0, 1)),
        ("A", (1, 1)),
    ]


def test_a_sheet_dropped_beside_the_others_begins_a_new_column(four: ReadingWindow) -> None:
    """Right of all others it lies in the row it was dropped in; left of all it becomes the first."""
    laid = four.sheets.laid
    drag(four, "C", laid.place_of((2, 0)).toPoint())
    assert where(four) == {"A": (0, 0), "B": (1, 0), "C": (2, 0), "D": (1, 1)}
    drag(four, "D", laid.place_of((-1, 0)).toPoint())
    assert where(four) == {"D": (0, 0), "A": (1, 0), "B": (2, 0), "C": (3, 0)}


def test_a_press_alone_moves_nothing(four: ReadingWindow) -> None:
    """It chooses the sheet, whose picture and counts are shown."""
    before = where(four)
    QTest.mouseClick(card(four, "C"), LEFT)
    assert where(four) == before
    assert [found.cell for found in four.found] == [None] * 4
    assert four.sheets.chosen is not None
    assert four.sheets.chosen.name == "C"
    assert not card(four, "A").isChecked()


def test_escape_puts_a_held_sheet_back(four: ReadingWindow) -> None:
    """Nothing has changed, and the table stays open."""
    before, held = where(four), card(four, "B")
    place = held.geometry()
    QTest.mousePress(held, LEFT, NONE, held.rect().center())
    QTest.mouseMove(held, held.rect().center() + QPoint(60, 60))
    assert held.geometry() != place
    QTest.keyClick(held, Qt.Key.Key_Escape)
    QTest.mouseRelease(held, LEFT, NONE, held.rect().center())
    assert where(four) == before
    assert held.geometry() == place
    assert four.isVisible()


def test_all_of_it_goes_by_keys(four: ReadingWindow) -> None:
    """Arrows go from sheet to sheet, with Shift they lay the chosen one there; Space lets go of nothing."""
    four.sheets.laid.card(four.sheets.model.sheets[0].key).setFocus()
    for key, there in ((Qt.Key.Key_Right, "B"), (Qt.Key.Key_Down, "D"), (Qt.Key.Key_Left, "C")):
        press(key)
        assert QApplication.focusWidget() is card(four, there)
    press(Qt.Key.Key_Space)
    assert card(four, "C").isChecked()
    press(Qt.Key.Key_Up, SHIFT)
    assert where(four) == {"C": (0, 0), "B": (1, 0), "A": (0, 1), "D": (1, 1)}
    press(Qt.Key.Key_Left, SHIFT)
    assert where(four) == {"C": (0, 0), "B": (2, 0), "A": (1, 1), "D": (2, 1)}
    assert QApplication.focusWidget() is card(four, "C")


def test_printed_numbers_lay_the_sheets_as_they_overlap(table: ReadingWindow) -> None:
    """As soon as the numbers around all of them are read, they lie where they show the chart."""
    lay_on(table, sheet("right", 30, 40, (25, 0)), sheet("left", 30, 40, (0, 0)))
    assert where(table) == {"left": (0, 0), "right": (1, 0)}
    left, right = card(table, "left"), card(table, "right")
    both = left.geometry() & right.geometry()
    assert both.width() == pytest.approx(left.width() * 5 / 30, abs=2)
    assert left.shared
    drag(table, "left", right.geometry().center() + QPoint(8, 0))
    assert where(table) == {"right": (0, 0), "left": (1, 0)}
    assert not card(table, "left").geometry().intersects(card(table, "right").geometry())


def test_a_reading_lays_the_sheets_as_they_were_joined(table: ReadingWindow) -> None:
    """Whatever lay beside what before; one more sheet then goes beside them, and one less leaves the rest."""
    lay_on(table, *(sheet(name, 30, 40, None) for name in ("one", "two")))
    drag(table, "one", card(table, "two").geometry().center())
    squares = np.ones((75, 30), np.uint16)
    sheets = Sheet("one", Area(0, 0, 30, 40)), Sheet("two", Area(0, 35, 30, 40))
    chart = Chart(squares, (KeyEntry("a", Symbol("a"), "Sample cotton 1"),), sheets=sheets)
    table.sheets.model.lay_as_read(chart)
    assert where(table) == {"one": (0, 0), "two": (0, 1)}
    assert [found.cell for found in table.found] == [None, None]
    assert card(table, "one").geometry().intersects(card(table, "two").geometry())
    table.sheets.model.lay_as_read(replace(chart, sheets=sheets[:1]))
    assert where(table) == {"one": (0, 0), "two": (0, 1)}
    lay_on(table, sheet("three", 30, 40, None))
    assert len(set(where(table).values())) == 3
    assert not card(table, "one").geometry().intersects(card(table, "two").geometry())
    table.sheets.table.selectRow(2)
    QTest.mouseClick(table.sheets.remove_button, LEFT)
    assert set(where(table)) == {"one", "two"}


def test_the_list_shows_the_same_sheets(four: ReadingWindow) -> None:
    """One button turns the table into the list and back; Later moves the chosen sheet in both."""
    QTest.mouseClick(four.sheets.list_button, LEFT)
    assert four.sheets.table.isVisible()
    assert not card(four, "A").isVisible()
    QTest.mouseClick(four.sheets.down_button, LEFT)
    assert [each.name for each in four.sheets.model.sheets] == ["B", "A", "C", "D"]
    QTest.mouseClick(four.sheets.list_button, LEFT)
    assert where(four) == {"B": (0, 0), "A": (1, 0), "C": (0, 1), "D": (1, 1)}
    assert card(four, "A").isVisible()


def test_many_sheets_scroll_before_they_become_too_small(table: ReadingWindow, qtbot: QtBot) -> None:
    """Forty sheets in a row are each large enough for a finger."""
    wide = laid_out([(30, 40)] * 40, [(at, 0) for at in range(40)], table.size())
    assert min(min(rect.width(), rect.height()) for rect in wide.rects) >= LEAST_SIDE
    assert wide.room.width() > 40 * LEAST_SIDE


def test_strangers_are_joined_where_she_lays_them(
    table: ReadingWindow, shelf: Shelf, tmp_path: Path, qtbot: QtBot
) -> None:
    """Nothing they show tells where they belong: that is said; once she has laid them they are one chart."""
    lay_on(table, sheet("left", 30, 40, None), sheet("right", 20, 40, None))
    table.make_chart(tmp_path / "harbour.svchart", symbols=False)
    qtbot.waitUntil(lambda: not table.job.busy, timeout=LONG_MS)
    assert "drag each sheet to its place" in table.said.text()
    assert not shelf.kept
    drag(table, "left", card(table, "right").geometry().center())
    drag(table, "left", card(table, "right").geometry().center())
    table.make_chart(tmp_path / "harbour.svchart", symbols=False)
    qtbot.waitUntil(lambda: not table.job.busy, timeout=LONG_MS)
    ((chart, _),) = shelf.kept
    assert {each.name: each.area for each in chart.sheets} == {
        "left": Area(0, 0, 30, 40),
        "right": Area(30, 0, 20, 40),
    }
    assert [len(each.doubts) for each in chart.sheets if each.name == "right"] == [1]
    assert where(table) == {"left": (0, 0), "right": (1, 0)}
