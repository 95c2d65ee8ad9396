"""Back stitch, knots and beads as plain pixels, for sizes at which a fine drawing would only cost time."""

import numpy as np

from stitchview.canvas.atlas import Pixels
from stitchview.canvas.itemindex import Indices
from stitchview.chart.area import Area
from stitchview.chart.stitches import Lines, Points


def draw_lines(pixels: Pixels, area: Area, pitch: int, lines: Lines, found: Indices, inks: Pixels) -> None:
    """Draw the lines `found` into a strip's pixels; `inks` is RGB32, one for each line found.

    Every pixel is reckoned from the chart's corner, so a line looks the same whichever strip
    shows it. Lines are one pixel wide, two from 6 pixels a square up.
    """
    x1, y1, x2, y2 = (
        ends[found].astype(np.float32) * (pitch / 2) for ends in (lines.x1, lines.y1, lines.x2, lines.y2)
    )
    steps = np.maximum(np.ceil(np.maximum(np.abs(x2 - x1), np.abs(y2 - y1))), 1).astype(np.intp)
    owner = np.repeat(np.arange(len(found)), steps + 1)
    starts = np.cumsum(steps + 1) - (steps + 1)
    share = (np.arange(len(owner)) - starts[owner]) / steps[owner]
    x = np.floor(x1[owner] + (x2 - x1)[owner] * share + 0.5).astype(np.intp)
    y = np.floor(y1[owner] + (y2 - y1)[owner] * share + 0.5).astype(np.intp)
    reach = range(-1, 1) if pitch >= 6 else range(0, 1)
    _put(pixels, x - area.column * pitch, y - area.row * pitch, inks[owner], reach)


def draw_points(pixels: Pixels, area: Area, pitch: int, points: Points, found: Indices, inks: Pixels) -> None:
    """Draw the knots and beads `found` as small blocks; `inks` is RGB32, one for each point found."""
    x = np.floor(points.x[found] * (pitch / 2) + 0.5).astype(np.intp)
    y = np.floor(points.y[found] * (pitch / 2) + 0.5).astype(np.intp)
    half = max(1, round(pitch / 4))
    _put(pixels, x - area.column * pitch, y - area.row * pitch, inks, range(-half, half))


def _put(pixels: Pixels, x: Indices, y: Indices, inks: Pixels, reach: range) -> None:
    height, width = pixels.shape
    for down in reach:
        for across in reach:
            column, row = x + across, y + down
            kept = (column >= 0) & (column < width) & (row >= 0) & (row < height)
            pixels[row[kept], column[kept]] = inks[kept]
