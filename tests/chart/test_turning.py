"""Turning the hoop moves every square to where numpy's own turns and flips move it, and back again."""

from collections.abc import Callable
from dataclasses import fields

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.chart.stitches import PartShape
from stitchview.chart.turning import HALF, LEFT, MIRRORED, RIGHT, UPRIGHT, Turn, turned_chart

turns = st.builds(Turn, st.integers(0, 3), st.booleans())
sizes = st.tuples(st.integers(1, 9), st.integers(1, 9))


def numpy_turned(grid: np.ndarray, turn: Turn) -> np.ndarray:
    """The same with numpy.fliplr and numpy.rot90, as NumPy documents them (k below 0 turns clockwise)."""
    return np.rot90(np.fliplr(grid) if turn.mirrored else grid, k=-turn.quarters)


@given(turns, sizes)
def test_squares_go_where_numpy_puts_them(turn: Turn, size: tuple[int, int]) -> None:
    """Every square of a numbered grid is found where `square` says, and `grid` is numpy's turned array."""
    columns, rows = size
    grid = np.arange(columns * rows).reshape(rows, columns)
    seen = numpy_turned(grid, turn)
    assert np.array_equal(turn.grid(grid), seen)
    assert turn.size(columns, rows) == (seen.shape[1], seen.shape[0])
    for row in range(rows):
        for column in range(columns):
            x, y = turn.square(column, row, columns, rows)
            assert seen[y, x] == grid[row, column]


@given(turns, sizes, st.data())
def test_areas_go_where_numpy_puts_them(turn: Turn, size: tuple[int, int], data: st.DataObject) -> None:
    """A marked area of a grid is the same area once turned; also one that is empty or beyond the chart."""
    columns, rows = size
    column, row = data.draw(st.integers(0, columns - 1)), data.draw(st.integers(0, rows - 1))
    area = Area(
        column, row, data.draw(st.integers(1, columns - column)), data.draw(st.integers(1, rows - row))
    )
    grid = np.zeros((rows, columns), bool)
    grid[area.slices()] = True
    turned = np.zeros_like(numpy_turned(grid, turn))
    turned[turn.area(area, columns, rows).slices()] = True
    assert np.array_equal(turned, numpy_turned(grid, turn))
    back = turn.back.area(turn.area(area, columns, rows), *turn.size(columns, rows))
    assert back == area
    assert turn.area(Area(column, row, 0, 0), columns, rows).empty


@given(turns, turns, sizes)
def test_one_turn_after_the_other_is_one_turn(one: Turn, other: Turn, size: tuple[int, int]) -> None:
    """Two turns together are the turn that `then` gives; every turn has one that undoes it."""
    grid = np.arange(size[0] * size[1]).reshape(size[::-1])
    assert np.array_equal(numpy_turned(numpy_turned(grid, one), other), numpy_turned(grid, one.then(other)))
    assert one.then(one.back) == UPRIGHT
    assert one.back.back == one


@given(st.lists(turns, max_size=12), sizes)
def test_any_sequence_of_turns_keeps_every_count(steps: list[Turn], size: tuple[int, int]) -> None:
    """However often she turns the hoop, no square is lost; the way back leads to the chart as it was."""
    grid = np.random.default_rng(len(steps)).integers(0, 5, size[::-1])
    seen, whole = grid, UPRIGHT
    for step in steps:
        seen, whole = step.grid(seen), whole.then(step)
    assert np.array_equal(np.bincount(seen.ravel(), minlength=5), np.bincount(grid.ravel(), minlength=5))
    assert np.array_equal(whole.back.grid(seen), grid)


@pytest.mark.parametrize("turn", [RIGHT, LEFT, MIRRORED, HALF])
def test_turning_four_times_is_nothing(turn: Turn) -> None:
    """Four quarters bring the top to the top again; so do two mirrorings."""
    assert turn.then(turn).then(turn).then(turn) == UPRIGHT
    assert MIRRORED.then(MIRRORED) == UPRIGHT


@given(turns)
def test_slants_swap_with_odd_quarters_and_mirrors(turn: Turn) -> None:
    """A rising line of squares rises or falls as numpy's turned identity matrix does."""
    falling = np.eye(3, dtype=bool)
    seen = numpy_turned(falling, turn)
    assert turn.swaps_slants == (not np.array_equal(seen, falling))
    assert turn.shape(PartShape.HALF_RISING) == (
        PartShape.HALF_FALLING if turn.swaps_slants else PartShape.HALF_RISING
    )


@given(turns, st.sampled_from(PartShape))
def test_corners_of_part_stitches_follow(turn: Turn, shape: PartShape) -> None:
    """A quarter in a corner is a quarter in the corner where numpy puts that corner of a 2 x 2 grid."""
    corners = ("TOP_LEFT", "TOP_RIGHT", "BOTTOM_LEFT", "BOTTOM_RIGHT")
    name = next((corner for corner in corners if shape.name.endswith(corner)), None)
    if name is None:
        return
    grid = np.zeros(4, bool)
    grid[corners.index(name)] = True
    seen = corners[int(np.flatnonzero(numpy_turned(grid.reshape(2, 2), turn).ravel())[0])]
    assert PartShape(turn.shape(shape)).name == shape.name.replace(name, seen)


@given(turns, st.integers(0, 50))
def test_stitches_of_a_chart_keep_their_place(
    random_chart: Callable[[int, int, int, int], Chart], turn: Turn, seed: int
) -> None:
    """Parts, lines and points keep their order and lie where their squares have gone, there and back."""
    chart = random_chart(9, 7, 3, seed)
    seen = turned_chart(chart, turn)
    assert np.array_equal(seen.squares, numpy_turned(chart.squares, turn))
    for n in range(len(chart.parts)):
        square = int(chart.parts.columns[n]), int(chart.parts.rows[n])
        assert turn.square(*square, 9, 7) == (int(seen.parts.columns[n]), int(seen.parts.rows[n]))
    marked = np.zeros((2 * 7 + 1, 2 * 9 + 1), int)
    marked[chart.points.y, chart.points.x] = chart.points.keys
    turned = np.zeros_like(numpy_turned(marked, turn))
    turned[seen.points.y, seen.points.x] = seen.points.keys
    assert np.array_equal(turned, numpy_turned(marked, turn))
    before, after = (
        np.sort(np.abs(np.stack([each.lines.x1 - each.lines.x2, each.lines.y1 - each.lines.y2])), axis=0)
        for each in (chart, seen)
    )
    assert np.array_equal(before, after)
    again = turned_chart(seen, turn.back)
    for name in ("parts", "lines", "points"):
        for field in fields(getattr(chart, name)):
            if field.name != "extra":
                before, after = (getattr(getattr(each, name), field.name) for each in (chart, again))
                assert np.array_equal(before, after)
