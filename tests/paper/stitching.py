"""Print back stitch, knots and beads over the signs of a test sheet."""

import cv2
import numpy as np
from numpy.typing import NDArray

from tests.paper.looks import Look

_SHIFT = 4


def print_steps(
    pixels: NDArray[np.uint8], steps: NDArray[np.float64], dashed: NDArray[np.bool_], look: Look, pitch: int
) -> None:
    """Draw steps (n, 4) given in page pixels, solid or dashed, on the page in place."""
    width = max(1, round(look.line_width * pitch))
    for step, is_dashed in zip(steps, dashed, strict=True):
        for begin, end in _dashes(step, pitch) if is_dashed else [(step[:2], step[2:])]:
            cv2.line(pixels, _fixed(begin), _fixed(end), (look.ink,) * 3, width, cv2.LINE_AA, _SHIFT)


def _dashes(step: NDArray[np.float64], pitch: int) -> list[tuple[NDArray[np.float64], NDArray[np.float64]]]:
    """Begin and end of each dash; round ends make them longer than here by the line's width."""
    begin, way = step[:2], step[2:] - step[:2]
    count = max(1, round(float(np.hypot(*way)) / (0.5 * pitch)))
    return [(begin + way * (at + 0.32) / count, begin + way * (at + 0.68) / count) for at in range(count)]


def print_points(
    pixels: NDArray[np.uint8],
    knots: NDArray[np.float64],
    beads: NDArray[np.float64],
    look: Look,
    pitch: int,
) -> None:
    """Draw knots as filled dots and beads as rings with white inside, given in page pixels, in place."""
    radius = round(look.point_radius * pitch * (1 << _SHIFT))
    for knot in knots:
        cv2.circle(pixels, _fixed(knot), radius, (look.ink,) * 3, -1, cv2.LINE_AA, _SHIFT)
    for bead in beads:
        cv2.circle(pixels, _fixed(bead), radius, (look.ink,) * 3, -1, cv2.LINE_AA, _SHIFT)
        cv2.circle(pixels, _fixed(bead), radius * 11 // 20, (255,) * 3, -1, cv2.LINE_AA, _SHIFT)


def _fixed(point: NDArray[np.float64]) -> tuple[int, int]:
    """A point as OpenCV takes it with fractions of a pixel."""
    x, y = np.rint(point * (1 << _SHIFT)).astype(int).tolist()
    return x, y
