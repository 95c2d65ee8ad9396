"""The patch of a square: grow a window round it until all that is joined to it lies in the window."""

from collections.abc import Callable

import numpy as np

from stitchview.chart.area import Area
from stitchview.chart.joined import Mask, Runs, expanded, labels_of, runs_of_mask
from stitchview.done.change import Indices

FIRST_REACH = 8

Ground = Callable[[Area], Mask]
"""Gives, for an area inside the chart, a (rows, columns) mask of the squares that may join."""


def joined_squares(ground: Ground, whole: Area, column: int, row: int) -> Indices:
    """The squares joined by edges to (`column`, `row`), flat in `whole`, sorted; none off the ground.

    Looks at no more than about twice the width and height of the patch.
    """
    window = Area(column, row, 1, 1).grown(FIRST_REACH).clipped(whole)
    if not whole.holds(column, row):
        return np.zeros(0, np.int64)
    while True:
        runs = runs_of_mask(ground(window))
        mine = _component(runs, (row - window.row) * runs.width + column - window.column)
        grown = _grown_where_touched(mine, window).clipped(whole)
        if grown == window:
            return _flat(mine, window, whole.columns)
        window = grown


def _component(runs: Runs, seed: int) -> Runs:
    at = int(np.searchsorted(runs.starts, seed, side="right")) - 1
    if at < 0 or seed >= runs.ends[at]:
        return runs.chosen(np.zeros(len(runs), np.bool_))
    labels = labels_of(runs)
    return runs.chosen(labels == labels[at])


def _grown_where_touched(mine: Runs, window: Area) -> Area:
    if len(mine) == 0:
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


def _flat(mine: Runs, window: Area, columns: int) -> Indices:
    rows, across = np.divmod(mine.starts, mine.width)
    return expanded((rows + window.row) * columns + across + window.column, mine.lengths)
