"""The stitches left in an area as spots on the cloth, to be chosen by distance or in reading order."""

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.joined import Mask
from stitchview.done.change import FAMILIES
from stitchview.follow.clothpitch import Pitch
from stitchview.follow.threadwork import ThreadWork

ALIKE = 1 + 1e-9
"""Distances that differ by less than this factor are alike, however the computer rounds them."""

SQUARE, PART, LINE, POINT = range(len(FAMILIES))

Whole = NDArray[np.int64]
Distances = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Found:
    """A stitch to go to: one of `FAMILIES`, its index there, its square, and how far it lies from the place.

    A line is found at the end it was reached by; its square is the one below and to the right of that
    end, as far as the chart goes. Squares have flat indices (row * columns + column).
    """

    family: str
    index: int
    column: int
    row: int
    mm: float


@dataclass(frozen=True, eq=False, slots=True)
class Spots:
    """n stitches: `families` (as in `FAMILIES`) and `indices`, their squares, and where they are.

    All arrays have shape (n,). `x` and `y` are in squares from the chart's top left corner.
    """

    families: Whole
    indices: Whole
    columns: Whole
    rows: Whole
    x: Distances
    y: Distances

    def __len__(self) -> int:
        return len(self.indices)

    def inside(self, area: Area) -> "Spots":
        """Only those whose squares lie in `area`."""
        across = (self.columns >= area.column) & (self.columns < area.right)
        kept = across & (self.rows >= area.row) & (self.rows < area.bottom)
        return Spots(*(getattr(self, each.name)[kept] for each in fields(self)))

    def away(self, place: tuple[int, int], pitch: Pitch) -> Distances:
        """How many millimetres each lies from the middle of the square `place`, shape (n,)."""
        across = (self.x - place[0] - 0.5) * pitch.across_mm
        down = (self.y - place[1] - 0.5) * pitch.down_mm
        away: Distances = np.hypot(across, down)
        return away

    def in_order(self) -> Whole:
        """The order in which they are read: row by row, from left to right."""
        return np.lexsort((self.indices, self.families, self.columns, self.rows))

    def nearest(self, away: Distances) -> int:
        """Which has the least of the distances `away`; of those alike the lowest row, then column."""
        near = np.flatnonzero(away <= away.min() * ALIKE)
        keys = (self.indices[near], self.families[near], self.columns[near], self.rows[near])
        return int(near[np.lexsort(keys)[0]])

    def found(self, at: int, mm: float) -> Found:
        """The spot `at` by itself."""
        family = FAMILIES[int(self.families[at])]
        return Found(family, int(self.indices[at]), int(self.columns[at]), int(self.rows[at]), mm)


def near_in_squares(work: ThreadWork, number: int | None, column: int, area: Area) -> Spots:
    """The part stitches left in `area`, and of each row the whole squares nearest to `column`."""
    area = area.clipped(work.chart.area)
    left = work.crosses_left(area, number)
    middle = min(max(column - area.column, 0), area.columns)
    rows, columns = _first_in_rows(left[:, middle:])
    rows_before, steps = _first_in_rows(left[:, :middle][:, ::-1])
    rows = np.concatenate((rows, rows_before))
    columns = np.concatenate((columns + middle, middle - 1 - steps))
    return _in_squares(work, columns + area.column, rows + area.row, work.parts_left(area, number))


def end_in_squares(work: ThreadWork, number: int | None, last: bool, area: Area) -> Spots:
    """The part stitches left in `area`, and the first or `last` whole square in reading order."""
    area = area.clipped(work.chart.area)
    left = work.crosses_left(area, number).ravel()
    rows, columns = np.divmod(_end_of(left, last), max(1, area.columns))
    return _in_squares(work, columns + area.column, rows + area.row, work.parts_left(area, number))


def spots_on_lattice(work: ThreadWork, number: int | None, area: Area) -> Spots:
    """The ends of lines left in `area` or on its edge, both ends of each, and the knots and beads."""
    lines = work.chart.lines
    ends, points = work.line_ends_left(area, number), work.points_left(area, number)
    indices = ends % max(1, len(lines))
    second = ends >= len(lines)
    x = np.where(second, lines.x2[indices], lines.x1[indices])
    y = np.where(second, lines.y2[indices], lines.y1[indices])
    return _on_lattice(work, (indices, x, y), points)


def starts_on_lattice(work: ThreadWork, number: int | None, area: Area) -> Spots:
    """As `spots_on_lattice`, but each line only at its upper end, or its left one if it is level."""
    lines = work.chart.lines
    ends, points = work.line_ends_left(area, number), work.points_left(area, number)
    indices = ends % max(1, len(lines))
    x1, y1, x2, y2 = (each[indices] for each in (lines.x1, lines.y1, lines.x2, lines.y2))
    second_is_first = (y2 < y1) | ((y2 == y1) & (x2 < x1))
    kept = second_is_first == (ends >= len(lines))
    x, y = np.where(second_is_first, x2, x1)[kept], np.where(second_is_first, y2, y1)[kept]
    return _on_lattice(work, (indices[kept], x, y), points)


def _on_lattice(
    work: ThreadWork, lines: tuple[Whole, NDArray[np.int32], NDArray[np.int32]], points: Whole
) -> Spots:
    indices, x, y = lines
    x = np.concatenate((x, work.chart.points.x[points])).astype(np.int64)
    y = np.concatenate((y, work.chart.points.y[points])).astype(np.int64)
    return Spots(
        np.repeat((LINE, POINT), (len(indices), len(points))),
        np.concatenate((indices, points)),
        np.minimum(x // 2, work.chart.columns - 1),
        np.minimum(y // 2, work.chart.rows - 1),
        x / 2,
        y / 2,
    )


def _first_in_rows(mask: Mask) -> tuple[Whole, Whole]:
    """Rows with anything true, and the column of the first there."""
    if mask.shape[1] == 0:
        return np.zeros(0, np.int64), np.zeros(0, np.int64)
    first = mask.argmax(axis=1)
    rows = np.flatnonzero(mask[np.arange(len(mask)), first])
    return rows, first[rows]


def _end_of(left: Mask, last: bool) -> Whole:
    """The first or `last` true place of a flat mask; none if none is true."""
    if not len(left):
        return np.zeros(0, np.int64)
    at = len(left) - 1 - int(left[::-1].argmax()) if last else int(left.argmax())
    return np.array([at])[left[at : at + 1]]


def _in_squares(work: ThreadWork, columns: Whole, rows: Whole, parts: Whole) -> Spots:
    families = np.repeat((SQUARE, PART), (len(rows), len(parts)))
    indices = np.concatenate((rows * work.chart.columns + columns, parts))
    columns = np.concatenate((columns, work.chart.parts.columns[parts]))
    rows = np.concatenate((rows, work.chart.parts.rows[parts]))
    x, y = columns.astype(np.float64) + 0.5, rows.astype(np.float64) + 0.5
    return Spots(families, indices, columns, rows, x, y)
