"""Look at every side of every square of a roughly known lattice: is there a line, and how far off is it."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.ruledpatches import ridges

PITCH = 16
BLOCK = 8
_REACH = 6
_CLOSE = [1, 2, 3]


@dataclass(frozen=True)
class Sides:
    """The upright lines' sides: ``profile`` (rows, lines, 13) from -6 to +6 sixteenths of a square.

    Each tells how strongly a line runs there through all of the side, heeding the rows above and below.
    ``inside`` (rows, lines) is the strongest that runs in either square beside it.
    """

    profile: NDArray[np.float32]
    inside: NDArray[np.float32]


@dataclass(frozen=True)
class Blocks:
    """What is drawn in blocks of eight rows: is there an upright line, and is a column crossed by level ones.

    ``ruled`` (blocks, columns + 1) and ``crossed`` (blocks, columns) are bool.
    """

    ruled: NDArray[np.bool_]
    crossed: NDArray[np.bool_]


def pulled_straight(darkness: NDArray[np.uint8], nodes: NDArray[np.float64]) -> NDArray[np.uint8]:
    """The darkness with every square 16 x 16 pixels; nodes are (rows + 1, columns + 1, 2)."""
    rows, columns = nodes.shape[0] - 1, nodes.shape[1] - 1
    down, across = _blend(rows), _blend(columns)
    maps = [
        np.ascontiguousarray(down @ nodes[..., axis].astype(np.float32) @ across.T, np.float32)
        for axis in (0, 1)
    ]
    bands = [
        cv2.remap(
            darkness, maps[0][top : top + 4096], maps[1][top : top + 4096], cv2.INTER_LINEAR, borderValue=0
        )
        for top in range(0, len(maps[0]), 4096)
    ]
    return np.asarray(np.concatenate(bands), np.uint8)


def _blend(squares: int) -> NDArray[np.float32]:
    """Weights (pixels, squares + 1) of the nodes at each pixel centre."""
    place = (np.arange(squares * PITCH) + 0.5) / PITCH
    left = np.minimum(place.astype(np.intp), squares - 1)
    share = (place - left).astype(np.float32)
    weights = np.zeros((len(place), squares + 1), np.float32)
    weights[np.arange(len(place)), left] = 1 - share
    weights[np.arange(len(place)), left + 1] = share
    return weights


def upright_sides(straight: NDArray[np.uint8]) -> Sides:
    """Sides of the upright lines of a picture pulled straight; give it transposed for the level ones.

    The first and last line lie on the picture's edge and are seen from one side only.
    """
    rows = straight.shape[0] // PITCH
    places = np.sqrt(ridges(straight.astype(np.float32), 3)).reshape(rows, PITCH, -1)
    together = _unbroken(_with_neighbours(places))
    return Sides(_windows(together), _beside(together))


def blocks(straight: NDArray[np.uint8]) -> Blocks:
    """What is drawn in blocks of eight rows of a picture pulled straight (the last block may be smaller)."""
    rows, columns = straight.shape[0] // PITCH, straight.shape[1] // PITCH
    starts = np.arange(0, rows, BLOCK)
    counts = np.diff(np.append(starts, rows))[:, None, None].astype(np.float32)
    ink = straight.astype(np.float32)
    upright = np.sqrt(ridges(ink, 3)).reshape(rows, PITCH, -1)
    summed = _unbroken((np.add.reduceat(upright, starts, axis=0) / counts).astype(np.float32))
    on = _windows(summed)[:, :, _REACH - 1 : _REACH + 2].max(axis=2)
    ruled = _stands_out(on, _beside(summed))
    level = np.sqrt(ridges(np.ascontiguousarray(ink.T), 3)).T.reshape(rows, PITCH, columns, PITCH)
    folded = np.add.reduceat(level, starts, axis=0) / counts[..., None]
    across = folded.transpose(0, 2, 3, 1).reshape(-1, PITCH, PITCH)
    weakest = _unbroken(across.astype(np.float32)).reshape(len(starts), columns, PITCH)
    lines = np.maximum((weakest[..., 0] + weakest[..., -1]) / 2, weakest[..., [0, -1]].max(axis=2) * 0.8)
    return Blocks(ruled, _stands_out(lines, weakest[..., 4:-4].max(axis=2)))


def _stands_out(on: NDArray[np.float32], beside: NDArray[np.float32]) -> NDArray[np.bool_]:
    sure = on[on > 1.2 * beside]
    strong = float(np.median(sure)) if sure.size else 0.0
    return np.asarray((on > 1.1 * beside) & (on > 0.3 * strong))


def _with_neighbours(places: NDArray[np.float32]) -> NDArray[np.float32]:
    """Each row averaged with the rows above and below it, place by place along the side."""
    wide = np.pad(places, [(1, 1), (0, 0), (0, 0)], mode="edge")
    return np.asarray((wide[:-2] + wide[1:-1] + wide[2:]) / 3)


def _unbroken(places: NDArray[np.float32]) -> NDArray[np.float32]:
    """(rows, pixels) strength close to the crossings: strokes of symbols end before, lines run through."""
    before, after = places[:, _CLOSE].mean(axis=1), places[:, [-1 - place for place in _CLOSE]].mean(axis=1)
    return np.asarray(np.minimum(before, after) * 0.7 + (before + after) * 0.15, np.float32)


def _beside(strength: NDArray[np.float32]) -> NDArray[np.float32]:
    """(rows, lines) the strongest well inside the squares on both sides of each line."""
    interior = strength.reshape(len(strength), -1, PITCH)[:, :, 4:-4].max(axis=2)
    beside = np.pad(interior, [(0, 0), (1, 1)])
    return np.asarray(np.maximum(beside[:, :-1], beside[:, 1:]), np.float32)


def _windows(strength: NDArray[np.float32]) -> NDArray[np.float32]:
    """(rows, lines, 13) values around every line, which lies between the two pixels that meet there."""
    wide = np.pad(strength, [(0, 0), (PITCH, PITCH)])
    lines = strength.shape[1] // PITCH + 1
    place = PITCH * np.arange(1, lines + 1)[:, None] + np.arange(-_REACH - 1, _REACH + 1)[None, :]
    near = wide[:, place]
    return np.asarray((near[..., :-1] + near[..., 1:]) / 2, np.float32)
