"""Which stitches a printed sheet shows, by its squares, and how many of each thread there are."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.model import Squares
from stitchview.done.change import DONE, Indices
from stitchview.done.marks import Marks
from stitchview.plan.printwish import DoneAs

Counts = NDArray[np.int64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True, eq=False, slots=True)
class AreaCounts:
    """How many stitches an area has and how many of them are left, shape (key entries,) each."""

    left: Counts
    all: Counts


class PrintStitches:
    """The stitches of a chart that are printed; lines and points on an area's edge belong to it."""

    def __init__(self, marks: Marks, done: DoneAs) -> None:
        self.marks, self.done = marks, done
        self.chart = marks.chart

    def squares(self, area: Area) -> tuple[Squares, Flags]:
        """The key numbers of an area, shape (rows, columns), 0 for nothing to print; and which are grey."""
        numbers, done = self.chart.squares[area.slices()], self.marks.squares[area.slices()] == DONE
        if self.done is DoneAs.LEFT_OUT:
            numbers = np.where(done, np.uint16(0), numbers)
        return numbers, done & (self.done is DoneAs.GREY)

    def parts(self, area: Area) -> Indices:
        """Which part stitches lie in an area."""
        return self._kept(self._parts_in(area), self.marks.parts)

    def lines(self, area: Area) -> Indices:
        """Which lines reach into an area, or run along its edge."""
        return self._kept(self._lines_in(area), self.marks.lines)

    def points(self, area: Area) -> Indices:
        """Which knots and beads lie in an area or on its edge."""
        return self._kept(self._points_in(area), self.marks.points)

    def is_grey(self, states: NDArray[np.uint8], index: int) -> bool:
        """Whether the stitch at `index` of a family is printed grey."""
        return self.done is DoneAs.GREY and bool(states[index] == DONE)

    def anything(self, area: Area) -> bool:
        """Whether there is anything to print in an area."""
        if self.squares(area)[0].any():
            return True
        return any(len(each(area)) for each in (self.parts, self.lines, self.points))

    def counts(self, area: Area) -> AreaCounts:
        """How many stitches of each thread an area has, whichever of them are printed."""
        chart, marks = self.chart, self.marks
        squares = chart.squares[area.slices()].reshape(-1)
        families = [(squares, marks.squares[area.slices()].reshape(-1))]
        for keys, states, found in (
            (chart.parts.keys, marks.parts, self._parts_in(area)),
            (chart.lines.keys, marks.lines, self._lines_in(area)),
            (chart.points.keys, marks.points, self._points_in(area)),
        ):
            families.append((keys[found], states[found]))
        size = len(chart.key) + 1
        everything, left = np.zeros(size, np.int64), np.zeros(size, np.int64)
        for keys, states in families:
            everything += np.bincount(keys, minlength=size)
            left += np.bincount(keys[states != DONE], minlength=size)
        return AreaCounts(left[1:], everything[1:])

    def _kept(self, found: Indices, states: NDArray[np.uint8]) -> Indices:
        return found[states[found] != DONE] if self.done is DoneAs.LEFT_OUT else found

    def _parts_in(self, area: Area) -> Indices:
        columns, rows = self.chart.parts.columns, self.chart.parts.rows
        across = (columns >= area.column) & (columns < area.right)
        return np.flatnonzero(across & (rows >= area.row) & (rows < area.bottom))

    def _lines_in(self, area: Area) -> Indices:
        lines = self.chart.lines
        across = _meets(lines.x1, lines.x2, area.column, area.right)
        return np.flatnonzero(across & _meets(lines.y1, lines.y2, area.row, area.bottom))

    def _points_in(self, area: Area) -> Indices:
        points = self.chart.points
        across = _meets(points.x, points.x, area.column, area.right)
        return np.flatnonzero(across & _meets(points.y, points.y, area.row, area.bottom))


def _meets(one: NDArray[np.int32], other: NDArray[np.int32], begin: int, end: int) -> Flags:
    """Which reach from half square `one` to `other` within the squares from `begin` to `end`."""
    found: Flags = (np.maximum(one, other) >= 2 * begin) & (np.minimum(one, other) <= 2 * end)
    return found
