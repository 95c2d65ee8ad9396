"""Joined squares: grow a window round a square until the patch lies wholly in it, and label by runs."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.done.change import Indices

FIRST_REACH = 8

Mask = NDArray[np.bool_]
Ground = Callable[[Area], Mask]
"""Gives, for an area inside the chart, a (rows, columns) mask of the squares that may join."""


@dataclass(frozen=True, slots=True)
class _Runs:
    """Runs of true squares, row by row: `starts` and `ends` in a flat array of `width` a row."""

    starts: Indices
    ends: Indices
    width: int


def joined_squares(ground: Ground, whole: Area, column: int, row: int) -> Indices:
    """The squares joined by edges to (`column`, `row`), flat in `whole`, sorted; none off the ground.

    Looks at no more than about twice the width and height of the patch.
    """
    window = Area(column, row, 1, 1).grown(FIRST_REACH).clipped(whole)
    if not whole.holds(column, row):
        return np.zeros(0, np.int64)
    while True:
        runs = _runs_of(ground(window))
        mine = _component(runs, (row - window.row) * runs.width + column - window.column)
        grown = _grown_where_touched(mine, window).clipped(whole)
        if grown == window:
            return _flat(mine, window, whole.columns)
        window = grown


def expanded(starts: Indices, lengths: Indices) -> Indices:
    """All whole numbers of runs that begin at `starts` and are `lengths` (1 or more) long, in order."""
    if len(starts) == 0:
        return np.zeros(0, np.int64)
    steps = np.ones(int(lengths.sum()), np.int64)
    steps[0] = starts[0]
    steps[np.cumsum(lengths[:-1])] = starts[1:] - starts[:-1] - lengths[:-1] + 1
    return np.cumsum(steps, out=steps)


def _runs_of(mask: Mask) -> _Runs:
    # One false column at the right keeps a run from going on in the next row.
    rows, columns = mask.shape
    padded = np.zeros(rows * (columns + 1) + 1, np.int8)
    padded[1:].reshape(rows, columns + 1)[:, :columns] = mask
    steps = np.diff(padded)
    return _Runs(np.flatnonzero(steps == 1), np.flatnonzero(steps == -1), columns + 1)


def _component(runs: _Runs, seed: int) -> _Runs:
    at = int(np.searchsorted(runs.starts, seed, side="right")) - 1
    if at < 0 or seed >= runs.ends[at]:
        return _Runs(runs.starts[:0], runs.ends[:0], runs.width)
    labels = _labels(len(runs.starts), *_touching(runs))
    mine = labels == labels[at]
    return _Runs(runs.starts[mine], runs.ends[mine], runs.width)


def _touching(runs: _Runs) -> tuple[Indices, Indices]:
    """Pairs (upper, lower) of runs that lie over one another in neighbouring rows."""
    first = np.searchsorted(runs.ends, runs.starts + runs.width, side="right")
    last = np.searchsorted(runs.starts, runs.ends + runs.width, side="left")
    counts = last - first
    upper = np.flatnonzero(counts > 0)
    return np.repeat(upper, counts[upper]), expanded(first[upper], counts[upper])


def _labels(count: int, upper: Indices, lower: Indices) -> Indices:
    """The least run joined to each run; every round at least halves the trees of a component."""
    roots = np.arange(count)
    while len(upper):
        high, low = np.maximum(upper, lower), np.minimum(upper, lower)
        roots[high] = low
        while True:
            further = roots[roots]
            if np.array_equal(further, roots):
                break
            roots = further
        upper, lower = roots[upper], roots[lower]
        apart = upper != lower
        upper, lower = upper[apart], lower[apart]
    return roots


def _grown_where_touched(mine: _Runs, window: Area) -> Area:
    if len(mine.starts) == 0:
        return window
    left, right = mine.starts % mine.width, (mine.ends - 1) % mine.width
    first, last = window.column, window.right
    top, bottom = window.row, window.bottom
    if left.min() == 0:
        first -= window.columns
    if right.max() == window.columns - 1:
        last += window.columns
    if mine.starts[0] // mine.width == 0:
        top -= window.rows
    if mine.starts[-1] // mine.width == window.rows - 1:
        bottom += window.rows
    return Area(first, top, last - first, bottom - top)


def _flat(mine: _Runs, window: Area, columns: int) -> Indices:
    rows, across = np.divmod(mine.starts, mine.width)
    return expanded((rows + window.row) * columns + across + window.column, mine.ends - mine.starts)
