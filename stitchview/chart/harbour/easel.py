"""The painting in progress: colour, material and outline of every square, laid on from far to near."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.colour import Colour
from stitchview.chart.harbour.chance import scrambled
from stitchview.chart.harbour.needlework import Needlework
from stitchview.chart.harbour.shapes import Mask, Point, bar, bounds, corners_of, disc, inside

Bytes = NDArray[np.uint8]
LABELS = 255


class Stuff(IntEnum):
    """What a square shows, which decides the kind of thread it is worked in."""

    SKY = 0
    LAND = 1
    WATER = 2
    LIGHT = 3
    GOLD = 4
    SILVER = 5


@dataclass(frozen=True, slots=True)
class Coat:
    """How a shape is filled: its colour, and how that changes over the shape.

    `across` and `down` brighten (above 0) or darken from one edge to the other, `grain` scatters,
    `course` darkens one row in so many (planks, tiles, bricks); shares of full brightness.
    """

    colour: Colour
    stuff: Stuff = Stuff.LAND
    across: float = 0.0
    down: float = 0.0
    grain: float = 0.0
    course: int = 0


class Patch:
    """One thing painted on glass: the squares it covers, and its lines, knots and beads."""

    def __init__(self, area: Area, label: int) -> None:
        self.area = area
        shape = (max(area.rows, 0), max(area.columns, 0))
        self.colours: Bytes = np.zeros((*shape, 3), np.uint8)
        self.stuff: Bytes = np.zeros(shape, np.uint8)
        self.labels: Bytes = np.zeros(shape, np.uint8)
        self.needlework = Needlework()
        self._label = label

    @property
    def mask(self) -> Mask:
        """The squares that are covered, shape (rows, columns) of the area."""
        return self.labels > 0

    def polygon(self, points: Sequence[Point], coat: Coat) -> None:
        """Fill the polygon with these corners (x, y in squares of the chart)."""
        whole = bounds(points)
        seen = whole.clipped(self.area)
        if seen.empty:
            return
        mask = inside(points, seen)
        self._label = self._label % LABELS + 1
        rows, columns = Area(
            seen.column - self.area.column, seen.row - self.area.row, seen.columns, seen.rows
        ).slices()
        self.colours[rows, columns][mask] = shaded(coat, whole, seen)[mask]
        self.stuff[rows, columns][mask] = coat.stuff
        self.labels[rows, columns][mask] = self._label

    def cover(self, points: Sequence[Point], coat: Coat) -> None:
        """Fill a polygon that also hides the lines and knots of this patch behind it."""
        seen = bounds(points).clipped(self.area)
        if not seen.empty:
            self.needlework.hide(seen, inside(points, seen))
        self.polygon(points, coat)

    def box(self, area: Area, coat: Coat) -> None:
        """Fill a rectangle of whole squares."""
        self.polygon(corners_of(area), coat)

    def disc(self, middle: Point, radius: float, coat: Coat) -> None:
        """Fill a disc."""
        self.polygon(disc(middle, radius, radius), coat)

    def bar(self, start: Point, end: Point, thickness: float, coat: Coat) -> None:
        """Fill a straight bar."""
        self.polygon(bar(start, end, thickness), coat)


class Painting:
    """All squares of the picture, each with its colour (sRGB bytes), material and outline label."""

    def __init__(self, columns: int, rows: int, horizon: int) -> None:
        self.area = Area(0, 0, columns, rows)
        self.horizon = horizon
        self.colours: Bytes = np.zeros((rows, columns, 3), np.uint8)
        self.stuff: Bytes = np.zeros((rows, columns), np.uint8)
        self.labels: Bytes = np.zeros((rows, columns), np.uint8)
        self.waves: NDArray[np.int8] = np.zeros((rows - horizon, columns), np.int8)
        self.needlework = Needlework()
        self._patches = 0

    def patch(self, area: Area) -> Patch:
        """A clear patch over the part of `area` that lies in the picture."""
        self._patches += 1
        return Patch(area.clipped(self.area), self._patches * 37 % LABELS)


def lay(ground: Painting | Patch, patch: Patch) -> None:
    """Put a patch on the picture or on a larger patch: it covers what is behind it, lines and knots too."""
    if patch.area.empty:
        return
    mask = patch.mask
    area = patch.area
    left, top = area.column - ground.area.column, area.row - ground.area.row
    place = Area(left, top, area.columns, area.rows).slices()
    ground.colours[place][mask] = patch.colours[mask]
    ground.stuff[place][mask] = patch.stuff[mask]
    ground.labels[place][mask] = patch.labels[mask]
    ground.needlework.hide(area, mask)
    ground.needlework.take(patch.needlework)


def shaded(coat: Coat, whole: Area, seen: Area) -> Bytes:
    """The colours of a coat over the part `seen` of a shape that spans `whole`, shape (rows, columns, 3)."""
    across = (seen.column + 0.5 + np.arange(seen.columns) - whole.column) / max(whole.columns, 1)
    down = (seen.row + 0.5 + np.arange(seen.rows) - whole.row) / max(whole.rows, 1)
    light = 1 + coat.across * (across[None, :] - 0.5) + coat.down * (down[:, None] - 0.5)
    if coat.grain:
        light = light + coat.grain * (grain(seen) - 0.5)
    if coat.course:
        dark_rows = (seen.row + np.arange(seen.rows)) % coat.course == 0
        light = light * np.where(dark_rows, 0.84, 1.0)[:, None]
    colour = np.array([coat.colour.red, coat.colour.green, coat.colour.blue], np.float64)
    return np.asarray(np.clip(np.rint(light[:, :, None] * colour), 0, 255), np.uint8)


def grain(area: Area) -> NDArray[np.float64]:
    """A number from 0 to 1 for each square of the area, the same wherever the area begins."""
    columns = np.arange(area.column + (1 << 20), area.right + (1 << 20), dtype=np.uint64)
    rows = np.arange(area.row + (1 << 20), area.bottom + (1 << 20), dtype=np.uint64)
    numbers = scrambled((rows[:, None] << np.uint64(32)) + columns[None, :])
    return np.asarray((numbers >> np.uint64(40)).astype(np.float64) / float(1 << 24))
