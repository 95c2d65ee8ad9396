"""Find the framed boxes on a picture of a key page: everything square that is drawn, of one size."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.ruledseeds import darkness_of

LEAST_SIDE = 12.0
"""Pixels below which the sign in a box cannot be told from another."""

MOST_FRAMES = 500
"""More boxes than any key has."""

_FILLED = 0.84
_SQUAREST = 0.7
_ALIKE_SIDE = 0.16
_SAME = 0.35
_LARGEST = 5
_LONG_SIDE = 3200
_PAPER_REACH = 40
_FRAME_LEVELS = (14, 24, 40, 64)


@dataclass(frozen=True)
class Frames:
    """n squares of about one size: ``middles`` (n, 2), ``sides`` (n,) pixels, ``ways`` (n,) radians.

    ``ways`` are the directions of one of their edges, within an eighth of a turn of level; ``filled`` (n,) is
    the share of the upright square around it that each one fills.
    """

    middles: NDArray[np.float64]
    sides: NDArray[np.float64]
    ways: NDArray[np.float64]
    filled: NDArray[np.float64]

    def __len__(self) -> int:
        return len(self.sides)

    def of(self, chosen: NDArray[np.bool_] | NDArray[np.intp]) -> "Frames":
        """Only the chosen ones."""
        return Frames(self.middles[chosen], self.sides[chosen], self.ways[chosen], self.filled[chosen])


def key_darkness(grey: NDArray[np.uint8]) -> tuple[NDArray[np.uint8], float]:
    """How much darker each pixel is than the paper around it, and how much larger the picture was made."""
    shrink = min(2.0, _LONG_SIDE / max(grey.shape))
    size = round(grey.shape[1] * shrink), round(grey.shape[0] * shrink)
    way = cv2.INTER_AREA if shrink < 1 else cv2.INTER_CUBIC
    grey = np.asarray(cv2.resize(grey, size, interpolation=way), np.uint8)
    if shrink > 1.5:
        # So small a picture is all grain.
        grey = np.asarray(cv2.GaussianBlur(grey, (0, 0), 1.2), np.uint8)
    return darkness_of(grey, max(_PAPER_REACH, max(grey.shape) / 25)), shrink


def frames_in(darkness: NDArray[np.uint8]) -> Frames:
    """The squares of the size that is found most often; no square lies within another."""
    found = [_squares_at(darkness, level) for level in _FRAME_LEVELS]
    every = np.concatenate(found)
    if not len(every):
        return Frames(np.zeros((0, 2)), np.zeros(0), np.zeros(0), np.zeros(0))
    if len(every) > len(_FRAME_LEVELS) * 2 * MOST_FRAMES:
        # No key has so many boxes; they are the squares of a chart, and are not worth telling apart.
        return Frames(every[:, :2], every[:, 2], every[:, 3], every[:, 4])
    single = _single(every)
    return _of_one_size(Frames(single[:, :2], single[:, 2], single[:, 3], single[:, 4]))


def _squares_at(darkness: NDArray[np.uint8], level: int) -> NDArray[np.float64]:
    """What is darker than ``level`` and square, or a square hole in it: (n, 5) middle, side, way, filled."""
    dark = cv2.morphologyEx((darkness > level).astype(np.uint8), cv2.MORPH_CLOSE, np.ones((3, 3), np.uint8))
    outlines, _ = cv2.findContours(dark, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)
    most = max(darkness.shape) / _LARGEST
    squares = [
        _square(np.asarray(outline, np.int32), most) for outline in outlines if len(outline) > 3 * LEAST_SIDE
    ]
    return np.array([each for each in squares if each is not None], np.float64).reshape(-1, 5)


def _square(outline: NDArray[np.int32], most: float) -> tuple[float, ...] | None:
    (x, y), (wide, high), angle = cv2.minAreaRect(outline)
    side = (wide * high) ** 0.5
    if not LEAST_SIDE * 0.8 < side < most or min(wide, high) < _SQUAREST * max(wide, high):
        return None
    filled = cv2.contourArea(outline) / (wide * high)
    if filled < _FILLED:
        return None
    way = (np.radians(angle) + np.pi / 4) % (np.pi / 2) - np.pi / 4
    return x, y, side, float(way), filled


def _single(squares: NDArray[np.float64]) -> NDArray[np.float64]:
    """Of squares about one middle the largest, if it is no more than the other edge of the same frame."""
    order = np.argsort(-squares[:, 2], kind="stable")
    kept: list[NDArray[np.float64]] = []
    for at in order.tolist():
        square = squares[at]
        if kept:
            near = np.array(kept)
            apart = np.abs(near[:, :2] - square[:2]).max(axis=1)
            same = (apart < _SAME * square[2]) & (near[:, 2] < 1.45 * square[2])
            if same.any():
                continue
        kept.append(square)
    return np.array(kept)


def _of_one_size(frames: Frames) -> Frames:
    """Those of the commonest size, clear and large ones counting more: letters are many, but small."""
    sides = frames.sides
    alike = np.abs(sides[:, None] - sides[None, :]) < _ALIKE_SIDE * sides[:, None]
    level = np.abs(frames.ways[:, None] - frames.ways[None, :]) % (np.pi / 2)
    turned = np.minimum(level, np.pi / 2 - level) < 0.2
    clear = np.clip((frames.filled - _FILLED) / (1 - _FILLED), 0.05, 1)
    together = (alike & turned) @ clear
    best = int(np.argmax(np.where((alike & turned).sum(axis=1) > 1, together * sides**1.5, 0)))
    members = alike[best] & turned[best]
    middle = float(np.median(sides[members]))
    return frames.of((np.abs(sides - middle) < _ALIKE_SIDE * middle) & turned[best])
