"""Going to a square by the numbers of the rulers, whatever corner they are counted from."""

from collections.abc import Iterator

import numpy as np
import pytest
from PySide6.QtWidgets import QApplication, QWidget

from stitchview.chart.model import Chart
from stitchview.follow.numbering import Numbering
from stitchview.ui.pointer import Square
from stitchview.ui.squaredialog import FROM_CENTRE, SquareDialog


@pytest.fixture
def parent(qapp: QApplication) -> Iterator[QWidget]:
    """A window that dialogs belong to."""
    window = QWidget()
    yield window
    window.deleteLater()


def dialog_for(parent: QWidget, size: Square, square: Square, numbering: Numbering) -> SquareDialog:
    chart = Chart(np.zeros((size[1], size[0]), np.uint16), ())
    return SquareDialog(chart, square, numbering, went.append, parent)


went: list[Square] = []


@pytest.mark.parametrize("numbering", list(Numbering))
@pytest.mark.parametrize("size", [(12, 7), (7, 12), (1, 1)])
def test_it_begins_at_the_square_and_every_number_leads_back(
    parent: QWidget, numbering: Numbering, size: Square
) -> None:
    """The number that the ruler shows for a square is the number that leads there."""
    for column in range(size[0]):
        for row in range(size[1]):
            asked = dialog_for(parent, size, (column, row), numbering)
            assert asked.square == (column, row)
            assert asked.told.text().endswith("No stitch here.")
            went.clear()
            asked.accept()
            assert went == [(column, row)]


def test_from_the_centre_it_says_how_to_count(parent: QWidget) -> None:
    """Left of the centre is below 0, and the 0 that an even size has not is the first square after."""
    asked = dialog_for(parent, (12, 7), (0, 0), Numbering.CENTRE)
    assert (asked.column.value(), asked.row.value()) == (-6, -3)
    asked.column.setValue(0)
    assert asked.square[0] == 6
    asked.row.setValue(0)
    assert asked.square[1] == 3
    assert FROM_CENTRE in [label.text() for label in asked.findChildren(type(asked.told))]


def test_beyond_the_edge_it_stays_on_the_chart(parent: QWidget) -> None:
    """Numbers that the rulers have not cannot be asked for."""
    asked = dialog_for(parent, (12, 7), (0, 0), Numbering.TOP_LEFT)
    asked.column.setValue(500)
    asked.row.setValue(-4)
    assert asked.square == (11, 0)
