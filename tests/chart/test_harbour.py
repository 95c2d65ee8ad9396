"""The sample harbour: the same every time, sound in any size, and stitched in every way."""

import tracemalloc
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.counting import facts, line_lengths
from stitchview.chart.fileformat import find_problems, read_chart, write_chart
from stitchview.chart.harbour.making import lay_out_sheets, make_harbour
from stitchview.chart.model import Chart
from stitchview.chart.stitches import PartShape
from stitchview.errors import ChartError

MEBIBYTE = 1024 * 1024


@pytest.fixture(scope="module")
def harbour() -> Chart:
    """A harbour of 300 x 225 squares in 72 threads."""
    return make_harbour(300, 225, 72, 4)


def colours_of(chart: Chart) -> NDArray[np.int64]:
    """The colour of every square, shape (rows, columns, 3), bare cloth as in the suggested cloth."""
    assert chart.cloth is not None
    colours = [chart.cloth.colour, *(entry.colour for entry in chart.key)]
    table = np.array([(colour.red, colour.green, colour.blue) for colour in colours])
    return np.asarray(table[chart.squares], np.int64)


def tables_of(chart: Chart) -> list[NDArray[np.generic]]:
    """All arrays of a chart."""
    parts, lines, points = chart.parts, chart.lines, chart.points
    return [
        *(chart.squares, parts.columns, parts.rows, parts.shapes, parts.keys),
        *(lines.x1, lines.y1, lines.x2, lines.y2, lines.kinds, lines.keys),
        *(points.x, points.y, points.kinds, points.keys),
    ]


def same(one: Chart, other: Chart) -> bool:
    """Whether two charts have the same squares, key and stitches."""
    pairs = zip(tables_of(one), tables_of(other), strict=True)
    return one.key == other.key and all(np.array_equal(mine, theirs) for mine, theirs in pairs)


def test_the_same_seed_gives_the_same_harbour() -> None:
    """Made twice with one seed, a sample is the same to the last knot; with another seed it is not."""
    one, again, other = (make_harbour(60, 45, 20, seed) for seed in (7, 7, 8))
    assert same(one, again)
    assert one.identity == again.identity
    assert not same(one, other)
    assert one.identity != other.identity


@settings(max_examples=40)
@given(
    columns=st.integers(1, 70),
    rows=st.integers(1, 70),
    threads=st.one_of(st.integers(1, 40), st.integers(41, 2000)),
    seed=st.integers(),
)
def test_a_harbour_of_any_size_is_a_sound_chart(
    tmp_path_factory: pytest.TempPathFactory, columns: int, rows: int, threads: int, seed: int
) -> None:
    """Any size, any number of threads and any seed give a chart that can be written and opened again."""
    chart = make_harbour(columns, rows, threads, seed)
    assert (chart.columns, chart.rows, len(chart.key)) == (columns, rows, threads)
    path = tmp_path_factory.mktemp("any") / "harbour.svchart"
    write_chart(chart, path)
    assert find_problems(path) == ()
    assert same(read_chart(path), chart)


@pytest.mark.parametrize(("columns", "rows"), [(4096, 3), (3, 4096), (2500, 40), (40, 2500)])
def test_a_very_long_or_high_harbour_is_sound(tmp_path: Path, columns: int, rows: int) -> None:
    """A border as long as a chart may be is a harbour too."""
    chart = make_harbour(columns, rows, 90, 1)
    write_chart(chart, tmp_path / "border.svchart")
    assert find_problems(tmp_path / "border.svchart") == ()


@pytest.mark.parametrize(
    ("columns", "rows", "threads", "told"),
    [
        (0, 10, 5, "0 columns"),
        (4097, 10, 5, "4,097 columns"),
        (10, -1, 5, "-1 rows"),
        (10, 5000, 5, "5,000 rows"),
        (10, 10, 0, "0 threads"),
        (10, 10, 2001, "2,001 threads"),
    ],
)
def test_sizes_no_chart_can_have_are_refused(columns: int, rows: int, threads: int, told: str) -> None:
    """The refusal names the number that is wrong and says which ones are right."""
    with pytest.raises(ChartError, match=told) as refusal:
        make_harbour(columns, rows, threads, 1)
    assert "1 to" in refusal.value.remedy


def test_every_kind_of_stitch_is_in_a_large_harbour(harbour: Chart) -> None:
    """Crosses, all ten part stitches, back and straight stitch, knots and beads."""
    counted = facts(harbour)
    assert set(harbour.parts.shapes.tolist()) == set(PartShape)
    for counts in (counted.crosses, counted.back_lines, counted.straight_lines, counted.knots, counted.beads):
        assert counts.sum() > 10


def test_two_threads_share_many_a_square(harbour: Chart) -> None:
    """On slanted edges two part stitches of different threads fill one square, and fill it whole."""
    flat = harbour.parts.rows.astype(np.int64) * harbour.columns + harbour.parts.columns
    halves = np.isin(harbour.parts.shapes, [PartShape.HALF_RISING, PartShape.HALF_FALLING])
    shared, counts = np.unique(flat[~halves], return_counts=True)
    assert (counts == 2).all()
    assert len(shared) > 100
    order = np.argsort(flat[~halves], kind="stable")
    shapes, keys = (
        table[~halves][order].reshape(-1, 2) for table in (harbour.parts.shapes, harbour.parts.keys)
    )
    assert (keys[:, 0] != keys[:, 1]).all()
    opposite = {3: 10, 4: 9, 5: 8, 6: 7, 10: 3, 9: 4, 8: 5, 7: 6}
    assert all(opposite[one] == two for one, two in shapes.tolist())


@pytest.mark.parametrize(("columns", "rows", "lines"), [(300, 225, 0.035), (1200, 1100, 0.015)])
def test_it_is_as_busy_as_a_chart_people_stitch(columns: int, rows: int, lines: float) -> None:
    """Part stitches on one or two squares in a hundred, lines on up to three, some lone squares."""
    chart = make_harbour(columns, rows, 80, 4)
    squares = chart.columns * chart.rows
    assert 0.008 < len(chart.parts) / squares < 0.025
    assert 0.003 < len(chart.lines) / squares < lines
    assert 0.005 < lone_share(chart) < 0.25


def lone_share(chart: Chart) -> float:
    """The share of squares whose four neighbours are all of other threads."""
    squares, middle = chart.squares, chart.squares[1:-1, 1:-1]
    beside = (squares[:-2, 1:-1], squares[2:, 1:-1], squares[1:-1, :-2], squares[1:-1, 2:])
    lone = np.logical_and.reduce([middle != other for other in beside]) & (middle > 0)
    return float(lone.mean())


def test_no_line_is_longer_than_a_needle_can_work(harbour: Chart) -> None:
    """Lines go from hole to hole in pieces of at most eight squares along either edge."""
    lines = harbour.lines
    assert max(np.abs(lines.x2 - lines.x1).max(), np.abs(lines.y2 - lines.y1).max()) <= 16
    assert line_lengths(lines).min() >= 0.5


def test_it_looks_like_dusk(harbour: Chart) -> None:
    """The sky grows lighter and warmer downwards, the sun is its lightest place, the near water dark."""
    colours = colours_of(harbour)
    left = slice(75, 100)
    top, low = colours[2:12, left].mean(axis=(0, 1)), colours[85:100, left].mean(axis=(0, 1))
    sun = colours[108:114, 114:123].mean(axis=(0, 1))
    near_water = colours[210:222, 165:200].mean(axis=(0, 1))
    assert top.sum() < low.sum() < sun.sum()
    assert top[2] > top[0]
    assert low[0] > low[2]
    assert near_water.sum() < 0.6 * low.sum()


def test_only_the_rounded_corners_are_bare() -> None:
    """The picture fills its cloth but for its corners, and nothing is worked out there."""
    chart = make_harbour(200, 150, 40, 2)
    taken = np.zeros(chart.squares.shape, bool)
    taken[chart.parts.rows, chart.parts.columns] = True
    bare = (chart.squares == 0) & ~taken
    corners = np.zeros_like(bare)
    for rows in (slice(0, 8), slice(-8, None)):
        for columns in (slice(0, 8), slice(-8, None)):
            corners[rows, columns] = True
    assert bare[0, 0]
    assert bare[-1, -1]
    assert not (bare & ~corners).any()
    middles = chart.lines.x1 + chart.lines.x2 < 4, chart.lines.y1 + chart.lines.y2 < 4
    assert not (middles[0] & middles[1]).any()


def test_few_threads_leave_the_light_to_the_cloth() -> None:
    """With one thread the harbour is a picture of that thread and bare cloth."""
    chart = make_harbour(60, 45, 1, 1)
    share = float((chart.squares == 0).mean())
    assert 0.1 < share < 0.9


def test_paper_sheets_cover_the_chart_once() -> None:
    """Every square lies on exactly one sheet, and no two sheets have one name."""
    for columns, rows in ((12, 10), (120, 90), (601, 449), (4096, 4096)):
        sheets = lay_out_sheets(columns, rows)
        seen = np.zeros((rows, columns), np.uint8)
        for sheet in sheets:
            assert sheet.area.clipped(Area(0, 0, columns, rows)) == sheet.area
            seen[sheet.area.slices()] += 1
        assert (seen == 1).all()
        assert len({sheet.name for sheet in sheets}) == len(sheets)


def test_a_large_harbour_needs_little_memory() -> None:
    """Making a chart takes a small multiple of the memory of its own squares."""
    tracemalloc.start()
    try:
        chart = make_harbour(1600, 1600, 90, 1)
        _, most = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert most < 32 * chart.squares.nbytes + 100 * MEBIBYTE
