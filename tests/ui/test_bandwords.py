"""Where the band lies, in the words of the place line."""

import numpy as np
import pytest

from stitchview.chart.model import Chart
from stitchview.follow.band import Band, band_of_columns, band_of_rows
from stitchview.follow.numbering import Numbering
from stitchview.follow.span import Span
from stitchview.ui.bandwords import band_words


@pytest.mark.parametrize(
    ("band", "numbering", "words"),
    [
        (band_of_rows(30, 10), Numbering.TOP_LEFT, "Rows 31–40"),
        (band_of_rows(30, 1), Numbering.TOP_LEFT, "Row 31"),
        (band_of_columns(0, 5), Numbering.TOP_RIGHT, "Columns 57–61"),
        (Band(Span(0, 10), Span(20, 5)), Numbering.TOP_LEFT, "Frame 21–25, 1–10"),
        (band_of_rows(0, 10), Numbering.BOTTOM_LEFT, "Rows 41–50"),
        (band_of_rows(20, 10), Numbering.CENTRE, "Rows 5 up to 5 down"),
        (band_of_rows(10, 10), Numbering.CENTRE, "Rows 6–15 up"),
        (Band(Span(20, 10), Span(30, 1)), Numbering.CENTRE, "Frame the centre, 5 up to 5 down"),
        (band_of_columns(30, 1), Numbering.CENTRE, "Column on the centre"),
        (band_of_columns(29, 2), Numbering.CENTRE, "Columns 1 left to the centre"),
    ],
)
def test_a_band_is_named_as_she_counts(band: Band, numbering: Numbering, words: str) -> None:
    """From each corner and from the centre, of a chart 61 wide and 50 high."""
    chart = Chart(np.zeros((50, 61), np.uint16), ())
    assert band_words(band, chart, numbering) == words
