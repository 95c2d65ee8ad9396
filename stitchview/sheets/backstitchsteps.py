"""How much each possible smallest step of back stitch is covered by ink that nothing else explains."""

from dataclasses import dataclass
from functools import cache

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.inkleft import HALF, PITCH, InkLeft

Floats = NDArray[np.float32]
Way = tuple[int, int]

WAYS: tuple[Way, ...] = ((1, 0), (0, 1), (1, 1), (1, -1), (2, 1), (1, 2), (2, -1), (1, -2))
"""Smallest steps in half squares: straight, diagonal, and a knight's."""

CORE = 1.8
"""Half the width looked at, in pixels at ``PITCH``: less than that of the thinnest back stitch printed."""
_GAP, _FLANK = 3.2, 1.6
_LEAST_SEEN = 0.3
_ONE_SIDE = 0.15
_PAD = 4


@dataclass(frozen=True, eq=False)
class Strip:
    """Pixels of a strip along a step, counted from its first point, with how much of each is covered."""

    y: NDArray[np.intp]
    x: NDArray[np.intp]
    weights: Floats


@dataclass(frozen=True, eq=False)
class Cover:
    """For one way and each first point (2 * rows + 1, 2 * columns + 1).

    ``covered`` about 0 to 1: the share of the step that is inked where it can be seen, both its sides asked;
    ``seen`` the share of it that can be seen; ``beside`` how dark the lighter of its two flanks is.
    """

    covered: Floats
    seen: Floats
    beside: Floats


@cache
def strip(way: Way, half: float, inset: float = 0.0, aside: float = 0.0) -> Strip:
    """The strip of ``half`` width along a step, ``inset`` pixels shorter at each end, moved ``aside``."""
    fine, reach = 4, 2 * PITCH
    y, x = (np.mgrid[-reach * fine : reach * fine, -reach * fine : reach * fine] + 0.5) / fine
    length = float(np.hypot(*way)) * HALF
    across_x, across_y = way[0] * HALF / length, way[1] * HALF / length
    along = x * across_x + y * across_y
    across = y * across_x - x * across_y - aside
    inside = (along > inset) & (along < length - inset) & (np.abs(across) < half)
    weights = inside.reshape(2 * reach, fine, 2 * reach, fine).mean(axis=(1, 3))
    rows, columns = np.nonzero(weights)
    return Strip(rows - reach, columns - reach, weights[rows, columns].astype(np.float32))


def covers(ink: InkLeft) -> dict[Way, Cover]:
    """The cover of every step of every way."""
    size = 2 * ink.rows + 1, 2 * ink.columns + 1
    left, free = _planes(ink.left), _planes(1 - ink.known)
    return {way: _cover(left, free, way, size) for way in WAYS}


def _cover(left: Floats, free: Floats, way: Way, size: tuple[int, int]) -> Cover:
    covered, seen, beside = [], [], []
    for side in (-1, 1):
        half = strip(way, CORE / 2, inset=1.0, aside=side * CORE / 2)
        whole = float(half.weights.sum())
        open_ = _sums(free, half, size)
        covered.append(_sums(left, half, size) / np.maximum(open_, _LEAST_SEEN * whole))
        seen.append(open_ / whole)
        flank = strip(way, _FLANK / 2, inset=2.0, aside=side * (CORE + _GAP))
        most = np.maximum(_sums(free, flank, size), 0.3 * float(flank.weights.sum()))
        beside.append(_sums(left, flank, size) / most)
    both = covered[0] * seen[0] + covered[1] * seen[1]
    mean = both / np.maximum(seen[0] + seen[1], 1e-3)
    # The edge of a black square is dark on one side of the lattice line only; a line is on both.
    strict = 0.6 * np.minimum(*covered) + 0.4 * mean
    told = np.where(np.minimum(*seen) > _ONE_SIDE, strict, mean)
    return Cover(
        told.astype(np.float32),
        np.asarray((seen[0] + seen[1]) / 2, np.float32),
        np.minimum(*beside).astype(np.float32),
    )


def _planes(image: Floats) -> Floats:
    """The image dealt out so that pixels half a square apart lie together: (HALF, HALF, rows, columns)."""
    pad = _PAD * HALF
    wide = cv2.copyMakeBorder(image, pad, pad, pad, pad, cv2.BORDER_CONSTANT, value=0)
    rows, columns = wide.shape[0] // HALF, wide.shape[1] // HALF
    return np.ascontiguousarray(wide.reshape(rows, HALF, columns, HALF).transpose(1, 3, 0, 2))


def _sums(planes: Floats, along: Strip, size: tuple[int, int]) -> Floats:
    """The weighted sum over the strip from every half point of the sheet."""
    total = np.zeros(size, np.float32)
    first = _PAD + PITCH // HALF
    for y, x, weight in zip(along.y.tolist(), along.x.tolist(), along.weights.tolist(), strict=True):
        top, left = first + y // HALF, first + x // HALF
        total += weight * planes[y % HALF, x % HALF, top : top + size[0], left : left + size[1]]
    return total
