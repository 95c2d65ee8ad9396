"""The thread that whole and part stitches take: runs, the ways between them, tails of each patch."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.model import Chart
from stitchview.chart.stitches import PartShape
from stitchview.follow.length import Needle, part_mm, row_mm
from stitchview.plan.manner import Manner
from stitchview.plan.tracks import Grid, Lengths, Tracks, Whole, tracks_of

NEIGHBOURS = ((0, 0), (0, -1), (0, 1), (-1, 0), (1, 0), (-1, -1), (-1, 1), (1, -1), (1, 1))

PIECE = 1 << 15
"""So many runs are summed at once: what lies in the fast memory is not fetched anew."""

Parts = NDArray[np.uint16]


@dataclass(frozen=True, eq=False, slots=True)
class Taken:
    """What stitches take by value of the grid, all arrays of shape (values,), lengths in needle thread.

    `stitched_mm` is in and behind stitches, `carried_mm` from one to the next, `tails_mm` lost where
    the thread begins and ends; `starts` says how often it does, a patch of two working lengths
    counting twice.
    """

    stitched_mm: Lengths
    carried_mm: Lengths
    tails_mm: Lengths
    starts: Lengths

    @property
    def total_mm(self) -> Lengths:
        """All of it."""
        return self.stitched_mm + self.carried_mm + self.tails_mm

    def plus(self, other: "Taken") -> "Taken":
        """Both together."""
        return Taken(
            self.stitched_mm + other.stitched_mm,
            self.carried_mm + other.carried_mm,
            self.tails_mm + other.tails_mm,
            self.starts + other.starts,
        )


def nothing_taken(values: int) -> Taken:
    """What no stitches take."""
    none = np.zeros(values)
    return Taken(none, none, none, none)


def squares_taken(
    chart: Chart, squares: Grid, parts: Parts, values: int, needle: Needle, manner: Manner
) -> Taken:
    """What the whole and part stitches of a chart take.

    `squares` (rows, columns) and `parts` (n,) give each a value from 1 up to below `values`, 0 for
    what does not count: the number of its key entry, told apart as the caller likes.
    """
    grid = _with_parts(chart, squares, parts)
    tracks = tracks_of(grid, needle.pitch, manner.carry_mm)
    if not len(tracks) and not len(parts):
        return nothing_taken(values)
    crosses = _crosses_of(tracks, squares, grid)
    first = row_mm(needle, 1)
    each = row_mm(needle, 2) - first
    worked: Lengths = np.multiply(crosses, each)
    worked += first - each
    if grid is not squares:
        worked[crosses == 0] = 0.0
    mine, part_lengths = _runs_of_parts(chart, grid, tracks, parts, needle)
    on = mine >= 0
    if on.any():
        worked += summed(mine[on], part_lengths[on], len(tracks))
    taken = _of_patches(tracks, worked, values, needle, manner.detour)
    return taken if on.all() else taken.plus(_alone(parts[~on], part_lengths[~on], values, needle))


def starts_of(lengths: Lengths, needle: Needle) -> Lengths:
    """How often the thread begins in patches of such lengths: once, more in those above one needleful.

    Of a working length the usable share goes into stitches: checks.md, 2.4.
    """
    starts: Lengths = np.maximum(1.0, lengths / needle.usable_mm)
    return starts


def tails_mm(needle: Needle) -> float:
    """What is lost whenever the thread begins and ends."""
    return needle.length_mm - needle.usable_mm


def summed(values_of: NDArray[np.integer], lengths: Lengths, values: int) -> Lengths:
    """The sum of lengths by value, shape (values,)."""
    sums: Lengths = np.bincount(values_of, lengths, minlength=values).astype(np.float64, copy=False)
    return sums


def _with_parts(chart: Chart, squares: Grid, parts: Parts) -> Grid:
    """The squares where those that bear part stitches only have the value of one of them."""
    if not parts.any():
        return squares
    grid = squares.copy()
    rows, columns = chart.parts.rows, chart.parts.columns
    bare = (parts != 0) & (squares[rows, columns] == 0)
    grid[rows[bare], columns[bare]] = parts[bare]
    return grid


def _crosses_of(tracks: Tracks, squares: Grid, grid: Grid) -> Whole:
    """How many whole stitches each run has; squares of part stitches only hold it together."""
    if grid is squares:
        return tracks.lengths
    partly = tracks.of_square[(grid != 0) & (squares == 0)]
    return tracks.lengths - np.bincount(partly, minlength=len(tracks))


def _runs_of_parts(
    chart: Chart, grid: Grid, tracks: Tracks, parts: Parts, needle: Needle
) -> tuple[Whole, Lengths]:
    """The run that each part stitch is worked with, -1 for none and where it does not count."""
    lengths = np.array([0.0, *(part_mm(needle, shape) for shape in PartShape)])[chart.parts.shapes]
    lengths = np.where(parts == 0, 0.0, lengths)
    mine = np.full(len(parts), -1, np.int64)
    for down, across in NEIGHBOURS:
        rows, columns = chart.parts.rows + down, chart.parts.columns + across
        there = (rows >= 0) & (rows < chart.rows) & (columns >= 0) & (columns < chart.columns)
        at = np.flatnonzero(there & (mine < 0) & (parts != 0))
        at = at[grid[rows[at], columns[at]] == parts[at]]
        mine[at] = tracks.of_square[rows[at], columns[at]]
    return mine, lengths


def _of_patches(tracks: Tracks, worked: Lengths, values: int, needle: Needle, detour: float) -> Taken:
    told = tracks.ways_mm * needle.factor
    told[1:] *= detour
    stitched, carried, both = np.zeros(values), np.zeros(values), np.empty(len(tracks))
    for at in range(0, len(tracks), PIECE):
        piece = slice(at, at + PIECE)
        keys, ways = tracks.keys[piece].astype(np.intp), told.take(tracks.which[piece])
        stitched += summed(keys, worked[piece], values)
        carried += summed(keys, ways, values)
        np.add(ways, worked[piece], out=both[piece])
    begins = tracks.begins
    patches = summed(tracks.patches(), both, len(tracks)).take(begins)
    starts = summed(tracks.keys.take(begins), starts_of(patches, needle), values)
    return Taken(stitched, carried, starts * tails_mm(needle), starts)


def _alone(parts: Parts, lengths: Lengths, values: int, needle: Needle) -> Taken:
    """Part stitches that share their square with another thread and have none of their own beside."""
    starts = summed(parts, (parts != 0).astype(np.float64), values)
    return Taken(summed(parts, lengths, values), np.zeros(values), starts * tails_mm(needle), starts)
