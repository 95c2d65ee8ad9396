"""Piles are named and joined and doubts answered with real keys and drops; all of it reaches the chart."""

import io
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image, ImageDraw
from PySide6.QtCore import QMimeData, QPointF, Qt
from PySide6.QtGui import QColor, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QColorDialog

from stitchview.chart.area import Area
from stitchview.chart.model import Chart, KeyEntry, Sheet, Symbol
from stitchview.chart.review import Doubts, Why
from stitchview.ui.reading.pilespage import NUMBER
from stitchview.ui.reading.readingwindow import ReadingWindow
from stitchview.ui.theme import Theme, apply_theme
from tests.ui.reading.conftest import Shelf
from tests.ui.reading.test_sheetspage import press

COLUMNS, ROWS, SIDE = 20, 15, 24
LETTERS = " OXTH"
PATH = Path("harbour.svchart")


@pytest.fixture
def chart() -> Chart:
    """A chart of four piles whose sheet shows letters; twelve doubts, half of them really wrong."""
    random = np.random.default_rng(4)
    true = random.choice(5, (ROWS, COLUMNS), p=[0.1, 0.4, 0.3, 0.15, 0.05]).astype(np.uint16)
    paper = Image.new("RGB", (COLUMNS * SIDE, ROWS * SIDE), "white")
    draw = ImageDraw.Draw(paper)
    for (row, column), code in np.ndenumerate(true):
        box = (column * SIDE, row * SIDE, (column + 1) * SIDE, (row + 1) * SIDE)
        draw.rectangle(box, outline="grey")
        draw.text((box[0] + 8, box[1] + 5), LETTERS[int(code)], fill="black", font_size=14)
    key = tuple(
        KeyEntry(code, Symbol(picture=f"pictures/symbols/{number}.png"), f"Symbol {number}")
        for number, code in enumerate("abcd", 1)
    )
    pictures = {"pictures/sheets/1.png": packed(paper)}
    for number, entry in enumerate(key, 1):
        sign = Image.new("L", (48, 48), 255)
        ImageDraw.Draw(sign).text((14, 8), LETTERS[number], fill=0, font_size=30)
        pictures[entry.symbol.picture] = packed(sign)
    places = np.argwhere(true > 0)[::20][:12]
    rows, columns = places.T.astype(np.int32)
    squares, seconds = true.copy(), true[rows, columns] % 4 + 1
    wrong = np.arange(len(places)) % 2 == 0
    squares[rows[wrong], columns[wrong]] = seconds[wrong]
    seconds[wrong] = true[rows[wrong], columns[wrong]]
    chances = np.linspace(0.9, 0.1, len(places)).astype(np.float32)
    doubts = Doubts(
        columns.copy(),
        rows.copy(),
        chances,
        seconds.astype(np.uint16),
        np.full(len(places), Why.SYMBOL, np.uint8),
    )
    sheet = Sheet("Sheet", Area(0, 0, COLUMNS, ROWS), "pictures/sheets/1.png")
    return Chart(
        squares, key, "Harbour", doubts=doubts, sheets=(sheet,), attachments=pictures, notes=told(true)
    )


def packed(image: Image.Image) -> bytes:
    """A picture as the bytes of a PNG."""
    content = io.BytesIO()
    image.save(content, "PNG")
    return content.getvalue()


def told(true: NDArray[np.uint16]) -> str:
    """The truth, to be looked up by the one who answers."""
    return "\n".join("".join(LETTERS[number] for number in row) for row in true.tolist())


@pytest.fixture
def review(table: ReadingWindow, chart: Chart) -> ReadingWindow:
    """The table with the chart on its pages of piles and doubts."""
    table.review(chart, PATH)
    table.activateWindow()
    return table


def held(review: ReadingWindow) -> Chart:
    """The chart as it stands on the table."""
    assert review.book.chart is not None
    return review.book.chart


def turn(review: ReadingWindow, page: int) -> None:
    """Turn to a page by its key."""
    QTest.keySequence(review, f"Ctrl+{page}")
    assert review.tabs.currentIndex() == page - 1


def words(review: ReadingWindow) -> list[str]:
    """The first lines of the list of piles."""
    return [review.piles.list.item(row).text().split("\n")[0] for row in range(review.piles.list.count())]


def test_piles_are_listed_largest_first_with_their_cut_outs(review: ReadingWindow, chart: Chart) -> None:
    """Each with its count; the chosen one's squares are cut from the paper, doubtful ones first."""
    turn(review, 2)
    assert words(review) == ["Symbol 1", "Symbol 2", "Symbol 3", "Symbol 4"]
    count = int((chart.squares == 1).sum())
    assert f"{count} squares" in review.piles.list.item(0).text()
    assert review.piles.cut_outs.count() == min(count, 120)
    assert "in doubt" in review.piles.cut_outs.item(0).toolTip()
    icon = review.piles.cut_outs.item(review.piles.cut_outs.count() - 1).icon()
    assert not icon.isNull()


def test_a_pile_is_named_by_typing(review: ReadingWindow, shelf: Shelf) -> None:
    """Name and number typed, colour chosen: they are in the key, and in the chart when the table goes."""
    turn(review, 2)
    for field, text in ((review.piles.name, "Sample cotton 17, slate blue"), (review.piles.number, "17")):
        field.setFocus()
        field.selectAll()
        QTest.keyClicks(field, text)
        QTest.keyClick(field, Qt.Key.Key_Tab)
    press(review.piles.colour_button)
    dialog = review.piles.findChild(QColorDialog)
    assert dialog is not None
    dialog.colorSelected.emit(QColor(80, 100, 140))
    dialog.reject()
    assert words(review)[0] == "17 Sample cotton 17, slate blue"
    QTest.keyClick(review, Qt.Key.Key_Escape)
    ((kept, path),) = shelf.kept
    assert path == PATH
    entry = kept.key[0]
    assert (entry.name, entry.number) == ("Sample cotton 17, slate blue", "17")
    assert (entry.colour.red, entry.colour.green, entry.colour.blue) == (80, 100, 140)


@pytest.mark.parametrize("by_drop", [True, False], ids=["by dropping", "by button"])
def test_two_piles_become_one(review: ReadingWindow, chart: Chart, by_drop: bool) -> None:
    """Joined, all squares of the one are the other's; undone, they are two again."""
    turn(review, 2)
    piles = review.piles
    piles.list.setCurrentRow(3)
    if by_drop:
        place = piles.list.visualItemRect(piles.list.item(1)).center()
        action, left = Qt.DropAction.MoveAction, Qt.MouseButton.LeftButton
        data = QMimeData()
        event = QDropEvent(QPointF(place), action, data, left, Qt.KeyboardModifier.NoModifier)
        piles.list.dropEvent(event)
    else:
        piles.into.setCurrentIndex(piles.into.findText("Symbol 2"))
        press(piles.merge_button)
    assert sorted(words(review)) == ["Symbol 1", "Symbol 2", "Symbol 3"]
    after = held(review)
    both = np.isin(chart.squares, [2, 4])
    assert (np.array(["", *(e.name for e in after.key)])[after.squares[both]] == "Symbol 2").all()
    current = piles.list.currentItem()
    assert current is not None
    assert after.key[current.data(NUMBER) - 1].name == "Symbol 2"
    press(piles.undo_button)
    assert held(review) is chart


def test_all_of_a_pile_are_the_same_by_one_key(review: ReadingWindow, chart: Chart) -> None:
    """Its doubts are gone, its squares stay."""
    turn(review, 2)
    before = len(chart.doubts)
    QTest.keySequence(review, "Ctrl+Return")
    after = held(review)
    assert len(after.doubts) < before
    assert not (after.squares[after.doubts.rows, after.doubts.columns] == 1).any()
    assert (after.squares == chart.squares).all()


def test_doubts_are_answered_to_zero_by_one_key_each(
    review: ReadingWindow, chart: Chart, shelf: Shelf
) -> None:
    """Answered by the truth, the count goes down one by one, and the chart is as it is printed."""
    turn(review, 3)
    doubts, truth = review.doubts, chart.notes.split("\n")
    for left in range(len(chart.doubts), 0, -1):
        assert doubts.left.text().startswith(f"{left} square")
        column, row = (
            int(part.split()[1]) - 1 for part in doubts.picture.accessibleName().strip(".").split(",")
        )
        wanted = f"Symbol {LETTERS.index(truth[row][column])}"
        key = "1" if doubts.first.text().endswith(wanted) else "2"
        assert (doubts.first if key == "1" else doubts.second).text().endswith(wanted)
        QTest.keyClick(review, Qt.Key(ord(key)))
    assert "No square is in doubt" in doubts.asked.text()
    review.reject()
    ((kept, _),) = shelf.kept
    assert ["".join(LETTERS[number] for number in row) for row in kept.squares.tolist()] == truth
    assert len(kept.by_hand) == len(chart.doubts)
    assert not len(kept.doubts)


def test_no_stitch_later_and_undo_have_their_keys(review: ReadingWindow, chart: Chart) -> None:
    """3 empties the square, L asks it again at the end, U takes an answer back."""
    turn(review, 3)
    asked = review.doubts.picture.accessibleName()
    QTest.keyClick(review, Qt.Key.Key_L)
    assert review.doubts.picture.accessibleName() != asked
    assert held(review) is chart
    QTest.keyClick(review, Qt.Key.Key_3)
    assert (held(review).squares == 0).sum() == (chart.squares == 0).sum() + 1
    QTest.keyClick(review, Qt.Key.Key_U)
    assert held(review) is chart


def test_another_symbol_is_chosen_from_the_list(review: ReadingWindow, chart: Chart) -> None:
    """4 opens the list of all other piles; the one that is chosen by arrow and Enter is the answer."""
    turn(review, 3)
    other = review.doubts.other
    assert other.count() == 3
    QTest.keyClick(review, Qt.Key.Key_4)
    assert other.view().isVisible()
    name = other.itemText(2)
    QTest.keyClick(other.view(), Qt.Key.Key_Down)
    QTest.keyClick(other.view(), Qt.Key.Key_Down)
    QTest.keyClick(other.view(), Qt.Key.Key_Return)
    ((row, column),) = np.argwhere(held(review).squares != chart.squares)
    assert held(review).key[held(review).squares[row, column] - 1].name == name


def test_like_doubts_are_answered_together(review: ReadingWindow, chart: Chart) -> None:
    """A answers all doubts between the same two piles as the first answer does."""
    turn(review, 3)
    while review.doubts.alike.isHidden():
        QTest.keyClick(review, Qt.Key.Key_L)
    many = int(review.doubts.alike.text().split()[2])
    QTest.keyClick(review, Qt.Key.Key_A)
    assert many > 1
    assert len(held(review).doubts) == len(chart.doubts) - many
    assert (held(review).squares == chart.squares).all()


@pytest.mark.parametrize("theme", [Theme.LIGHT, Theme.DARK])
@pytest.mark.parametrize("page", [2, 3])
def test_the_pages_fit_a_small_screen(
    review: ReadingWindow, qapp: QApplication, theme: Theme, page: int
) -> None:
    """1024 x 600 with a bar and a frame leave 1000 x 540, by day and by night."""
    apply_theme(qapp, theme)
    turn(review, page)
    assert review.minimumSizeHint().width() <= 1000
    assert review.minimumSizeHint().height() <= 540
