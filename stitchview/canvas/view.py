"""Which part of the chart the canvas shows, how large, and how squares and pixels convert."""

import math
from dataclasses import dataclass, replace

from stitchview.chart.area import Area
from stitchview.chart.turning import UPRIGHT, Turn

SMALLEST_PITCH = 1 / 64
LARGEST_PITCH = 160
# From here up half a pixel more or less no longer matters, and whole pixels are crisper.
LARGEST_FRACTION = 4
# The share of the canvas that may lie beyond the chart's edge, so that a last row can sit mid-screen.
BEYOND = 0.5


@dataclass(frozen=True, slots=True)
class View:
    """A look through a `width` x `height` window at a chart of `columns` x `rows` squares.

    The chart may be seen turned: columns, rows, points, squares and areas are always those of the upright
    chart. Everything else is in device pixels. `pitch` is the size of a square: a whole number, so that every
    line is crisp, or, where squares are too small to be told apart anyway, any fraction; above 1
    only to show the whole of something as large as it fits. The top left corner of the chart as it is
    seen stands at (-`left`, -`top`), both whole, so that a pan moves whole pixels.
    """

    columns: int
    rows: int
    width: int
    height: int
    pitch: float = 16
    left: int = 0
    top: int = 0
    turn: Turn = UPRIGHT

    @property
    def flat(self) -> "View":
        """The same look at the turned chart, as if that were one of its own that stands upright."""
        if self.turn.upright:
            return self
        columns, rows = self.turn.size(self.columns, self.rows)
        return replace(self, columns=columns, rows=rows, turn=UPRIGHT)

    @property
    def whole(self) -> bool:
        """Whether a square is a whole number of pixels (from 1 up)."""
        return self.pitch >= 1 and float(self.pitch).is_integer()

    @property
    def chart_width(self) -> int:
        """How many pixels the whole chart is wide."""
        return max(1, round(self.turn.size(self.columns, self.rows)[0] * self.pitch))

    @property
    def chart_height(self) -> int:
        """How many pixels the whole chart is high."""
        return max(1, round(self.turn.size(self.columns, self.rows)[1] * self.pitch))

    @property
    def centre(self) -> tuple[float, float]:
        """The point of the chart at the middle of the window, in squares."""
        return self.exact_at(self.width / 2, self.height / 2)

    def exact_at(self, pixel_x: float, pixel_y: float) -> tuple[float, float]:
        """Give the point of the chart under a pixel position, in squares."""
        across, down = (pixel_x + self.left) / self.pitch, (pixel_y + self.top) / self.pitch
        if self.turn.upright:
            return across, down
        x, y = self.turn.back.point(across, down, *self.turn.size(self.columns, self.rows))
        # A pixel at the border of two squares belongs to the one it is seen in, also when that is turned.
        column, row = self.square_at(pixel_x, pixel_y)
        return min(x, math.nextafter(column + 1, column)), min(y, math.nextafter(row + 1, row))

    def square_at(self, x: float, y: float) -> tuple[int, int]:
        """Give the square (column, row) under a pixel position; it may lie outside the chart."""
        column = math.floor((x + self.left) / self.pitch)
        row = math.floor((y + self.top) / self.pitch)
        if self.turn.upright:
            return column, row
        return self.turn.back.square(column, row, *self.turn.size(self.columns, self.rows))

    def pixel_of(self, x: float, y: float) -> tuple[int, int]:
        """Give the pixel position of a point given in squares, rounded to a whole pixel."""
        if not self.turn.upright:
            x, y = self.turn.point(x, y, self.columns, self.rows)
        return math.floor(x * self.pitch + 0.5) - self.left, math.floor(y * self.pitch + 0.5) - self.top

    def exact_pixel_of(self, x: float, y: float) -> tuple[float, float]:
        """Give the pixel position of a point given in squares, not rounded."""
        across, down = self.turn.point(x, y, self.columns, self.rows)
        return across * self.pitch - self.left, down * self.pitch - self.top

    def pixels_of(self, area: Area) -> tuple[int, int, int, int]:
        """Give an area's (x, y, width, height) in pixels."""
        if not self.turn.upright:
            return self.flat.pixels_of(self.turn.area(area, self.columns, self.rows))
        x, y = self.pixel_of(area.column, area.row)
        right, bottom = self.pixel_of(area.right, area.bottom)
        return x, y, right - x, bottom - y

    def area_under(self, x: int, y: int, width: int, height: int) -> Area:
        """Give the squares of the chart that a rectangle of pixels touches."""
        if not self.turn.upright:
            flat = self.flat
            return self.turn.back.area(flat.area_under(x, y, width, height), flat.columns, flat.rows)
        x, y = x + self.left, y + self.top
        column, row = max(0, math.floor(x / self.pitch)), max(0, math.floor(y / self.pitch))
        right = min(self.columns, math.floor((x + width - 1) / self.pitch) + 1)
        bottom = min(self.rows, math.floor((y + height - 1) / self.pitch) + 1)
        if right <= column or bottom <= row:
            return Area(column, row, 0, 0)
        return Area(column, row, right - column, bottom - row)

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
        if not self.turn.upright:
            x, y = self.turn.point(x, y, self.columns, self.rows)
        left = math.floor(x * self.pitch - self.width / 2 + 0.5)
        top = math.floor(y * self.pitch - self.height / 2 + 0.5)
        return replace(self, left=left, top=top).held()

    def turned(self, turn: Turn) -> "View":
        """Give the chart turned otherwise, with the same point in the middle."""
        x, y = self.centre
        return replace(self, turn=turn).centred(x, y)

    def zoomed(self, pitch: float, x: float, y: float) -> "View":
        """Give another size of square, keeping what is under the pixel position (`x`, `y`) there."""
        across, down = (x + self.left) / self.pitch, (y + self.top) / self.pitch
        size = snapped(pitch)
        left, top = math.floor(across * size - x + 0.5), math.floor(down * size - y + 0.5)
        return replace(self, pitch=size, left=left, top=top).held()

    def showing(self, area: Area, margin: float = 0.0) -> "View":
        """Show the whole of `area` as large as it fits, with a `margin` (share of the window) around."""
        room = 1 - 2 * margin
        columns, rows = self.turn.size(area.columns, area.rows)
        across, down = self.width * room / max(1, columns), self.height * room / max(1, rows)
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
