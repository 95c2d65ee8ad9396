"""The menu of a square: everything that can be done there, by right click or by key."""

from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QPoint
from PySide6.QtGui import QContextMenuEvent, QGuiApplication
from PySide6.QtWidgets import QApplication

from stitchview.done.change import DONE
from stitchview.follow.band import Band, band_of_columns, band_of_rows
from stitchview.follow.span import Span
from stitchview.ui.squaremenu import SquareMenu
from tests.journeys.sofa import Sofa, Square


@pytest.fixture
def square(sofa: Sofa, harbour: Path) -> Square:
    """A square with a stitch, on the chart on the window."""
    sofa.sit_down(harbour)
    row, column = np.argwhere(sofa.desk.chart.squares[20:, 20:])[0] + 20
    return int(column), int(row)


def right_click(sofa: Sofa, place: QPoint) -> SquareMenu | None:
    """The menu that a right click opens, if it does."""
    event = QContextMenuEvent(QContextMenuEvent.Reason.Mouse, place, sofa.canvas.mapToGlobal(place))
    QApplication.sendEvent(sofa.canvas, event)
    return sofa.canvas.findChild(SquareMenu)


def choose(sofa: Sofa, square: Square, text: str) -> None:
    """Choose the line that begins so in the menu of a square."""
    menu = right_click(sofa, sofa.place_of(square))
    assert menu is not None
    line = next(each for each in menu.actions() if each.text().startswith(text))
    assert line.isEnabled()
    menu.close()
    line.trigger()
    sofa.app.processEvents()


def test_the_thread_of_the_square_is_taken_in_hand_and_put_down(sofa: Sofa, square: Square) -> None:
    """The first line names it, whichever thread it is."""
    number = int(sofa.desk.chart.squares[square[1], square[0]])
    choose(sofa, square, f"Take in hand {sofa.desk.chart.key[number - 1].name}")
    assert sofa.works.holding.thread == number
    choose(sofa, square, "Put down")
    assert sofa.works.holding.thread == 0


def test_a_band_is_laid_there(sofa: Sofa, square: Square) -> None:
    """Over rows, over columns, or a frame."""
    rows, columns = Span(square[1] - 4, 10), Span(square[0] - 4, 10)
    choose(sofa, square, "Band of rows here")
    assert sofa.works.band.band == band_of_rows(rows.first, 10)
    choose(sofa, square, "Band of columns here")
    assert sofa.works.band.band == band_of_columns(columns.first, 10)
    choose(sofa, square, "Frame here")
    assert sofa.works.band.band == Band(rows, columns)
    assert sofa.canvas.showing.lit == Band(rows, columns).inside(sofa.desk.chart.area)


def test_it_is_marked_and_unpicked_there_whatever_the_tool(sofa: Sofa, square: Square) -> None:
    """Square, run and patch, each marked and unpicked again; the patch holds the run, the run the square."""
    done = []
    for what in ("this square", "the run here", "the patch here"):
        choose(sofa, square, f"Mark {what}")
        assert sofa.desk.marks.squares[square[1], square[0]] == DONE
        done.append(sofa.desk.tally.total().done)
        choose(sofa, square, f"Unpick {what}")
        assert sofa.desk.tally.total().done == 0
    assert 1 == done[0] <= done[1] <= done[2]


def test_where_it_is_is_copied(sofa: Sofa, square: Square) -> None:
    """As a sentence, of this square and not of where the pointer has gone since."""
    menu = right_click(sofa, sofa.place_of(square))
    assert menu is not None
    assert sofa.canvas.showing.pointers.cursor == square
    sofa.point_at((3, 3))
    line = next(each for each in menu.actions() if each.text() == "Copy where this is")
    menu.close()
    line.trigger()
    assert QGuiApplication.clipboard().text().startswith(f"Column {square[0] + 1} ")
    assert sofa.canvas.showing.pointers.cursor is None


def test_beside_the_chart_there_is_no_menu(sofa: Sofa, square: Square) -> None:
    """Nothing lies there, so nothing is offered, and nothing goes wrong."""
    assert sofa.desk.chart.area.holds(*square)
    assert right_click(sofa, QPoint(1, 1)) is None


def test_a_square_without_a_stitch_offers_the_band_only(sofa: Sofa, square: Square) -> None:
    """There is nothing to mark and no thread to take."""
    assert sofa.desk.chart.area.holds(*square)
    row, column = np.argwhere(sofa.desk.chart.squares == 0)[0]
    menu = right_click(sofa, sofa.place_of((int(column), int(row))))
    assert menu is not None
    lines = [each.text() for each in menu.actions() if not each.isSeparator()]
    assert lines == [
        "No stitch in this square",
        "Band of rows here",
        "Band of columns here",
        "Frame here",
        "Copy where this is",
        "Tape from here",
        "Pin here …",
        "Is this stitch where it should be …",
    ]
    assert not menu.actions()[0].isEnabled()
    menu.close()


def test_a_mouse_finds_the_way_back_from_only_the_chart(sofa: Sofa, square: Square) -> None:
    """Where no menu bar and no toolbar is shown, the menu of a square brings them back."""
    sofa.window.set_alone(True)
    sofa.app.processEvents()
    choose(sofa, square, "Only the chart")
    assert not sofa.window.alone
    assert sofa.window.toolbar.isVisible()
