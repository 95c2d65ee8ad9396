"""Piles are named, joined and parted with real keys, presses and drops; all of it reaches the chart."""

from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw
from PySide6.QtCore import QMimeData, QPointF, Qt
from PySide6.QtGui import QColor, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QColorDialog, QFileDialog

from stitchview.chart.model import Chart
from stitchview.ui.reading.pilelist import NUMBER
from stitchview.ui.reading.readingwindow import ReadingWindow
from tests.ui.reading.conftest import Shelf
from tests.ui.reading.letters import LEFT, PATH, held, turn
from tests.ui.reading.test_sheetspage import press


def words(review: ReadingWindow) -> list[str]:
    """The first lines of the list of piles."""
    return [review.piles.list.item(row).text().split("\n")[0] for row in range(review.piles.list.count())]


def test_piles_are_listed_largest_first_with_their_cut_outs(review: ReadingWindow, chart: Chart) -> None:
    """Each with its count; the chosen one's squares are cut from the paper, doubtful ones first."""
    turn(review, 2)
    assert words(review) == ["Symbol 1", "Symbol 2", "Symbol 3", "Symbol 4"]
    count = int((chart.squares == 1).sum())
    assert f"{count} squares" in review.piles.list.item(0).text()
    sheet = review.piles.cut_outs
    assert sheet.count == count
    assert "in doubt" in sheet.words(0)
    assert "in doubt" not in sheet.words(count - 1)
    shown = sheet.viewport().grab(sheet.place_of(0)).toImage()
    assert len({shown.pixelColor(x, 20).name() for x in range(48)}) > 2


def test_a_pile_is_named_by_typing(review: ReadingWindow, shelf: Shelf) -> None:
    """Name and number typed, colour chosen: they are in the key, and in the chart when the table goes."""
    turn(review, 2)
    for field, text in (
        (review.piles.form.name, "Sample cotton 17, slate blue"),
        (review.piles.form.number, "17"),
    ):
        field.setFocus()
        field.selectAll()
        QTest.keyClicks(field, text)
        QTest.keyClick(field, Qt.Key.Key_Tab)
    press(review.piles.form.colour_button)
    dialog = review.piles.form.findChild(QColorDialog)
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


def test_odd_ones_are_picked_out_of_a_pile(review: ReadingWindow, chart: Chart) -> None:
    """Picked by press and by Space, they are a pile of their own; undone, all is back."""
    turn(review, 2)
    piles, sheet = review.piles, review.piles.cut_outs
    assert not piles.out_button.isEnabled()
    QTest.mouseClick(sheet.viewport(), LEFT, pos=sheet.place_of(0).center())
    QTest.keyClick(sheet, Qt.Key.Key_Right)
    QTest.keyClick(sheet, Qt.Key.Key_Space)
    assert "2 picked" in sheet.accessibleDescription()
    picked = sheet.picked
    assert len(picked) == 2
    QTest.keySequence(review, "Ctrl+Shift+Return")
    after = held(review)
    assert after.key[-1].name == "Symbol 5"
    assert (after.squares.ravel()[picked] == 5).all()
    assert not len(piles.cut_outs.picked)
    press(piles.undo_button)
    assert held(review) is chart


def test_picked_squares_can_go_to_another_pile(review: ReadingWindow, chart: Chart) -> None:
    """With Shift a whole row is picked; they are what the list beside the button says."""
    turn(review, 2)
    piles, sheet = review.piles, review.piles.cut_outs
    QTest.mouseClick(sheet.viewport(), LEFT, pos=sheet.place_of(0).center())
    shift = Qt.KeyboardModifier.ShiftModifier
    QTest.mouseClick(sheet.viewport(), LEFT, shift, sheet.place_of(2).center())
    picked = sheet.picked
    assert len(picked) == 3
    piles.goes.setCurrentIndex(piles.goes.findText("Symbol 3", Qt.MatchFlag.MatchContains))
    press(piles.out_button)
    assert (held(review).squares.ravel()[picked] == 3).all()
    assert len(held(review).key) == len(chart.key)


def test_threads_come_from_a_key_table(review: ReadingWindow, tmp_path: Path) -> None:
    """A key saved as CSV lists its threads; the one that is chosen names the pile, and is listed no more."""
    turn(review, 2)
    table = tmp_path / "key.csv"
    rows = ["code,name,number,colour", 'a,"Sample cotton 17, slate blue",17,#506e8c', "b,Sample cotton 4,4,"]
    table.write_text("\n".join(rows), "utf-8")
    form = review.piles.form
    press(form.table_button)
    dialog = form.findChild(QFileDialog)
    assert dialog is not None
    dialog.fileSelected.emit(str(table))
    dialog.reject()
    assert form.listed.count() == 3
    form.listed.setFocus()
    QTest.keyClick(form.listed, Qt.Key.Key_Down)
    form.listed.activated.emit(form.listed.currentIndex())
    entry = held(review).key[0]
    assert (entry.name, entry.number, entry.colour.hex) == ("Sample cotton 17, slate blue", "17", "#506E8C")
    assert entry.symbol.picture
    assert form.listed.count() == 2


def test_a_colour_is_pointed_out_on_a_picture_of_the_card(review: ReadingWindow, tmp_path: Path) -> None:
    """Pressed on a thread, moved by a key, taken: the pile has the colour of the card's picture there."""
    turn(review, 2)
    card = Image.new("RGB", (900, 600), "#ffffff")
    ImageDraw.Draw(card).rectangle((0, 0, 449, 599), fill="#8c2a3c")
    ImageDraw.Draw(card).rectangle((450, 0, 899, 599), fill="#2a6f4e")
    card.save(tmp_path / "card.png")
    review.piles.form.open_card(tmp_path / "card.png")
    dialog = review.piles.form.card
    assert dialog is not None
    QTest.mouseClick(dialog.pointed, LEFT, pos=dialog.pointed.place_of(180, 300).toPoint())
    assert dialog.pointed.colour.name() == "#8c2a3c"
    QTest.mouseClick(dialog.pointed, LEFT, pos=dialog.pointed.place_of(446, 300).toPoint())
    for _ in range(4):
        QTest.keyClick(dialog.pointed, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    press(dialog.take_button)
    assert held(review).key[0].colour.hex == "#2A6F4E"
