"""Describe the ink of every square by numbers in which like signs lie close together."""

import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.cleaning import SIDE

Numbers = NDArray[np.float32]

INSET = 2
"""Pixels left away at each side of a square, where grid lines were."""

PIXELS = 12
"""Soft pixels a side of a description; PIXELS * PIXELS numbers, before the slants."""

_CELLS = 4
_WAYS = 8


def described(cutouts: NDArray[np.float32]) -> Numbers:
    """Numbers (N, 272) of cut-outs (N, SIDE, SIDE): soft pixels, then how much edge runs which way where.

    The slants tell hatchings and thin outlines apart even when they lie a pixel elsewhere.
    """
    pixels = soft_pixels(cutouts)
    edges = np.sqrt(slants(cutouts) + 0.05)
    return np.concatenate([pixels / _spread(pixels), edges / _spread(edges)], axis=1)


def soft_pixels(cutouts: NDArray[np.float32]) -> Numbers:
    """The inner part of each cut-out as PIXELS x PIXELS overlapping means: (N, 144)."""
    inner = cutouts[:, INSET:-INSET, INSET:-INSET]
    tents = soft_weights()
    return np.asarray(np.matmul(tents.T, np.matmul(inner, tents)).reshape(len(inner), -1), np.float32)


def soft_weights() -> Numbers:
    """The weights (SIDE - 2 * INSET, PIXELS) by which pixels of one axis enter the soft pixels."""
    tents = _tents(SIDE - 2 * INSET, PIXELS)
    return np.asarray(tents / tents.sum(axis=0), np.float32)


def slants(cutouts: NDArray[np.float32]) -> Numbers:
    """How much edge runs in each of 8 ways in each of 4 x 4 cells: (N, 128)."""
    inner = cutouts[:, INSET:-INSET, INSET:-INSET]
    across, down = np.zeros_like(inner), np.zeros_like(inner)
    across[:, :, 1:-1] = inner[:, :, 2:] - inner[:, :, :-2]
    down[:, 1:-1] = inner[:, 2:] - inner[:, :-2]
    strength = np.hypot(across, down)
    way = (np.arctan2(down, across) % np.pi) * np.float32(_WAYS / np.pi)
    tents = _tents(inner.shape[1], _CELLS)
    found = np.empty((len(inner), _CELLS, _CELLS, _WAYS), np.float32)
    for number in range(_WAYS):
        off = np.abs(way - number)
        share = np.maximum(0, 1 - np.minimum(off, _WAYS - off)) * strength
        found[..., number] = np.matmul(tents.T, np.matmul(share, tents))
    return np.asarray(found.reshape(len(inner), -1), np.float32)


def shortened(numbers: Numbers, length: int) -> Numbers:
    """The numbers turned to their principal axes, the ``length`` largest kept: (N, length)."""
    centred = numbers - numbers.mean(axis=0)
    powers, axes = np.linalg.eigh(centred.T @ centred / np.float32(len(centred)))
    kept = min(length, int((powers > powers[-1] * 1e-6).sum()))
    return np.asarray(centred @ axes[:, ::-1][:, :kept], np.float32)


def _tents(pixels: int, cells: int) -> Numbers:
    """Weights (pixels, cells) that fall off linearly from each cell's middle to its neighbours' middles."""
    place = (np.arange(pixels) + 0.5) / pixels * cells - 0.5
    off = np.abs(place[:, None] - np.arange(cells))
    return np.asarray(np.maximum(0, 1 - off), np.float32)


def _spread(numbers: Numbers) -> np.float32:
    """The root of the summed variances, so that both halves of a description weigh the same."""
    return np.float32(max(1e-6, float(np.sqrt(numbers.var(axis=0).sum()))))
