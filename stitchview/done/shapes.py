"""The marking shapes: from a square, a path or an area to the stitches that a hand means."""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.joined import Mask
from stitchview.chart.model import Chart
from stitchview.done.change import Indices, Selection, no_indices
from stitchview.done.patches import joined_squares
from stitchview.done.reach import part_under, points_and_lines_near

FARTHEST = 1 << 16
"""Squares off the chart beyond which a path is not followed."""


@dataclass(frozen=True, slots=True)
class Takes:
    """What a shape takes: crosses (with part stitches), lines, points; `only` one key number, or all."""

    crosses: bool = True
    lines: bool = True
    points: bool = True
    only: int | None = None


def single(chart: Chart, x: float, y: float, takes: Takes) -> Selection:
    """The one stitch meant at (`x`, `y`) in squares.

    A knot or bead within reach wins over a line within reach, that over the part stitch under the
    point, and that over the square.
    """
    point, line = points_and_lines_near(chart, x, y, takes.only)
    if takes.points and point is not None:
        return Selection(points=np.array([point]))
    if takes.lines and line is not None:
        return Selection(lines=np.array([line]))
    column, row = int(np.floor(x)), int(np.floor(y))
    if not takes.crosses or not chart.area.holds(column, row):
        return Selection()
    part = part_under(chart, x, y, takes.only)
    if part is not None:
        return Selection(parts=np.array([part]))
    wanted = _wanted(chart.squares[row : row + 1, column : column + 1], takes.only)
    return Selection(squares=np.array([row * chart.columns + column]) if wanted.any() else no_indices())


def sweep(chart: Chart, path: Sequence[tuple[int, int]], takes: Takes) -> Selection:
    """Everything under a path of squares (column, row); gaps between its samples are filled.

    A line belongs to it when both its ends and its middle lie on squares of the path.
    """
    columns, rows = _filled(path)
    inside = (columns >= 0) & (columns < chart.columns) & (rows >= 0) & (rows < chart.rows)
    swept = np.unique(rows[inside] * chart.columns + columns[inside])
    return _on_squares(chart, swept, takes)


def rectangle(chart: Chart, area: Area, takes: Takes) -> Selection:
    """Everything in `area`; a line belongs to it when both its ends lie in it or on its edge."""
    area = area.clipped(chart.area)
    if area.empty:
        return Selection()
    squares = parts = no_indices()
    if takes.crosses:
        squares = _true_squares(chart, area, _wanted(chart.squares[area.slices()], takes.only))
        mine = _wanted(chart.parts.keys, takes.only)
        parts = np.flatnonzero(mine & _within(area, chart.parts.columns, chart.parts.rows))
    lines, points = chart.lines, chart.points
    edge = Area(2 * area.column, 2 * area.row, 2 * area.columns + 1, 2 * area.rows + 1)
    ends = _within(edge, lines.x1, lines.y1) & _within(edge, lines.x2, lines.y2)
    spots = _within(edge, points.x, points.y)
    return Selection(squares, parts, _taken_lines(chart, ends, takes), _taken_points(chart, spots, takes))


def run(chart: Chart, column: int, row: int, takes: Takes, down: bool) -> Selection:
    """Neighbouring squares of one thread along the row, or along the column when `down`."""
    thread = _thread_at(chart, column, row, takes)
    if thread is None:
        return Selection()
    line = Area(column, 0, 1, chart.rows) if down else Area(0, row, chart.columns, 1)
    at = row if down else column
    stops = np.flatnonzero(~_Ground(chart, thread)(line).ravel())
    place = int(np.searchsorted(stops, at))
    first = int(stops[place - 1]) + 1 if place else 0
    last = int(stops[place]) if place < len(stops) else line.count
    steps = np.arange(first, last)
    squares = steps * chart.columns + column if down else row * chart.columns + steps
    return _of_thread(chart, squares, thread)


def patch(chart: Chart, column: int, row: int, takes: Takes) -> Selection:
    """All squares of one thread that are joined to this one edge by edge."""
    thread = _thread_at(chart, column, row, takes)
    if thread is None:
        return Selection()
    squares = joined_squares(_Ground(chart, thread), chart.area, column, row)
    return _of_thread(chart, squares, thread)


def thread_in(chart: Chart, area: Area, key_number: int, takes: Takes) -> Selection:
    """Everything of one thread in `area`."""
    return rectangle(chart, area, replace(takes, only=key_number))


def _wanted(keys: NDArray[np.uint16], only: int | None) -> Mask:
    mask: Mask = (keys != 0) if only is None else (keys == only)
    return mask


def _within(area: Area, columns: NDArray[Any], rows: NDArray[Any]) -> Mask:
    mask: Mask = (columns >= area.column) & (columns < area.right) & (rows >= area.row) & (rows < area.bottom)
    return mask


def _true_squares(chart: Chart, area: Area, mask: Mask) -> Indices:
    if area == chart.area:
        return np.flatnonzero(mask)
    rows, columns = np.nonzero(mask)
    return (rows + area.row) * chart.columns + columns + area.column


def _taken_lines(chart: Chart, inside: Mask, takes: Takes) -> Indices:
    return np.flatnonzero(inside & _wanted(chart.lines.keys, takes.only)) if takes.lines else no_indices()


def _taken_points(chart: Chart, inside: Mask, takes: Takes) -> Indices:
    return np.flatnonzero(inside & _wanted(chart.points.keys, takes.only)) if takes.points else no_indices()


def _filled(path: Sequence[tuple[int, int]]) -> tuple[Indices, Indices]:
    """The squares of a path with a step to a neighbour (also cornerwise) from each to the next."""
    corners = np.clip(np.array(path, np.int64).reshape(-1, 2), -FARTHEST, FARTHEST)
    pieces = [corners[:1]]
    for start, stop in itertools.pairwise(corners):
        steps = int(np.abs(stop - start).max())
        along = np.arange(1, steps + 1)[:, None]
        pieces.append(start + (2 * (stop - start) * along + steps) // max(2 * steps, 1))
    filled = np.concatenate(pieces)
    return filled[:, 0], filled[:, 1]


def _on_squares(chart: Chart, squares: Indices, takes: Takes) -> Selection:
    lines, points = chart.lines, chart.points
    on_ends = _touches(chart, squares, lines.x1, lines.y1) & _touches(chart, squares, lines.x2, lines.y2)
    # The middle is looked up on a lattice twice as fine, where a whole square is 4 wide.
    middle = _touches(chart, squares, lines.x1 + lines.x2, lines.y1 + lines.y2, size=4)
    spots = _touches(chart, squares, points.x, points.y)
    crosses = parts = no_indices()
    if takes.crosses:
        crosses = squares[_wanted(chart.squares.reshape(-1)[squares], takes.only)]
        parts = _parts_in(chart, squares, takes.only)
    return Selection(
        crosses, parts, _taken_lines(chart, on_ends & middle, takes), _taken_points(chart, spots, takes)
    )


def _touches(
    chart: Chart, squares: Indices, x: NDArray[np.int32], y: NDArray[np.int32], size: int = 2
) -> Mask:
    """Which points, on a lattice of `size` steps a square, lie in or on the edge of one of `squares`."""
    touched = np.zeros(len(x), bool)
    for column in (x // size, (x - 1) // size):
        for row in (y // size, (y - 1) // size):
            there = _within(chart.area, column, row)
            touched |= there & _member(squares, row.astype(np.int64) * chart.columns + column)
    return touched


def _member(squares: Indices, asked: Indices) -> Mask:
    if len(squares) == 0:
        return np.zeros(len(asked), bool)
    at = np.minimum(np.searchsorted(squares, asked), len(squares) - 1)
    mask: Mask = squares[at] == asked
    return mask


def _parts_in(chart: Chart, squares: Indices, only: int | None) -> Indices:
    flat = chart.parts.rows.astype(np.int64) * chart.columns + chart.parts.columns
    return np.flatnonzero(_wanted(chart.parts.keys, only) & _member(squares, flat))


def _of_thread(chart: Chart, squares: Indices, thread: int) -> Selection:
    crosses = squares[chart.squares.reshape(-1)[squares] == thread]
    return Selection(crosses, _parts_in(chart, squares, thread))


def _thread_at(chart: Chart, column: int, row: int, takes: Takes) -> int | None:
    """The thread of a run or patch: the one in hand if it is there, else the cross's, else a part's."""
    if not takes.crosses or not chart.area.holds(column, row):
        return None
    here = (chart.parts.columns == column) & (chart.parts.rows == row)
    threads = [int(chart.squares[row, column]), *(int(key) for key in chart.parts.keys[here])]
    present = [thread for thread in threads if thread]
    if takes.only is not None:
        return takes.only if takes.only in present else None
    return present[0] if present else None


class _Ground:
    """The squares of one thread, whole or in part, asked for area by area."""

    def __init__(self, chart: Chart, thread: int) -> None:
        mine = chart.parts.keys == thread
        self._squares, self._thread = chart.squares, thread
        self._columns, self._rows = chart.parts.columns[mine], chart.parts.rows[mine]

    def __call__(self, area: Area) -> Mask:
        mask: Mask = self._squares[area.slices()] == self._thread
        inside = _within(area, self._columns, self._rows)
        mask[self._rows[inside] - area.row, self._columns[inside] - area.column] = True
        return mask
