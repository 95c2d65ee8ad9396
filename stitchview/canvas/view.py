"""Which part of the chart the canvas shows, how large, and how squares and pixels convert."""

import math
from dataclasses import dataclass, replace

from stitchview.chart.area import Area

SMALLEST_PITCH = 1 / 64
LARGEST_PITCH = 160
# From here up half a pixel more or less no longer matters, and whole pixels are crisper.
LARGEST_FRACTION = 4
# The share of the canvas that may lie beyond the chart's edge, so that a last row can sit mid-screen.
BEYOND = 0.5


@dataclass(frozen=True, slots=True)
class View:
    """A look through a `width` x `height` window at a chart of `columns` x `rows` squares.

    Everything is in device pixels. `pitch` is the size of a square: a whole number, so that every
    line is crisp, or, where squares are too small to be told apart anyway, any fraction; above 1
    only to show the whole of something as large as it fits. The chart's top left corner stands at
    (-`left`, -`top`), both whole, so that a pan moves whole pixels.
    """

    columns: int
    rows: int
    width: int
    height: int
    pitch: float = 16
    left: int = 0
    top: int = 0

    @property
    def whole(self) -> bool:
        """Whether a square is a whole number of pixels (from 1 up)."""
        return self.pitch >= 1 and float(self.pitch).is_integer()

    @property
    def chart_width(self) -> int:
        """How many pixels the whole chart is wide."""
        return max(1, round(self.columns * self.pitch))

    @property
    def chart_height(self) -> int:
        """How many pixels the whole chart is high."""
        return max(1, round(self.rows * self.pitch))

    @property
    def centre(self) -> tuple[float, float]:
        """The point of the chart at the middle of the window, in squares."""
        return self.exact_at(self.width / 2, self.height / 2)

    def exact_at(self, x: float, y: float) -> tuple[float, float]:
        """Give the point of the chart under the pixel position (`x`, `y`), in squares."""
        return (x + self.left) / self.pitch, (y + self.top) / self.pitch

    def square_at(self, x: float, y: float) -> tuple[int, int]:
        """Give the square (column, row) under a pixel position; it may lie outside the chart."""
        column, row = self.exact_at(x, y)
        return math.floor(column), math.floor(row)

    def pixel_of(self, x: float, y: float) -> tuple[int, int]:
        """Give the pixel position of a point given in squares, rounded to a whole pixel."""
        return math.floor(x * self.pitch + 0.5) - self.left, math.floor(y * self.pitch + 0.5) - self.top

    def pixels_of(self, area: Area) -> tuple[int, int, int, int]:
        """Give an area's (x, y, width, height) in pixels."""
        x, y = self.pixel_of(area.column, area.row)
        right, bottom = self.pixel_of(area.right, area.bottom)
        return x, y, right - x, bottom - y

    def area_under(self, x: int, y: int, width: int, height: int) -> Area:
        """Give the squares of the chart that a rectangle of pixels touches."""
        column, row = self.square_at(x, y)
        right, bottom = self.square_at(x + width - 1, y + height - 1)
        touched = Area(column, row, right - column + 1, bottom - row + 1)
        return touched.clipped(Area(0, 0, self.columns, self.rows))

    @property
    def area(self) -> Area:
        """The squares that are at least partly in the window."""
        return self.area_under(0, 0, self.width, self.height)

    def panned(self, right: int, down: int) -> "View":
        """Look `right` and `down` pixels further, as far as the chart allows."""
        return replace(self, left=self.left + right, top=self.top + down).held()

    def held(self) -> "View":
        """Give the same view, kept where the chart can be seen: a small chart stands in the middle."""
        return replace(
            self,
            left=_held(self.left, self.width, self.chart_width),
            top=_held(self.top, self.height, self.chart_height),
        )

    def resized(self, width: int, height: int) -> "View":
        """Give the view for another window size, with the same point in the middle."""
        x, y = self.centre
        return replace(self, width=max(1, width), height=max(1, height)).centred(x, y)

    def centred(self, x: float, y: float) -> "View":
        """Put the point (`x`, `y`), in squares, in the middle of the window as far as can be."""
        left = math.floor(x * self.pitch - self.width / 2 + 0.5)
        top = math.floor(y * self.pitch - self.height / 2 + 0.5)
        return replace(self, left=left, top=top).held()

    def zoomed(self, pitch: float, x: float, y: float) -> "View":
        """Give another size of square, keeping what is under the pixel position (`x`, `y`) there."""
        column, row = self.exact_at(x, y)
        size = snapped(pitch)
        left, top = math.floor(column * size - x + 0.5), math.floor(row * size - y + 0.5)
        return replace(self, pitch=size, left=left, top=top).held()

    def showing(self, area: Area, margin: float = 0.0) -> "View":
        """Show the whole of `area` as large as it fits, with a `margin` (share of the window) around."""
        room = 1 - 2 * margin
        across = self.width * room / max(1, area.columns)
        down = self.height * room / max(1, area.rows)
        fitted = min(across, down)
        whole = fitted >= LARGEST_FRACTION
        pitch = snapped(math.floor(fitted)) if whole else max(fitted, SMALLEST_PITCH)
        middle = area.column + area.columns / 2, area.row + area.rows / 2
        return replace(self, pitch=pitch).centred(*middle)


def snapped(pitch: float) -> float:
    """Give the nearest size of square that the canvas draws: whole pixels from 1 up."""
    bounded = min(max(pitch, SMALLEST_PITCH), LARGEST_PITCH)
    return float(math.floor(bounded + 0.5)) if bounded >= 1 else bounded


def _held(offset: int, window: int, chart: int) -> int:
    if chart <= window:
        return -((window - chart) // 2)
    beyond = int(window * BEYOND)
    return min(max(offset, -beyond), chart - window + beyond)
