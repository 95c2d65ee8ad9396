"""What is done between cloth and chart by the mouse alone, in the menu of a square."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QContextMenuEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMenu

from tests.journeys.effects_at_the_cloth import slip_of, take_in_hand
from tests.journeys.sofa import Sofa, Square


def choose_at(sofa: Sofa, square: Square, words: str) -> None:
    """Open the menu of a square by the mouse and click a line of it."""
    place = sofa.place_of(square)
    event = QContextMenuEvent(QContextMenuEvent.Reason.Mouse, place, sofa.canvas.mapToGlobal(place))
    QApplication.sendEvent(sofa.canvas, event)
    menu = sofa.canvas.findChildren(QMenu)[-1]
    line = next(each for each in menu.actions() if each.text() == words)
    QTest.mouseClick(menu, Qt.MouseButton.LeftButton, pos=menu.actionGeometry(line).center())
    sofa.app.processEvents()


def test_the_tape_is_laid_from_square_to_square(sofa: Sofa, harbour: Path) -> None:
    """Two lines of the menu measure, a third puts the tape away."""
    sofa.sit_down(harbour)
    choose_at(sofa, (10, 12), "Tape from here")
    choose_at(sofa, (14, 10), "Tape to here")
    assert sofa.canvas.showing.signs.tape == ((10, 12), (14, 10))
    assert "4 columns right, 2 rows up" in slip_of(sofa)
    choose_at(sofa, (3, 3), "Put the tape away")
    assert not sofa.canvas.showing.signs.any


@pytest.mark.parametrize("at", [3, 8])
def test_a_needleful_is_used_up_where_she_points(sofa: Sofa, harbour: Path, at: int) -> None:
    """Proposed from one square and used up at another, it marks just what lies before."""
    sofa.sit_down(harbour)
    take_in_hand(sofa)
    choose_at(sofa, (20, 20), "Next needleful from here")
    route = sofa.canvas.showing.signs.route
    choose_at(sofa, route[at], "Needleful used up here")
    assert {square for square in route if sofa.desk.marks.squares[square[1], square[0]]} == set(
        route[: at + 1]
    )
