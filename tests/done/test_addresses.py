"""Addresses name stitches so that marks outlive corrections and added sheets."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.model import Chart, KeyEntry, Symbol
from stitchview.chart.stitches import Lines, Parts, Points
from stitchview.done.addresses import Addresses, check_numbers
from stitchview.done.change import DONE, FAMILIES, OPEN, Change, Selection
from stitchview.done.deflated import MalformedStroke
from stitchview.done.marks import Marks, change_to
from stitchview.done.shapes import Takes, rectangle
from stitchview.errors import LayerError


def change_on(chart: Chart, seed: int) -> Change:
    """A change that unpicks about half of what is done, which is about half of all stitches."""
    random = np.random.default_rng(seed)
    marks = Marks(chart)
    sizes = [states.size for states in marks.families]
    chosen = [Selection(*(np.flatnonzero(random.random(size) < 0.5) for size in sizes)) for _ in range(2)]
    marked = change_to(marks, chosen[0], DONE)
    assert marked is not None
    marks.apply(marked)
    unpicked = change_to(marks, chosen[1], OPEN)
    assert unpicked is not None
    return unpicked


def shifted(chart: Chart, column: int, row: int) -> Chart:
    """The chart with `column` bare columns more at its left and `row` rows more at its top."""
    parts, lines, points = chart.parts, chart.lines, chart.points
    return replace(
        chart,
        squares=np.pad(chart.squares, ((row, 0), (column, 0))),
        origin=(chart.origin[0] - column, chart.origin[1] - row),
        parts=Parts(parts.columns + column, parts.rows + row, parts.shapes, parts.keys),
        lines=Lines(
            lines.x1 + 2 * column,
            lines.y1 + 2 * row,
            lines.x2 + 2 * column,
            lines.y2 + 2 * row,
            lines.kinds,
            lines.keys,
        ),
        points=Points(points.x + 2 * column, points.y + 2 * row, points.kinds, points.keys),
    )


def assert_same(one: Change, other: Change) -> None:
    assert one.area == other.area
    for mine, theirs in zip(one.families, other.families, strict=True):
        assert mine.indices.tolist() == theirs.indices.tolist()
        assert mine.old.tolist() == theirs.old.tolist()
        assert mine.new.tolist() == theirs.new.tolist()


@given(st.integers(0, 10**6), st.tuples(st.integers(-(10**6), 10**6), st.integers(-(10**6), 10**6)))
def test_a_change_comes_back_as_it_went(
    small_chart: Callable[[], Chart], seed: int, origin: tuple[int, int]
) -> None:
    """Written as addresses and read again, a change of any stitches is the same."""
    chart = replace(small_chart(), origin=origin)
    change = change_on(chart, seed)
    addresses = Addresses(chart)
    rows = addresses.rows_of(change)
    check_numbers(rows)
    assert_same(addresses.change_of(rows), change)


@given(st.integers(0, 10**6), st.integers(0, 5), st.integers(0, 5))
def test_a_sheet_added_at_the_left_or_top_moves_no_mark(
    small_chart: Callable[[], Chart], seed: int, column: int, row: int
) -> None:
    """The chart grows to the left and the top: the marks move along with their stitches."""
    chart = small_chart()
    change = change_on(chart, seed)
    grown = shifted(chart, column, row)
    moved = Addresses(grown).change_of(Addresses(chart).rows_of(change))
    rows, columns = np.divmod(change.squares.indices, chart.columns)
    assert moved.squares.indices.tolist() == ((rows + row) * grown.columns + columns + column).tolist()
    for family in range(1, len(FAMILIES)):
        assert moved.families[family].indices.tolist() == change.families[family].indices.tolist()
    assert_same(Addresses(chart).change_of(Addresses(grown).rows_of(moved)), change)


def test_addresses_are_counted_from_the_origin(small_chart: Callable[[], Chart]) -> None:
    """The numbers in the file are those the format tells of, in squares or half squares."""
    chart = replace(small_chart(), origin=(-3, 5))
    marks = Marks(chart)
    chosen = Selection(np.array([13, 14, 15, 25]), np.array([11]), np.array([2]), np.array([0]))
    change = change_to(marks, chosen, DONE)
    assert change is not None
    squares, parts, lines, points = Addresses(chart).rows_of(change)
    states = OPEN + 256 * DONE
    assert squares.tolist() == [[1 + 5, 1 - 3, 3, states], [2 + 5, 1 - 3, 1, states]]
    assert parts.tolist() == [[5 - 3, 5 + 5, chart.parts.shapes[11], 0, states]]
    assert lines.tolist() == [[7 - 6, 7 + 10, 12 - 6, 9 + 10, 2, 0, states]]
    assert points.tolist() == [[11 - 6, 12 + 10, 1, 0, states]]


def test_a_line_drawn_the_other_way_round_keeps_its_mark(small_chart: Callable[[], Chart]) -> None:
    """A corrected chart may draw a back stitch from its other end; it is the same stitch."""
    chart = small_chart()
    lines = chart.lines
    turned = replace(chart, lines=Lines(lines.x2, lines.y2, lines.x1, lines.y1, lines.kinds, lines.keys))
    change = change_on(chart, 3)
    assert len(change.lines)
    back = Addresses(turned).change_of(Addresses(chart).rows_of(change))
    assert back.lines.indices.tolist() == change.lines.indices.tolist()


def test_stitches_of_one_address_are_told_apart() -> None:
    """Two back stitches of two threads on one line are marked one by one."""
    x1, x2, level = np.array([0, 0, 4, 0], np.int32), np.array([4, 4, 8, 4], np.int32), np.zeros(4, np.int32)
    keys = np.array([1, 2, 1, 3], np.uint16)
    lines = Lines(x1, level, x2, level, np.ones(4, np.uint8), keys)
    chart = Chart(np.zeros((2, 5), np.uint16), (), lines=lines)
    addresses = Addresses(chart)
    for chosen in ([0], [1], [3], [0, 2, 3], [1, 3]):
        marks = Marks(replace(chart, key=tuple(KeyEntry(code, Symbol(code), code) for code in "abc")))
        change = change_to(marks, Selection(lines=np.array(chosen)), DONE)
        assert change is not None
        assert addresses.change_of(addresses.rows_of(change)).lines.indices.tolist() == chosen


def test_a_stitch_taken_out_of_the_chart_is_left_out(small_chart: Callable[[], Chart]) -> None:
    """A mark whose stitch is gone marks nothing, and what else its stroke marked stays."""
    chart = small_chart()
    change = change_to(Marks(chart), rectangle(chart, chart.area, Takes()), DONE)
    assert change is not None
    rows = Addresses(chart).rows_of(change)
    squares = chart.squares.copy()
    squares[1:3, 3] = 0
    lines = chart.lines
    ends = lines.x1[1:], lines.y1[1:], lines.x2[1:], lines.y2[1:]
    fewer = Lines(*ends, lines.kinds[1:], lines.keys[1:])
    corrected = replace(chart, squares=squares, lines=fewer, points=Points())
    left = Addresses(corrected).change_of(rows)
    assert left.squares.indices.tolist() == np.flatnonzero(squares.ravel()).tolist()
    assert left.lines.indices.tolist() == [0, 1, 2]
    assert len(left.points) == 0
    narrow = replace(chart, squares=chart.squares[2:7, 3:9].copy(), origin=(3, 2), parts=Parts())
    cut = Addresses(narrow).change_of(rows)
    assert cut.squares.indices.tolist() == np.flatnonzero(narrow.squares.ravel()).tolist()


def runs(*rows: tuple[int, int, int, int]) -> np.ndarray[tuple[int, ...], np.dtype[np.int32]]:
    return np.array(rows, np.int32).reshape(-1, 4)


@pytest.mark.parametrize(
    "squares",
    [
        runs((0, 0, 0, 256)),
        runs((0, 0, -5, 256)),
        runs((0, 0, 2**31 - 1, 256)),
        runs((0, 0, 4097, 256)),
        runs((0, 0, 3, 256), (0, 2, 1, 256)),
        runs((1, 0, 1, 256), (0, 0, 1, 256)),
        runs((0, 0, 1, 255)),
        runs((0, 0, 1, 256 * 9)),
        runs((0, 0, 1, -1)),
    ],
)
def test_runs_that_no_hand_made_are_refused(
    small_chart: Callable[[], Chart], squares: np.ndarray[tuple[int, ...], np.dtype[np.int32]]
) -> None:
    """Impossible lengths, overlaps, wrong order and unknown states are refused, not guessed at."""
    none = tuple(np.zeros((0, width), np.int32) for width in (5, 7, 5))
    with pytest.raises(MalformedStroke):
        Addresses(small_chart()).change_of((squares, none[0], none[1], none[2]))


def test_addresses_at_the_end_of_numbers_hit_nothing(small_chart: Callable[[], Chart]) -> None:
    """The largest numbers a file can hold neither overflow nor mark anything."""
    ends = (-(2**31), 2**31 - 1)
    squares = runs(*((row, column, 1, 256) for row in ends for column in ends))
    parts = np.array([(a, b, 1, n, 256) for a in ends for b in ends for n in ends], np.int32)
    lines = np.array([(a, b, a, b, 1, n, 256) for a in ends for b in ends for n in ends], np.int32)
    points = np.array([(a, b, 1, n, 256) for a in ends for b in ends for n in ends], np.int32)
    change = Addresses(small_chart()).change_of((squares, parts, lines, points))
    assert change.count == 0
    assert change.area.empty


def test_an_origin_out_of_all_bounds_is_refused(small_chart: Callable[[], Chart]) -> None:
    """An origin that no address could be counted from gets a sentence."""
    with pytest.raises(LayerError, match="origin"):
        Addresses(replace(small_chart(), origin=(2**40, 0)))
