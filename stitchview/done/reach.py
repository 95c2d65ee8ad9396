"""What lies under or near the tip of the pointer: knots, beads, lines and part stitches."""

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.model import Chart
from stitchview.chart.stitches import CORNERS, THREE_QUARTERS, PartShape

POINT_REACH = 0.35
LINE_REACH = 0.25
"""Squares from a knot or bead, and from a line, within which a press means it."""

Distances = NDArray[np.float64]


def points_and_lines_near(
    chart: Chart, x: float, y: float, only: int | None
) -> tuple[int | None, int | None]:
    """Index of the nearest knot or bead and of the nearest line within reach of (`x`, `y`) in squares."""
    points, lines = chart.points, chart.lines
    spots = np.hypot(points.x / 2 - x, points.y / 2 - y)
    away = _from_segments(chart, x, y)
    return (
        _nearest(spots, points.keys, only, POINT_REACH),
        _nearest(away, lines.keys, only, LINE_REACH),
    )


def part_under(chart: Chart, x: float, y: float, only: int | None) -> int | None:
    """Index of the part stitch under (`x`, `y`) in squares: of two in one square the nearer one."""
    parts = chart.parts
    column, row = np.floor(x), np.floor(y)
    here = np.flatnonzero((parts.columns == column) & (parts.rows == row))
    away = np.array([_from_part(PartShape(parts.shapes[at]), x - column, y - row) for at in here])
    nearest = _nearest(away, parts.keys[here], only, 1.0)
    return None if nearest is None else int(here[nearest])


def _nearest(away: Distances, keys: NDArray[np.uint16], only: int | None, reach: float) -> int | None:
    within = away <= reach
    if only is not None:
        within &= keys == only
    if not within.any():
        return None
    return int(np.argmin(np.where(within, away, np.inf)))


def _from_segments(chart: Chart, x: float, y: float) -> Distances:
    lines = chart.lines
    x1, y1 = lines.x1 / 2, lines.y1 / 2
    across, down = lines.x2 / 2 - x1, lines.y2 / 2 - y1
    length = np.maximum(across**2 + down**2, 1e-12)
    along = np.clip(((x - x1) * across + (y - y1) * down) / length, 0, 1)
    away: Distances = np.hypot(x1 + along * across - x, y1 + along * down - y)
    return away


def _from_part(shape: PartShape, x: float, y: float) -> float:
    """Distance from (`x`, `y`), 0 to 1 in the square, to the cloth that the part stitch covers.

    A half covers its diagonal, a three-quarter the triangle at its corner, a quarter its quadrant.
    """
    if shape is PartShape.HALF_RISING:
        return float(abs(x + y - 1) / np.sqrt(2))
    if shape is PartShape.HALF_FALLING:
        return float(abs(x - y) / np.sqrt(2))
    right, below = CORNERS[shape]
    across, down = (1 - x if right else x), (1 - y if below else y)
    if shape in THREE_QUARTERS:
        return float(max(0.0, across + down - 1) / np.sqrt(2))
    return float(np.hypot(max(0.0, across - 0.5), max(0.0, down - 0.5)))
