"""What is new is told in sentences that can be read out as they stand."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from stitchview.chart.area import Area
from stitchview.chart.model import Chart, Sheet
from stitchview.done.change import DONE
from stitchview.done.counts import Progress
from stitchview.done.gains import gains_between
from stitchview.done.marks import open_states
from stitchview.done.newswords import new_words


@pytest.mark.parametrize(
    ("widths", "told"),
    [
        ((8, 4), "On A (80) and B (40)."),
        ((6, 3, 3), "On A (60), B (30) and C (30)."),
    ],
)
def test_sheets_are_joined_as_one_says_them(
    random_chart: Callable[[int, int, int, int], Chart], widths: tuple[int, ...], told: str
) -> None:
    """Two sheets are joined by "and"; of three, the first two by a comma."""
    chart = random_chart(12, 10, 3, 1)
    chart = replace(chart, squares=np.ones_like(chart.squares))
    sheets = [
        Sheet("ABC"[at], Area(sum(widths[:at]), 0, width, chart.rows)) for at, width in enumerate(widths)
    ]
    chart = replace(chart, sheets=tuple(sheets))
    before, after = open_states(chart), open_states(chart)
    after[0][...] = DONE
    words = new_words(chart, None, gains_between(chart, before, after), [], Progress(120, 120))
    assert told in words
