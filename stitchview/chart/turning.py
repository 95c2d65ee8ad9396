"""Quarter turns and mirrorings: where the squares of a chart stand when the hoop, not the head, is turned."""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.chart.stitches import CORNERS, QUARTERS, THREE_QUARTERS, Lines, Parts, PartShape, Points


@dataclass(frozen=True, slots=True)
class Turn:
    """A chart mirrored left to right if `mirrored`, and then turned clockwise by `quarters` (0 to 3).

    These eight are all the ways to lay squares on squares (the symmetries of the square). What is
    turned is named by the size it has before: `width` and `height`, in whatever unit.
    """

    quarters: int = 0
    mirrored: bool = False

    @property
    def upright(self) -> bool:
        """Whether nothing is turned at all."""
        return not self.quarters and not self.mirrored

    @property
    def lies(self) -> bool:
        """Whether rows of the chart run up and down, so that width and height change places."""
        return self.quarters % 2 == 1

    @property
    def swaps_slants(self) -> bool:
        """Whether what rises to the right falls to the right once turned."""
        return self.lies != self.mirrored

    @property
    def back(self) -> "Turn":
        """The turn that undoes this one; it takes the size the turned chart has."""
        return self if self.mirrored else Turn(-self.quarters % 4)

    def then(self, other: "Turn") -> "Turn":
        """This turn, and the `other` after it."""
        quarters = -self.quarters if other.mirrored else self.quarters
        return Turn((other.quarters + quarters) % 4, self.mirrored != other.mirrored)

    def size(self, width: int, height: int) -> tuple[int, int]:
        """The width and height of what was `width` by `height`."""
        return (height, width) if self.lies else (width, height)

    def point(self, x: float, y: float, width: float, height: float) -> tuple[float, float]:
        """Where the point (`x`, `y`) of an area of that size comes to lie."""
        if self.mirrored:
            x = width - x
        match self.quarters:
            case 1:
                return height - y, x
            case 2:
                return width - x, height - y
            case 3:
                return y, width - x
        return x, y

    def square(self, column: int, row: int, columns: int, rows: int) -> tuple[int, int]:
        """Where the square (`column`, `row`) of a chart of that size comes to lie."""
        x, y = self.point(column, row, columns - 1, rows - 1)
        return int(x), int(y)

    def area(self, area: Area, columns: int, rows: int) -> Area:
        """Where an area of a chart of that size comes to lie."""
        if self.upright:
            return area
        x1, y1 = self.point(area.column, area.row, columns, rows)
        x2, y2 = self.point(area.right, area.bottom, columns, rows)
        # An empty area turned backwards stays empty: its sizes keep their signs.
        wide, high = self.size(area.columns, area.rows)
        return Area(int(x1 if wide == x2 - x1 else x2), int(y1 if high == y2 - y1 else y2), wide, high)

    def step(self, across: int, down: int) -> tuple[int, int]:
        """Which way a step (rightwards, downwards) of the chart goes."""
        x, y = self.point(across, down, 0, 0)
        return int(x), int(y)

    def grid(self, grid: NDArray[Any]) -> NDArray[Any]:
        """An array of shape (rows, columns, ...) turned; it shares its memory, so it follows changes."""
        if self.mirrored:
            grid = grid[:, ::-1]
        return np.rot90(grid, -self.quarters)

    def shape(self, shape: int) -> int:
        """Which part stitch, of `PartShape`, is seen where `shape` lies."""
        corner = CORNERS.get(PartShape(shape))
        if corner is None:
            swapped = PartShape.HALF_RISING + PartShape.HALF_FALLING - shape
            return int(swapped) if self.swaps_slants else int(shape)
        right, bottom = self.point(*corner, 1, 1)
        group = QUARTERS if shape in QUARTERS else THREE_QUARTERS
        return int(group[int(bottom) * 2 + int(right)])


UPRIGHT = Turn()
RIGHT, HALF, LEFT = Turn(1), Turn(2), Turn(3)
MIRRORED = Turn(0, mirrored=True)


def turned_chart(chart: Chart, turn: Turn) -> Chart:
    """The chart as it is seen when turned, its stitches in the same order; the same chart when upright.

    It is for looking at only: its sheets, addresses, doubts and corrections are those of the upright chart.
    """
    if turn.upright:
        return chart
    return replace(
        chart,
        squares=np.ascontiguousarray(turn.grid(chart.squares)),
        parts=_turned_parts(chart, turn),
        lines=_turned_lines(chart, turn),
        points=_turned_points(chart, turn),
    )


def _turned_parts(chart: Chart, turn: Turn) -> Parts:
    parts = chart.parts
    columns, rows = _turned(turn, parts.columns, parts.rows, (chart.columns - 1, chart.rows - 1))
    shapes = np.arange(max(PartShape) + 1, dtype=np.uint8)
    for shape in PartShape:
        shapes[shape] = turn.shape(shape)
    return replace(parts, columns=columns, rows=rows, shapes=shapes[parts.shapes])


def _turned_lines(chart: Chart, turn: Turn) -> Lines:
    lines, size = chart.lines, (2 * chart.columns, 2 * chart.rows)
    x1, y1 = _turned(turn, lines.x1, lines.y1, size)
    x2, y2 = _turned(turn, lines.x2, lines.y2, size)
    return replace(lines, x1=x1, y1=y1, x2=x2, y2=y2)


def _turned_points(chart: Chart, turn: Turn) -> Points:
    points = chart.points
    x, y = _turned(turn, points.x, points.y, (2 * chart.columns, 2 * chart.rows))
    return replace(points, x=x, y=y)


def _turned(
    turn: Turn, x: NDArray[np.int32], y: NDArray[np.int32], size: tuple[int, int]
) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
    """Points of shape (n,) turned, as `Turn.point` turns one."""
    width, height = size
    if turn.mirrored:
        x = np.int32(width) - x
    ways = (
        (x, y),
        (np.int32(height) - y, x),
        (np.int32(width) - x, np.int32(height) - y),
        (y, np.int32(width) - x),
    )
    across, down = ways[turn.quarters]
    return across.copy(), down.copy()
