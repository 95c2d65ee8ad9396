"""Signs made of straight strokes along the square are not taken for empty squares with lines over them."""

import numpy as np

from stitchview.sheets.latticefinding import find_lattice
from stitchview.sheets.sortingsquares import sort_squares
from stitchview.sheets.straightening import straighten
from tests.paper.photographing import photographed
from tests.paper.printing import printed_sheets


def test_an_upturned_t_is_no_empty_square() -> None:
    """On this sheet a third of the squares with such a sign had gone among the blank ones."""
    page = printed_sheets(30, 40, 9, 5).pages[0]
    photograph = photographed(page, "careful", 0)
    straight = straighten(photograph.picture, find_lattice(photograph.picture), 24, 8)
    sorting = sort_squares([straight])
    codes = photograph.content.codes
    blank = sorting.sheet(0).piles == sorting.blank
    assert blank[codes == 0].mean() > 0.99
    for code in np.unique(codes[codes > 0]):
        assert blank[codes == code].mean() < 0.1
