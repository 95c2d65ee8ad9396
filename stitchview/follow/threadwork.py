"""What is left to stitch of a thread, in all and in an area, found without asking the rest of the chart."""

from collections.abc import Collection
from copy import copy
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.joined import Indices, Mask
from stitchview.chart.model import Chart
from stitchview.done.change import DONE, FAMILIES, FIRST_LEG, LATER, MISTAKE, STATES, States
from stitchview.done.counts import Counts, Progress
from stitchview.done.marks import Marks
from stitchview.follow.rowindex import RowIndex

NOT_NEXT = (DONE, LATER)
"""States of stitches that she is not sent to; in all others there is work to do."""


@dataclass(frozen=True, slots=True)
class Left:
    """How many whole squares, part stitches, lines, and knots and beads are left."""

    squares: int = 0
    parts: int = 0
    lines: int = 0
    points: int = 0

    @property
    def total(self) -> int:
        """All stitches that are left."""
        return self.squares + self.parts + self.lines + self.points

    @property
    def in_squares(self) -> int:
        """Whole squares and part stitches: what fills cloth, and comes before lines, knots and beads."""
        return self.squares + self.parts


class ThreadWork:
    """The stitches of each thread that are left, as the marks stand whenever it is asked.

    Where a `number` is asked for, it is that of a key entry, from 1; None stands for all threads but
    those left out. What is marked as later is not left for now; first legs and mistakes are. Indices
    count the chart's stitch tables. Made once for a chart, O(part stitches, lines, points).
    """

    def __init__(self, marks: Marks) -> None:
        self.marks = marks
        parts, lines, points = self.chart.parts, self.chart.lines, self.chart.points
        self._parts = RowIndex(parts.columns, parts.rows)
        ends_x, ends_y = np.concatenate((lines.x1, lines.x2)), np.concatenate((lines.y1, lines.y2))
        self._ends = RowIndex(ends_x, ends_y)
        self._points = RowIndex(points.x, points.y)
        self._taken: Mask | None = None

    @property
    def chart(self) -> Chart:
        """The chart of the marks, with the key as it is worked now."""
        return self.marks.chart

    def leaving_out(self, numbers: Collection[int]) -> "ThreadWork":
        """The same work, where None stands for all threads but these; O(1), asks the same marks."""
        work = copy(self)
        work._taken = None
        if numbers:
            work._taken = np.ones(len(self.chart.key) + 1, bool)
            work._taken[[self.checked(number) for number in numbers]] = False
        return work

    @property
    def numbers(self) -> tuple[int, ...]:
        """The numbers of all key entries that are not left out."""
        every = np.ones(len(self.chart.key) + 1, bool) if self._taken is None else self._taken
        return tuple((np.flatnonzero(every[1:]) + 1).tolist())

    def among(self, keys: NDArray[np.uint16], number: int | None = None) -> Mask:
        """Which of some stitches, given by their key numbers (0 for none), are asked for with `number`."""
        asked: Mask
        if number is not None:
            asked = keys == self.checked(number)
        else:
            asked = keys != 0 if self._taken is None else self._taken[keys] & (keys != 0)
        return asked

    def left(self, number: int | None = None) -> Left:
        """What is left in all; O(1) for one thread."""
        tally = self.marks.tally.counts
        if number is not None:
            rows = tally[self.checked(number)][None]
        else:
            rows = tally if self._taken is None else tally[self._taken]
        left = rows.sum(axis=(0, 2)) - rows[:, :, NOT_NEXT].sum(axis=(0, 2))
        return Left(*left.tolist())

    def left_in(self, area: Area, number: int | None = None) -> Left:
        """What is left in `area`, counted as marking all of it would: a line needs both its ends in it."""
        found = self.parts_left(area, number), self.lines_left(area, number), self.points_left(area, number)
        return Left(int(np.count_nonzero(self.crosses_left(area, number))), *(len(each) for each in found))

    def left_by_thread(self, area: Area) -> Counts:
        """What is left in `area` by key number and family, shape (key entries + 1, 4), as in `left_in`."""
        chart, here = self.chart, area.clipped(self.chart.area).slices()
        counts = np.zeros((len(chart.key) + 1, len(FAMILIES)), np.int64)
        keys = (
            chart.squares[here][self.crosses_left(area)],
            chart.parts.keys[self.parts_left(area)],
            chart.lines.keys[self.lines_left(area)],
            chart.points.keys[self.points_left(area)],
        )
        for family, each in enumerate(keys):
            counts[:, family] = np.bincount(each, minlength=len(counts))
        counts[0] = 0
        return counts

    def states_in(self, area: Area) -> Progress:
        """How many stitches of `area`, as `left_in` has it, are done, first legs, for later or mistakes."""
        marks, here = self.marks, area.clipped(self.chart.area).slices()
        stitched = marks.squares[here][self.chart.squares[here] != 0]
        loose = (
            marks.parts[self._parts.within(area)],
            marks.lines[self._lines_in(area)],
            marks.points[self._points.within(self._edge(area))],
        )
        counts = np.bincount(np.concatenate((stitched, *loose)), minlength=STATES)
        first, *rest = (int(counts[state]) for state in (DONE, FIRST_LEG, LATER, MISTAKE))
        return Progress(int(counts.sum()), first, *rest)

    def in_squares(self, area: Area) -> int:
        """How many whole and part stitches there are in `area`, done or not."""
        crosses = self.among(self.chart.squares[area.clipped(self.chart.area).slices()])
        parts = self.among(self.chart.parts.keys[self._parts.within(area)])
        return int(np.count_nonzero(crosses)) + int(np.count_nonzero(parts))

    def crosses_left(self, area: Area, number: int | None = None) -> Mask:
        """Which squares of `area`, clipped to the chart, have a whole stitch left: (rows, columns)."""
        here = area.clipped(self.chart.area).slices()
        left = self.among(self.chart.squares[here], number)
        if left.any():
            left &= is_next(self.marks.squares[here])
        return left

    def squares_left(self, area: Area, number: int | None = None) -> Mask:
        """Which squares of `area`, clipped, have a whole or a part stitch left: (rows, columns)."""
        area = area.clipped(self.chart.area)
        left = self.crosses_left(area, number)
        parts = self.parts_left(area, number)
        if len(parts):
            rows, columns = self.chart.parts.rows[parts], self.chart.parts.columns[parts]
            left[rows - area.row, columns - area.column] = True
        return left

    def all_squares_left(self, number: int) -> Indices:
        """All squares with a whole or a part stitch of the thread left, flat and sorted; O(chart)."""
        there = np.flatnonzero(self.chart.squares.reshape(-1) == self.checked(number))
        squares: Indices = there[is_next(self.marks.squares.reshape(-1)[there])]
        parts = self.parts_left(self.chart.area, number)
        if not len(parts):
            return squares
        flat = self.chart.parts.rows[parts].astype(np.int64) * self.chart.columns
        flat = np.unique(flat + self.chart.parts.columns[parts])
        # Put in where they belong, which is far cheaper than sorting all of them anew.
        at = np.searchsorted(squares, flat)
        new = np.append(squares, -1)[at] != flat
        both: Indices = np.insert(squares, at[new], flat[new])
        return both

    def parts_left(self, area: Area, number: int | None = None) -> Indices:
        """The part stitches left in `area`, row by row."""
        found = self._parts.within(area)
        return found[self._wanted(self.chart.parts.keys[found], self.marks.parts[found], number)]

    def lines_left(self, area: Area, number: int | None = None) -> Indices:
        """The lines left with both ends in `area` or on its edge."""
        found = self._lines_in(area)
        return found[self._wanted(self.chart.lines.keys[found], self.marks.lines[found], number)]

    def line_ends_left(self, area: Area, number: int | None = None) -> Indices:
        """The ends in `area` or on its edge of lines left: a line's first end, or that + `len(lines)`."""
        lines = self.chart.lines
        ends = self._ends.within(self._edge(area))
        found = ends % max(1, len(lines))
        return ends[self._wanted(lines.keys[found], self.marks.lines[found], number)]

    def points_left(self, area: Area, number: int | None = None) -> Indices:
        """The knots and beads left in `area` or on its edge."""
        found = self._points.within(self._edge(area))
        return found[self._wanted(self.chart.points.keys[found], self.marks.points[found], number)]

    def checked(self, number: int) -> int:
        """The `number`, if the key has an entry of that number; else `ValueError`."""
        if not 1 <= number <= len(self.chart.key):
            raise ValueError(f"the key has no entry number {number}")
        return number

    def _lines_in(self, area: Area) -> Indices:
        """The lines with both ends in `area` or on its edge, done or not."""
        lines = self.chart.lines
        edge = self._edge(area)
        found = self._ends.within(edge)
        found = found[found < len(lines)]
        x, y = lines.x2[found], lines.y2[found]
        inside: Indices = found[(x >= edge.column) & (x < edge.right) & (y >= edge.row) & (y < edge.bottom)]
        return inside

    def _edge(self, area: Area) -> Area:
        """The lattice points in half squares that lie in `area` or on its edge."""
        area = area.clipped(self.chart.area)
        if area.empty:
            return area
        return Area(2 * area.column, 2 * area.row, 2 * area.columns + 1, 2 * area.rows + 1)

    def _wanted(self, keys: NDArray[np.uint16], states: NDArray[np.uint8], number: int | None) -> Mask:
        left = is_next(states)
        left &= self.among(keys, number)
        return left


def is_next(states: States) -> Mask:
    """Which of some stitches there is work at now, by their states; of any shape."""
    here: Mask = (states != DONE) & (states != LATER)
    return here
