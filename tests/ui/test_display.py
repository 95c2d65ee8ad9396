"""Bold lines stand where she counts ten."""

from collections.abc import Iterator

import numpy as np
import pytest

from stitchview.canvas.strips import draw_tens
from stitchview.chart.area import Area
from stitchview.follow.numbering import Numbering, tens_lines
from stitchview.ui.display import tens_of

INK = 7


def pieces(columns: int, rows: int) -> Iterator[Area]:
    """A chart in strips of odd sizes, so that some begin on a line and some beside one."""
    for row in range(0, rows, 7):
        for column in range(0, columns, 13):
            yield Area(column, row, min(13, columns - column), min(7, rows - row))


@pytest.mark.parametrize("numbering", Numbering)
@pytest.mark.parametrize(("columns", "rows"), [(60, 50), (75, 64), (121, 99), (9, 300), (1, 2)])
def test_bold_lines_stand_between_tens(numbering: Numbering, columns: int, rows: int) -> None:
    """They are the lines of ten, from each corner and from the centre, on small squares and on large."""
    tens = tens_of(columns, rows, numbering)
    for pitch in (3, 10):
        pixels = np.zeros((rows * pitch, columns * pitch), np.uint32)
        for piece in pieces(columns, rows):
            across, down = piece.column * pitch, piece.row * pitch
            strip = pixels[down : down + piece.rows * pitch, across : across + piece.columns * pitch]
            draw_tens(strip, tens, piece, pitch, INK)
        for drawn, size, way in (
            ((pixels == INK).all(axis=0), columns, numbering.across),
            ((pixels == INK).all(axis=1), rows, numbering.down),
        ):
            # The chart's own edges are left out: its border stands there.
            inner = [line * pitch for line in tens_lines(size, way)[1:-1]]
            bold = {*inner, *(place - 1 for place in inner)} if pitch == 10 else set(inner)
            assert set(np.flatnonzero(drawn).tolist()) - {0, size * pitch - 1} == bold
