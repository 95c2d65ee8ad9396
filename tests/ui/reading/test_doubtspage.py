"""Doubts are answered with real keys and presses, alone and many at once; all of it reaches the chart."""

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from stitchview.chart.model import Chart
from stitchview.sheets.rereading import squares_by_hand
from stitchview.ui.reading.readingwindow import ReadingWindow
from stitchview.ui.theme import Theme, apply_theme
from tests.ui.reading.conftest import Shelf
from tests.ui.reading.letters import COLUMNS, LEFT, LETTERS, ROWS, held, turn


def test_doubts_are_answered_to_zero_by_one_key_each(
    review: ReadingWindow, chart: Chart, shelf: Shelf
) -> None:
    """Answered by the truth, the count goes down to nothing, and the chart is as it is printed."""
    turn(review, 3)
    answers = answer_all(review, chart)
    assert 0 < answers <= len(chart.doubts)
    assert "No square is in doubt" in review.doubts.asked.text()
    review.reject()
    ((kept, _),) = shelf.kept
    assert ["".join(LETTERS[number] for number in row) for row in kept.squares.tolist()] == chart.notes.split(
        "\n"
    )
    assert len(kept.by_hand) == answers
    assert not len(kept.doubts)


def answer_all(review: ReadingWindow, chart: Chart) -> int:
    """Press 1 or 2 by the truth until nothing is asked any more; gives how often."""
    doubts, truth, pressed = review.doubts, chart.notes.split("\n"), 0
    while len(held(review).doubts):
        left = len(held(review).doubts)
        assert doubts.left.text().startswith(f"{left} square")
        column, row = asked(review)
        wanted = f"Symbol {LETTERS.index(truth[row][column])}"
        key = "1" if doubts.first.text().endswith(wanted) else "2"
        assert (doubts.first if key == "1" else doubts.second).text().endswith(wanted)
        QTest.keyClick(review, Qt.Key(ord(key)))
        assert len(held(review).doubts) < left
        pressed += 1
    return pressed


def asked(review: ReadingWindow) -> tuple[int, int]:
    """The square that is asked about: column and row, from 0."""
    told = review.doubts.picture.accessibleName().strip(".").split(",")
    return int(told[0].split()[1]) - 1, int(told[1].split()[1]) - 1


def test_no_stitch_later_and_undo_have_their_keys(review: ReadingWindow, chart: Chart) -> None:
    """3 empties the square, L asks it again at the end, U takes an answer back."""
    turn(review, 3)
    asked = review.doubts.picture.accessibleName()
    QTest.keyClick(review, Qt.Key.Key_L)
    assert review.doubts.picture.accessibleName() != asked
    assert held(review) is chart
    now = review.doubts.picture.accessibleName()
    QTest.keyClick(review, Qt.Key.Key_3)
    assert (held(review).squares == 0).sum() == (chart.squares == 0).sum() + 1
    QTest.keyClick(review, Qt.Key.Key_U)
    assert held(review) is chart
    assert review.doubts.picture.accessibleName() == now


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


def test_doubts_of_a_pile_are_answered_together_but_for_the_odd(review: ReadingWindow, chart: Chart) -> None:
    """Doubtful squares of a pile are shown side by side; with A all but the picked are answered at once."""
    turn(review, 3)
    doubts = review.doubts
    while doubts.strip.isHidden():
        QTest.keyClick(review, Qt.Key.Key_L)
    many = doubts.strip.count
    assert many > 1
    QTest.mouseClick(doubts.strip.viewport(), LEFT, pos=doubts.strip.place_of(many - 1).center())
    (odd,) = doubts.strip.picked.tolist()
    assert f"these {many - 1} at once" in doubts.alike.text()
    QTest.keyClick(review, Qt.Key.Key_A)
    assert held(review) is chart
    assert f"all {many - 1}" in doubts.first.text()
    QTest.keyClick(review, Qt.Key.Key_1)
    after = held(review)
    assert len(after.doubts) <= len(chart.doubts) - (many - 1)
    assert not squares_by_hand(after.by_hand, (ROWS, COLUMNS)).ravel()[odd]
    assert squares_by_hand(after.by_hand, (ROWS, COLUMNS)).sum() == many - 1


def test_single_keys_can_be_switched_off(review: ReadingWindow, chart: Chart) -> None:
    """Then a letter by itself answers nothing, and together with Alt it does (WCAG 2.1.4)."""
    turn(review, 3)
    review.use_keys(single=False)
    QTest.keyClick(review, Qt.Key.Key_1)
    assert held(review) is chart
    QTest.keySequence(review, "Alt+1")
    assert len(held(review).by_hand) == 1
    review.use_keys(single=True)
    QTest.keyClick(review, Qt.Key.Key_U)
    assert held(review) is chart


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
