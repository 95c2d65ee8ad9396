"""Lines, knots and beads of the picture, each with the ink it is wished in, on the half-square lattice."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import IntEnum
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.harbour.shapes import Mask, Point, corners_of
from stitchview.chart.stitches import LineKind, PointKind

Table = NDArray[np.int64]
Hole = tuple[int, int]
LONGEST_PIECE = 16
SLANTED_PIECE = 8
HIDDEN_FROM = 2


class Ink(IntEnum):
    """The thread a line, a knot or a bead is wished in."""

    OUTLINE = 0
    RIGGING = 1
    FRAME = 2
    RAY = 3
    FOAM = 4
    GULL = 5
    WINDOW = 6
    LANTERN = 7
    PORT = 8
    STARBOARD = 9
    STAR = 10


@dataclass
class Needlework:
    """Growing tables: `lines` of x1, y1, x2, y2, kind, ink and `points` of x, y, kind, ink.

    Coordinates are half squares from the chart's top left corner.
    """

    lines: Table = field(default_factory=lambda: np.zeros((0, 6), np.int64))
    points: Table = field(default_factory=lambda: np.zeros((0, 4), np.int64))
    _new_lines: list[tuple[int, ...]] = field(default_factory=list)
    _new_points: list[tuple[int, ...]] = field(default_factory=list)

    def back(self, start: Point, end: Point, ink: Ink) -> None:
        """Back stitch from hole to hole: pieces of at most eight squares along the grid, of four aslant."""
        (x1, y1), (x2, y2) = _snapped(start), _snapped(end)
        slanted = x1 != x2 and y1 != y2
        self._chain((x1, y1), (x2, y2), SLANTED_PIECE if slanted else LONGEST_PIECE, (LineKind.BACK, ink))

    def straight(self, start: Point, end: Point, ink: Ink) -> None:
        """A straight stitch, or several in a row where one would be too long to lie well."""
        self._chain(_snapped(start), _snapped(end), LONGEST_PIECE, (LineKind.STRAIGHT, ink))

    def path(self, points: Sequence[Point], ink: Ink) -> None:
        """Back stitch from each point to the next."""
        for start, end in pairwise(points):
            self.back(start, end, ink)

    def outline(self, points: Sequence[Point], ink: Ink = Ink.OUTLINE) -> None:
        """Back stitch all round a figure."""
        self.path([*points, points[0]], ink)

    def frame(self, area: Area, ink: Ink) -> None:
        """Back stitch round a rectangle of whole squares."""
        self.outline(corners_of(area), ink)

    def knot(self, place: Point, ink: Ink) -> None:
        """A French knot."""
        self._new_points.append((*_snapped(place), PointKind.KNOT, ink))

    def bead(self, place: Point, ink: Ink) -> None:
        """A bead."""
        self._new_points.append((*_snapped(place), PointKind.BEAD, ink))

    def take(self, other: "Needlework") -> None:
        """Add all of another's lines and points."""
        other.settle()
        self.settle()
        self.lines = np.concatenate([self.lines, other.lines])
        self.points = np.concatenate([self.points, other.points])

    def hide(self, area: Area, mask: Mask) -> None:
        """Drop what a thing nearer to the eye covers: `mask` has the shape of `area`."""
        self.settle()
        shares = np.array([0.1, 0.3, 0.5, 0.7, 0.9])
        across = self.lines[:, [0]] + (self.lines[:, [2]] - self.lines[:, [0]]) * shares
        down = self.lines[:, [1]] + (self.lines[:, [3]] - self.lines[:, [1]]) * shares
        self.lines = self.lines[_covered(across, down, area, mask).sum(axis=1) < HIDDEN_FROM]
        across, down = self.points[:, 0].astype(float), self.points[:, 1].astype(float)
        self.points = self.points[~_covered(across, down, area, mask)]

    def settle(self) -> None:
        """Move what was added one by one into the tables."""
        if self._new_lines:
            self.lines = np.concatenate([self.lines, np.array(self._new_lines, np.int64)])
        if self._new_points:
            self.points = np.concatenate([self.points, np.array(self._new_points, np.int64)])
        self._new_lines, self._new_points = [], []

    def _chain(self, start: Hole, end: Hole, longest: int, how: tuple[int, int]) -> None:
        """Go from lattice point to lattice point in pieces of at most `longest` half squares."""
        for here, there in pairwise(_holes(start, end, longest)):
            self._add(*here, *there, how)

    def _add(self, x1: int, y1: int, x2: int, y2: int, how: tuple[int, int]) -> None:
        if (x1, y1) != (x2, y2):
            self._new_lines.append((x1, y1, x2, y2, *how))


def _snapped(place: Point) -> Hole:
    return round(place[0] * 2), round(place[1] * 2)


def _holes(start: Hole, end: Hole, longest: int) -> list[Hole]:
    """Lattice points from `start` to `end`, chosen to lie as near as can be to the straight line."""
    across, down = end[0] - start[0], end[1] - start[1]
    length = max(abs(across), abs(down))
    holes, at = [start], 0
    while at < length:
        ahead = range(min(at + longest, length), min(at + (longest + 1) // 2, length) - 1, -1)
        # Of two that lie equally near the farther one comes first, so that nothing is cut up in vain.
        at = length if ahead[0] == length else min(ahead, key=lambda to: _beside(across, down, to, length))
        holes.append((start[0] + round(across * at / length), start[1] + round(down * at / length)))
    return holes


def _beside(across: int, down: int, to: int, length: int) -> float:
    """How far from the line the lattice point lies that a piece `to` there would take."""
    return max(abs(part * to / length - round(part * to / length)) for part in (across, down))


def _covered(
    across: NDArray[np.float64], down: NDArray[np.float64], area: Area, mask: Mask
) -> NDArray[np.bool_]:
    columns = np.floor(across / 2).astype(np.int64) - area.column
    rows = np.floor(down / 2).astype(np.int64) - area.row
    near = (columns >= 0) & (columns < area.columns) & (rows >= 0) & (rows < area.rows)
    covered = np.zeros(columns.shape, np.bool_)
    covered[near] = mask[rows[near], columns[near]]
    return covered
