"""Find knots and beads that are drawn as dots or rings on the crossings and half points of a sheet."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.inkleft import HALF, PITCH, InkLeft
from stitchview.sheets.sheetreading import FoundDots

Floats = NDArray[np.float32]

_SECTORS = 8
_RIM = (3.4, 4.7)
_OUTSIDE = (7.3, 9.5)
_MIDDLE = 2.4
_MOST_REACH = 6.7
_LEAST_RIM, _LEAST_SECTOR, _LEAST_SECTORS = 0.62, 0.4, 5
_MOST_OUTSIDE, _MOST_CROSSED = 0.3, 3
_BLACK, _WHITE = 0.55, 0.4


def find_dots(ink: InkLeft) -> FoundDots:
    """All dots (full) and rings (open) of about a fifth to a quarter of a square in radius.

    A dot is dark all round where it can be seen, and nothing goes on beyond it but a line or two.
    """
    size = 2 * ink.rows + 1, 2 * ink.columns + 1
    rim, seen = _sectors(ink, _RIM, size)
    outside, _ = _sectors(ink, _OUTSIDE, size)
    known = seen > 0.2
    counted = known.sum(axis=0)
    mean = (rim * seen).sum(axis=0) / np.maximum(seen.sum(axis=0), 1e-3)
    weakest = np.where(known, rim, 1).min(axis=0)
    crossed = (outside > _MOST_OUTSIDE).sum(axis=0)
    dot = (counted >= _LEAST_SECTORS) & (mean > _LEAST_RIM) & (weakest > _LEAST_SECTOR)
    dot &= crossed <= _MOST_CROSSED
    middle = _middle(ink, size)
    # A full dot is dark in its middle, a ring is not even where the grid would be.
    dot &= (middle > _BLACK) | (middle < _WHITE)
    rows, columns = np.nonzero(dot)
    order = np.argsort(-mean[rows, columns], kind="stable")
    kept: list[tuple[int, int]] = []
    for at in order.tolist():
        place = int(columns[at]), int(rows[at])
        if all(max(abs(place[0] - x), abs(place[1] - y)) > 1 for x, y in kept):
            kept.append(place)
    places = np.array(sorted(kept), np.int32).reshape(-1, 2)
    return FoundDots(places, middle[places[:, 1], places[:, 0]] < _WHITE)


def without_dots(ink: InkLeft, dots: FoundDots) -> InkLeft:
    """The same sheet with its dots explained, so that no line is seen in them."""
    known, left = ink.known.copy(), ink.left.copy()
    reach = int(np.ceil(_MOST_REACH))
    y, x = np.mgrid[-reach:reach, -reach:reach]
    inside = np.hypot(x + 0.5, y + 0.5) < _MOST_REACH
    for column, row in dots.places.tolist():
        there = PITCH + row * HALF + y[inside], PITCH + column * HALF + x[inside]
        known[there], left[there] = 1.0, 0.0
    return replace(ink, known=known, left=left)


def _sectors(ink: InkLeft, ring: tuple[float, float], size: tuple[int, int]) -> tuple[Floats, Floats]:
    """Of each eighth of a ring about each half point, (8, rows, columns): the share inked, and seen."""
    reach = int(np.ceil(ring[1])) + 1
    y, x = np.mgrid[-reach:reach, -reach:reach]
    far = np.hypot(x + 0.5, y + 0.5)
    eighth = np.floor((np.arctan2(y + 0.5, x + 0.5) / (2 * np.pi) % 1) * _SECTORS).astype(int)
    inked, seen = np.zeros((_SECTORS, *size), np.float32), np.zeros((_SECTORS, *size), np.float32)
    for sector in range(_SECTORS):
        chosen = (far >= ring[0]) & (far < ring[1]) & (eighth == sector)
        places = list(zip(y[chosen].tolist(), x[chosen].tolist(), strict=True))
        for dy, dx in places:
            inked[sector] += _at(ink.left, dy, dx, size)
            seen[sector] += 1 - _at(ink.known, dy, dx, size)
        inked[sector] /= np.maximum(seen[sector], 0.25 * len(places))
        seen[sector] /= len(places)
    return inked, seen


def _middle(ink: InkLeft, size: tuple[int, int]) -> Floats:
    reach = int(np.ceil(_MIDDLE))
    y, x = np.mgrid[-reach:reach, -reach:reach]
    chosen = np.hypot(x + 0.5, y + 0.5) < _MIDDLE
    parts = [
        _at(ink.ink, dy, dx, size) for dy, dx in zip(y[chosen].tolist(), x[chosen].tolist(), strict=True)
    ]
    return np.asarray(np.mean(parts, axis=0), np.float32)


def _at(image: Floats, y: int, x: int, size: tuple[int, int]) -> Floats:
    """The pixel that lies (x, y) beside each half point."""
    first_y, first_x = PITCH + y, PITCH + x
    return image[first_y : first_y + size[0] * HALF : HALF, first_x : first_x + size[1] * HALF : HALF][
        : size[0], : size[1]
    ]
