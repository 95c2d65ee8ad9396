"""What is said of a proposed needleful is true of the whole thread."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from stitchview.chart.model import Chart
from stitchview.chart.stitches import Lines
from stitchview.done.marks import Marks
from stitchview.follow.needleful import Wish
from stitchview.follow.proposing import next_needleful
from stitchview.follow.threadwork import ThreadWork
from stitchview.ui.needlewords import needleful_words


@pytest.mark.parametrize(
    ("others", "told"),
    [
        (0, "then all of it is done."),
        (1, "Not in it: 1 line, knot or bead."),
        (7, "7 lines, knots and beads."),
    ],
)
def test_lines_and_knots_are_never_called_done(
    small_chart: Callable[[], Chart], others: int, told: str
) -> None:
    """A needleful is of crosses and part stitches; what else the thread has to do is said."""
    chart = replace(small_chart(), lines=Lines())
    path = next_needleful(ThreadWork(Marks(chart)), Wish(1, (3, 3)))
    assert path is not None
    words = needleful_words(replace(path, left_after=0), "slate blue", others)
    assert words.endswith(told)
    assert ("all of it is done" in words) is (others == 0)
