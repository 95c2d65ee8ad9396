"""Which squares of an area lie inside a polygon."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area

Point = tuple[float, float]
Mask = NDArray[np.bool_]


def bounds(points: Sequence[Point]) -> Area:
    """The smallest area that holds all `points` (x, y), in squares."""
    left, top = (int(np.floor(min(point[axis] for point in points))) for axis in (0, 1))
    right, bottom = (int(np.ceil(max(point[axis] for point in points))) for axis in (0, 1))
    return Area(left, top, right - left, bottom - top)


def corners_of(area: Area) -> list[Point]:
    """The four corners of a rectangle of squares."""
    left, top, right, bottom = area.column, area.row, area.right, area.bottom
    return [(left, top), (right, top), (right, bottom), (left, bottom)]


def inside(points: Sequence[Point], area: Area) -> Mask:
    """Squares of `area` whose middle lies inside the polygon by the even-odd rule, shape (rows, columns)."""
    middles_down = area.row + 0.5 + np.arange(area.rows, dtype=np.float64)
    middles_across = area.column + 0.5 + np.arange(area.columns)
    crossings = _crossings(np.array(points, dtype=np.float64), middles_down)
    mask = np.zeros((area.rows, area.columns), dtype=np.bool_)
    for entering, leaving in zip(crossings[::2], crossings[1::2], strict=False):
        if np.isinf(entering).all():
            break
        mask |= (middles_across >= entering[:, None]) & (middles_across < leaving[:, None])
    return mask


def bar(start: Point, end: Point, thickness: float) -> list[Point]:
    """The corners of a straight bar, never thinner than one square."""
    (x1, y1), (x2, y2) = start, end
    length = float(np.hypot(x2 - x1, y2 - y1)) or 1.0
    half = max(thickness, 1.0) / 2
    aside_x, aside_y = -(y2 - y1) / length * half, (x2 - x1) / length * half
    return [
        (x1 + aside_x, y1 + aside_y),
        (x2 + aside_x, y2 + aside_y),
        (x2 - aside_x, y2 - aside_y),
        (x1 - aside_x, y1 - aside_y),
    ]


def disc(middle: Point, radius_across: float, radius_down: float, corners: int = 48) -> list[Point]:
    """The corners of a many-sided figure that looks round."""
    turns = np.arange(corners) * (2 * np.pi / corners)
    across = middle[0] + radius_across * np.cos(turns)
    down = middle[1] + radius_down * np.sin(turns)
    return list(zip(across.tolist(), down.tolist(), strict=True))


def arc(start: Point, end: Point, sag: float, steps: int = 12) -> list[Point]:
    """Points of a slack rope from `start` to `end`, hanging `sag` squares below the straight line."""
    shares = np.linspace(0, 1, steps + 1)
    across = start[0] + (end[0] - start[0]) * shares
    down = start[1] + (end[1] - start[1]) * shares + sag * 4 * shares * (1 - shares)
    return list(zip(across.tolist(), down.tolist(), strict=True))


def _crossings(corners: NDArray[np.float64], middles_down: NDArray[np.float64]) -> NDArray[np.float64]:
    ends = np.roll(corners, -1, axis=0)
    (x1, y1), (x2, y2) = corners.T[:, :, None], ends.T[:, :, None]
    crossed = (y1 <= middles_down) != (y2 <= middles_down)
    rise = np.where(y2 == y1, 1.0, y2 - y1)
    across = x1 + (middles_down - y1) * (x2 - x1) / rise
    return np.sort(np.where(crossed, across, np.inf), axis=0)
