"""Only what the band's edges hide may be left out of a drawing."""

from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QRect

from stitchview.canvas.showing import Showing
from stitchview.canvas.sight import EDGE_WIDTH, Sight
from stitchview.canvas.view import View
from stitchview.chart.area import Area

COLUMNS, ROWS = 9, 8
LITS = st.builds(Area, st.integers(0, 8), st.integers(0, 7), st.integers(1, 9), st.integers(1, 8))
PLACES = st.integers(-6, 60)


@given(LITS, st.integers(1, 7), PLACES, PLACES, st.integers(1, 30), st.integers(1, 30))
def test_only_what_the_edges_hide_is_left_out(
    lit: Area, pitch: int, x: int, y: int, width: int, height: int
) -> None:
    """Every pixel that is not drawn lies under an edge of the band."""
    lit = lit.clipped(Area(0, 0, COLUMNS, ROWS))
    exposed = QRect(x, y, width, height)
    left = Sight(View(COLUMNS, ROWS, 60, 60, pitch), Showing(lit=lit)).beside_edges(exposed)
    for row in range(y, y + height):
        for column in range(x, x + width):
            assert left.contains(column, row) or _hidden(lit, pitch, column, row)
    assert left.isEmpty() or exposed.contains(left)


def _hidden(lit: Area, pitch: int, x: int, y: int) -> bool:
    """Whether a pixel lies under one of the edges, told from the description of the band alone."""
    left, right, top, bottom = (n * pitch for n in (lit.column, lit.right, lit.row, lit.bottom))
    if left <= x < right:
        above = lit.row > 0 and top - EDGE_WIDTH <= y < top
        return above or (lit.bottom < ROWS and bottom <= y < bottom + EDGE_WIDTH)
    if top <= y < bottom:
        before = lit.column > 0 and left - EDGE_WIDTH <= x < left
        return before or (lit.right < COLUMNS and right <= x < right + EDGE_WIDTH)
    return False
