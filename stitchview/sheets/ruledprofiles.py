"""Measure how far from its expected place each side of each square of a ruled chart is printed.

A printed line has ink along all of a side, a symbol or a crossing stitched line only along part of it. So the
places along a side are sorted by their ink, and only the lighter ones are heeded, where symbols leave paper.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

_ACROSS = 20
_ALONG = 8
_LIGHTER = slice(0, 2)
_REACH = 8
_BESIDE = 4
_HALF_LINE = 2
_FAINT = 0.35
_BAND = 4096


@dataclass(frozen=True)
class Offsets:
    """How far each upright side lies to the right of its place, in squares, and how much to believe it.

    Both are (rows, columns + 1); ``weight`` is 1 where a side looks like most of its line
    and 0 where no line is seen.
    """

    value: NDArray[np.float64]
    weight: NDArray[np.float64]


def upright_offsets(grey: NDArray[np.uint8], nodes: NDArray[np.float64], near: float) -> Offsets:
    """Where the upright lines run; give the nodes (rows + 1, columns + 1, 2) transposed for the level ones.

    ``near`` is the distance in squares at which a line counts less than one at its place.
    """
    strength = _strength(_ink(grey, nodes), nodes.shape[1])
    steps = np.arange(-_REACH, _REACH + 1)
    likely = strength * np.exp(-0.5 * (steps / (near * _ACROSS)) ** 2).astype(np.float32)
    best = np.clip(likely.argmax(axis=2), _HALF_LINE, len(steps) - 1 - _HALF_LINE)
    around = np.arange(-_HALF_LINE, _HALF_LINE + 1)
    power = np.take_along_axis(strength, best[..., None] + around, 2).astype(np.float64)
    middle = (power * around).sum(axis=2) / np.maximum(power.sum(axis=2), 1e-6)
    peak = np.sqrt(power[..., _HALF_LINE])
    return Offsets((best - _REACH + middle) / _ACROSS, _weights(peak))


def _weights(peak: NDArray[np.float64]) -> NDArray[np.float64]:
    """Belief in each side (rows, lines) by its line's strength: much bolder than its own line is a symbol."""
    share = peak / np.maximum(np.median(peak, axis=0), 1e-3)
    even = np.minimum(share, 1 / np.maximum(share, 1e-3)) ** 2
    return np.asarray(np.where(share > _FAINT, even, 0.0))


def _strength(ink: NDArray[np.float32], lines: int) -> NDArray[np.float32]:
    """(rows, lines, 17) how much darker it is at each place around each line than to both sides of it."""
    reach = _REACH + _BESIDE
    places = _ACROSS * np.arange(1, lines + 1)[:, None] + np.arange(-reach - 1, reach + 1)[None, :]
    pixels = ink[:, places]
    # A line's place lies between two pixels, so that the mean of both stands for it.
    around = (pixels[..., :-1] + pixels[..., 1:]) / 2
    beside = np.maximum(around[..., : -2 * _BESIDE], around[..., 2 * _BESIDE :])
    return np.asarray(np.maximum(around[..., _BESIDE:-_BESIDE] - beside, 0), np.float32)


def _ink(grey: NDArray[np.uint8], nodes: NDArray[np.float64]) -> NDArray[np.float32]:
    """(rows, pixels) what ink the lighter places of a row show, averaged with the rows above and below."""
    pixels = _pulled(grey, nodes)
    sides = np.ascontiguousarray(pixels.reshape(len(nodes) - 1, _ALONG, -1).transpose(0, 2, 1))
    sides.sort(axis=2)
    ink = 255 - sides[..., ::-1][..., _LIGHTER].mean(axis=2, dtype=np.float32)
    wide = np.pad(ink, [(1, 1), (0, 0)], mode="edge")
    return np.asarray((wide[:-2] + wide[1:-1] + wide[2:]) / 3, np.float32)


def _pulled(grey: NDArray[np.uint8], nodes: NDArray[np.float64]) -> NDArray[np.uint8]:
    """The chart with every square 20 pixels wide and 8 high, a square more to the left and to the right."""
    first, last = 2 * nodes[:, :1] - nodes[:, 1:2], 2 * nodes[:, -1:] - nodes[:, -2:-1]
    wide = np.concatenate([first, nodes, last], axis=1).astype(np.float32)
    maps = [_between(wide[..., axis]) for axis in (0, 1)]
    bands = [
        cv2.remap(
            grey,
            maps[0][top : top + _BAND],
            maps[1][top : top + _BAND],
            cv2.INTER_LINEAR,
            borderMode=cv2.BORDER_REPLICATE,
        )
        for top in range(0, len(maps[0]), _BAND)
    ]
    return np.asarray(np.concatenate(bands), np.uint8)


def _between(values: NDArray[np.float32]) -> NDArray[np.float32]:
    """Values at nodes as values at pixels."""
    down = ((np.arange(_ALONG) + 0.5) / _ALONG).astype(np.float32)[None, :, None]
    rows = (values[:-1, None] * (1 - down) + values[1:, None] * down).reshape(-1, values.shape[1])
    across = ((np.arange(_ACROSS) + 0.5) / _ACROSS).astype(np.float32)
    steps = rows[:, 1:, None] - rows[:, :-1, None]
    return np.asarray((rows[:, :-1, None] + steps * across).reshape(len(rows), -1), np.float32)
