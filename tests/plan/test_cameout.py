"""A measured piece: real pitch, ratio and error, against checks.md, section 1, and against statistics."""

import statistics
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.model import Chart
from stitchview.done.change import DONE, Selection
from stitchview.done.marks import Marks, change_to
from stitchview.errors import CommandError
from stitchview.plan.cameout import (
    CameOut,
    Extent,
    came_out,
    expected_size,
    lines_of,
    stitched_extent,
)
from stitchview.plan.clothcount import ClothCount, Way
from stitchview.plan.clothsize import Size

COUNTS = st.floats(8, 40)


def done(chart: Chart, squares: list[tuple[int, int]]) -> Marks:
    marks = Marks(chart)
    flat = np.array([row * chart.columns + column for column, row in squares], np.int64)
    change = change_to(marks, Selection.of(flat), DONE)
    assert change is not None
    marks.apply(change)
    return marks


def test_a_square_is_what_was_measured_by_its_count() -> None:
    """14 to the inch over one is 1.8142857 mm (checks.md, section 1): measured so, nothing is out."""
    found = came_out(Extent(140, 210), ClothCount(14, 14), 140 * 25.4 / 14, 210 * 25.4 / 14)
    assert found.real.across_mm == pytest.approx(1.8142857, abs=1e-7)
    assert found.errors_percent == pytest.approx((0, 0), abs=1e-9)
    assert found.real_count == pytest.approx((14, 14))
    assert found.off.percent == pytest.approx(0, abs=1e-9)
    assert "as foretold within what a ruler tells" in lines_of(found)[0]


@given(st.integers(20, 900), st.integers(20, 900), COUNTS, COUNTS, st.sampled_from([1, 2, 3]))
def test_measuring_finds_the_cloth_it_was_stitched_on(
    columns: int, rows: int, across: float, down: float, over: int
) -> None:
    """W = n p and r = c across / c down (checks.md, section 1), gone backwards, whatever was foretold."""
    width, height = columns * over * 25.4 / across, rows * over * 25.4 / down
    found = CameOut(Extent(columns, rows), ClothCount(14, 14, over=over), Size(width, height))
    assert found.real_count == pytest.approx((across, down))
    assert found.off.ratio == pytest.approx(across / down)
    assert found.off.way is (Way.DOWN if across >= down else Way.ACROSS) or across == pytest.approx(down)
    assert found.ratios == pytest.approx((14 / across, 14 / down))
    assert found.errors_percent[0] == pytest.approx((width / (columns * over * 25.4 / 14) - 1) * 100)


def test_stretched_one_way_by_a_third() -> None:
    """The handbook's figure lengthened by a third, its height kept (checks.md, H18): 4/3 on one axis."""
    count = ClothCount(10, 10)
    found = came_out(Extent(60, 60), count, 60 * 2.54 * 4 / 3, 60 * 2.54)
    assert found.ratios == pytest.approx((4 / 3, 1))
    assert found.off.way is Way.ACROSS
    assert found.off.percent == pytest.approx(100 / 3)
    assert not found.likely
    assert "far from the forecast" in lines_of(found)[-1]


def test_a_count_to_ten_centimetres_is_told_to_ten_centimetres() -> None:
    """55 threads to 10 cm, worked over one, pulled in by one in a hundred, lie 55.56 to 10 cm."""
    found = came_out(Extent(110, 110), ClothCount(55, 55, per_100_mm=True), 198, 200)
    assert found.real_count == pytest.approx((55 / 0.99, 55))
    assert "55.56 threads to 10 cm across and 55.00 down" in lines_of(found)[1]
    assert "1.0 % smaller across" in lines_of(found)[0]


def test_only_what_is_done_is_measured(small_chart: Callable[[], Chart]) -> None:
    """From the first to the last cross, as numpy finds the outermost squares."""
    chart = small_chart()
    squares = [(int(x), int(y)) for y, x in np.argwhere(chart.squares)[5:30]]
    extent = stitched_extent(done(chart, squares))
    across, down = np.array(squares).T
    assert (extent.columns, extent.rows) == (np.ptp(across) + 1, np.ptp(down) + 1)


def test_nothing_done_cannot_be_measured(small_chart: Callable[[], Chart]) -> None:
    """One sentence, and what to do."""
    with pytest.raises(CommandError, match="Nothing is stitched"):
        stitched_extent(Marks(small_chart()))


def test_back_stitch_beyond_the_crosses_counts(small_chart: Callable[[], Chart]) -> None:
    """An outline that runs out past the last cross is part of what a ruler meets."""
    chart = small_chart()
    marks = Marks(replace(chart, squares=np.zeros_like(chart.squares)))
    change = change_to(marks, Selection.of(lines=np.arange(len(chart.lines))), DONE)
    assert change is not None
    marks.apply(change)
    ends = np.concatenate((chart.lines.x1, chart.lines.x2)) / 2
    assert stitched_extent(marks).columns == np.ptp(ends)


@pytest.mark.parametrize("size", [(5, 5), (20_000, 9), (9, 20_000), (19_999, 19_999)])
def test_a_size_that_no_cloth_makes_is_refused(size: tuple[float, float]) -> None:
    """Two hundred squares on half a centimetre are no needlework: one sentence names the unit."""
    with pytest.raises(CommandError, match="centimetres or inches"):
        came_out(Extent(200, 200), ClothCount(), *size)


@given(st.lists(st.tuples(st.floats(0.9, 1.1), st.floats(0.9, 1.1)), min_size=1, max_size=6))
def test_what_is_expected_is_what_was_foretold_by_the_mean(ratios: list[tuple[float, float]]) -> None:
    """The ratios of several pieces join as `statistics.geometric_mean` joins them."""
    across, down = (statistics.geometric_mean(each) for each in zip(*ratios, strict=True))
    size = expected_size(140, 210, ClothCount(14, 14), (across, down))
    assert size.width_mm == pytest.approx(254 * across)
    assert size.height_mm == pytest.approx(381 * down)
