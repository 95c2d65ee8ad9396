"""Back stitch, knots and beads as plain pixels, for sizes at which a fine drawing would only cost time."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.canvas.itemindex import Indices
from stitchview.canvas.items import SMALLEST_TWO_WIDE
from stitchview.canvas.mixing import Pixels
from stitchview.chart.area import Area
from stitchview.chart.stitches import Lines, Points
from stitchview.done.change import LATER, MISTAKE

Floats = NDArray[np.float32]


@dataclass(frozen=True)
class Dots:
    """Pixels to be set, in order: `x` and `y` from the chart's corner, and the ink code of each.

    Because they are reckoned from the chart's corner, a line looks the same whichever strip shows it.
    """

    x: Indices
    y: Indices
    codes: Indices

    def draw(self, pixels: Pixels, area: Area, pitch: int, inks: Pixels) -> None:
        """Set those that lie in a strip, whose pixels have shape (height, width); `inks` is RGB32 by code."""
        height, width = pixels.shape
        x, y = self.x - area.column * pitch, self.y - area.row * pitch
        kept = np.flatnonzero((x >= 0) & (x < width) & (y >= 0) & (y < height))
        pixels[y[kept], x[kept]] = inks[self.codes[kept]]


def line_dots(lines: Lines, found: Indices, codes: Indices, pitch: int, area: Area) -> Dots:
    """Give the pixels in and near `area` of the lines `found`: one wide, two where squares are larger."""
    half = np.float32(pitch / 2)
    x1, y1, x2, y2 = (ends[found] * half for ends in (lines.x1, lines.y1, lines.x2, lines.y2))
    steps = np.maximum(np.ceil(np.maximum(np.abs(x2 - x1), np.abs(y2 - y1))), 1).astype(np.intp)
    first, last = _steps_inside((x1, y1), (x2 - x1, y2 - y1), steps, area.grown(1), pitch)
    many = np.maximum(last - first + 1, 0)
    owner = np.repeat(np.arange(len(found)), many)
    starts = np.cumsum(many) - many
    share = (np.arange(len(owner)) - starts[owner] + first[owner]) / steps[owner]
    x = np.floor(x1[owner] + (x2 - x1)[owner] * share + 0.5).astype(np.intp)
    y = np.floor(y1[owner] + (y2 - y1)[owner] * share + 0.5).astype(np.intp)
    if pitch < SMALLEST_TWO_WIDE:
        return Dots(x, y, codes[owner])
    level = (np.abs(x2 - x1) >= np.abs(y2 - y1))[owner]
    return Dots(
        np.concatenate([x, np.where(level, x, x - 1)]),
        np.concatenate([y, np.where(level, y - 1, y)]),
        np.tile(codes[owner], 2),
    )


def _steps_inside(
    start: tuple[Floats, Floats], way: tuple[Floats, Floats], steps: Indices, area: Area, pitch: int
) -> tuple[Indices, Indices]:
    """Give the first and last step of each line that may lie in `area`, of all its `steps`."""
    first, last = np.zeros(len(steps)), steps.astype(np.float64)
    sides = ((area.column * pitch, area.right * pitch), (area.row * pitch, area.bottom * pitch))
    for begin, along, (low, high) in zip(start, way, sides, strict=True):
        moves = along != 0
        scale = np.divide(steps, along, out=np.zeros(len(steps)), where=moves)
        one, other = (low - begin) * scale, (high - begin) * scale
        first = np.where(moves, np.maximum(first, np.minimum(one, other)), first)
        last = np.where(moves, np.minimum(last, np.maximum(one, other)), last)
    return np.floor(first).astype(np.intp), np.minimum(np.ceil(last), steps).astype(np.intp)


def point_dots(points: Points, found: Indices, codes: Indices, pitch: int) -> Dots:
    """Give the pixels of the knots and beads `found`: small blocks around each."""
    x = np.floor(points.x[found] * (pitch / 2) + 0.5).astype(np.intp)
    y = np.floor(points.y[found] * (pitch / 2) + 0.5).astype(np.intp)
    half = max(1, round(pitch / 4))
    return _broadened(x, y, codes, range(-half, half))


def in_form(dots: Dots, count: int) -> Dots:
    """The same pixels in the form of their states: broken up for later, broad for mistakes.

    Codes are state * `count` + key number.
    """
    states = dots.codes // count
    if not len(states) or states.max() < LATER:
        return dots
    kept = (states != LATER) | ((dots.x + dots.y) // 2 % 2 == 0)
    x, y, codes = dots.x[kept], dots.y[kept], dots.codes[kept]
    wrong = codes // count == MISTAKE
    broad = _broadened(x[wrong], y[wrong], codes[wrong], range(-1, 2))
    return Dots(
        np.concatenate([x, broad.x]), np.concatenate([y, broad.y]), np.concatenate([codes, broad.codes])
    )


def _broadened(x: Indices, y: Indices, codes: Indices, reach: range) -> Dots:
    """Give each pixel its neighbours within `reach` on both axes."""
    across = np.array([right for _ in reach for right in reach], np.intp)
    down = np.array([below for below in reach for _ in reach], np.intp)
    many = len(across)
    return Dots((x[:, None] + across).ravel(), (y[:, None] + down).ravel(), np.repeat(codes, many))
