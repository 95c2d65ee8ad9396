"""Hints over the chart: seen, read out, in nobody's way, and gone by themselves."""

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from stitchview.ui import hint as hints
from stitchview.ui.hint import Hint, Voice
from stitchview.ui.messages import NoticeBar


@pytest.fixture
def board(qtbot: QtBot) -> QPushButton:
    """Something to lie over that can be clicked."""
    board = QPushButton()
    qtbot.addWidget(board)
    board.resize(400, 200)
    board.show()
    return board


def test_a_hint_goes_away_by_itself(
    qtbot: QtBot, board: QPushButton, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It stands inside the board, says its words to a screen reader too, and is gone after a moment."""
    monkeypatch.setattr(hints, "SHOWN_MS", 20)
    hint = Hint()
    hint.lie_over(board)
    assert not hint.isVisible()
    hint.say("Nothing here is left to mark.")
    assert hint.isVisible()
    assert board.rect().contains(hint.geometry())
    assert hint.accessibleDescription() == "Nothing here is left to mark."
    qtbot.waitUntil(lambda: not hint.isVisible())


def test_a_long_hint_stays_on_a_small_board_and_lets_clicks_through(qtbot: QtBot, board: QPushButton) -> None:
    """Its words are broken into lines, and what lies under it can still be clicked."""
    hint = Hint()
    hint.lie_over(board)
    hint.say("One corner is set. " * 8)
    board.resize(240, 180)
    assert board.rect().contains(hint.geometry())
    middle = hint.geometry().center()
    with qtbot.waitSignal(board.clicked):
        QTest.mouseClick(board, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, QPoint(middle))
    hint.stop()
    assert not hint.isVisible()


def test_a_voice_passes_by_or_stays(qtbot: QtBot, board: QPushButton) -> None:
    """What she must know stays as a notice until she has closed it."""
    notices, hint = NoticeBar(), Hint()
    qtbot.addWidget(notices)
    hint.lie_over(board)
    voice = Voice(notices, hint)
    voice.hint("Copied.")
    voice.tell("The disk is full.")
    assert hint.text() == "Copied."
    assert notices.shown is not None
    assert notices.shown.sentence == "The disk is full."
    hint.stop()
