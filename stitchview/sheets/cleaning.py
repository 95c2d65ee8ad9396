"""Take light, shadow, shading and grid lines off a straightened sheet, so that signs alone are left."""

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.straightening import Straight

SIDE = 24
"""Pixels a square has in cleaned ink, whatever the straightened sheet had."""

AROUND = 6
"""Pixels of cleaned ink around the grid's edge."""

Ink = NDArray[np.float32]

_LINE_REACH = 5
_STRETCH = 24
_DARKEST_SHADE = 0.7
_NO_SECOND_MAP = np.empty(0, np.float32)


def cleaned(straight: Straight) -> Ink:
    """The sheet's ink: 0 for paper, 1 for black; (rows * SIDE + 2 * AROUND, columns * SIDE + 2 * AROUND)."""
    return without_lines(without_light(at_side(straight)))


def at_side(straight: Straight) -> Ink:
    """The sheet's grey at SIDE pixels a square with AROUND pixels beyond the grid, as float32."""
    scale = straight.pitch / SIDE
    grey = straight.grey
    if scale > 1.2:
        grey = np.asarray(cv2.GaussianBlur(grey, (0, 0), 0.35 * scale), np.uint8)
    across = _places(straight.columns, scale, straight.margin)
    down = _places(straight.rows, scale, straight.margin)
    bands = [
        cv2.remap(
            grey,
            np.broadcast_to(across, (len(part), len(across))).copy(),
            np.broadcast_to(part[:, None], (len(part), len(across))).copy(),
            cv2.INTER_CUBIC if scale != 1 else cv2.INTER_NEAREST,
            borderMode=cv2.BORDER_REPLICATE,
        )
        for part in np.array_split(down, len(down) // 4096 + 1)
    ]
    return np.concatenate(bands).astype(np.float32)


def squares(ink: NDArray[np.float32], around: int = 0) -> NDArray[np.float32]:
    """Every square's cut-out as a view: (rows, columns, side, side), side being SIDE + 2 * around."""
    side = SIDE + 2 * around
    first = AROUND - around
    reach = ink[first : ink.shape[0] - first, first : ink.shape[1] - first]
    return np.lib.stride_tricks.sliding_window_view(reach, (side, side))[::SIDE, ::SIDE]


def without_light(grey: Ink) -> Ink:
    """Ink as the share of light that the paper would have given back: 1 - grey / paper."""
    level = _paper_level(grey)
    rows, columns = level.shape
    soft = cv2.resize(_middled(level), (columns * SIDE, rows * SIDE), interpolation=cv2.INTER_LINEAR)
    coarse = cv2.resize(soft, (columns, rows), interpolation=cv2.INTER_AREA)
    # Shading begins and ends sharply at a grid line: what the soft light does not explain goes by squares.
    steps = np.repeat(np.repeat(level / coarse, SIDE, axis=0), SIDE, axis=1)
    paper = cv2.copyMakeBorder(soft * steps, AROUND, AROUND, AROUND, AROUND, cv2.BORDER_REPLICATE)
    return np.asarray(1 - grey / np.maximum(paper, 1), np.float32)


def without_lines(ink: Ink) -> Ink:
    """Ink less every grid line's own profile, taken anew for every stretch of the line."""
    clean = ink.copy()
    _take_lines_off(ink, clean)
    _take_lines_off(ink.T, clean.T)
    return np.clip(clean, -0.2, 1.2, out=clean)


def _places(count: int, scale: float, margin: int) -> Ink:
    """Where the pixels of SIDE a square lie along one side of the straightened sheet."""
    pixels = np.arange(count * SIDE + 2 * AROUND)
    return ((pixels - AROUND + 0.5) * scale + margin - 0.5).astype(np.float32)


def _paper_level(grey: Ink) -> Ink:
    """How bright the paper is in each square: of its column's or row's neighbourhood, whichever is nearer.

    Shaded overlaps are whole columns or rows, so one of the two always lies within the shading. Solid signs
    show no paper: squares far darker than the brightest around them take the level of those.
    """
    inner = squares(grey)[:, :, 3:-3, 3:-3]
    rows, columns = inner.shape[:2]
    pixels = inner.reshape(rows, columns, -1)
    bright = int(pixels.shape[2] * 0.92)
    own = np.ascontiguousarray(np.partition(pixels, bright, axis=2)[:, :, bright])
    wide = np.asarray(cv2.GaussianBlur(cv2.dilate(own, np.ones((7, 7), np.uint8)), (0, 0), 3), np.float32)
    seen = own >= _DARKEST_SHADE * wide
    weight = cv2.GaussianBlur(seen.astype(np.float32), (0, 0), 2) + 1e-3
    around = cv2.GaussianBlur(np.where(seen, own, 0), (0, 0), 2) + 1e-3 * wide
    own = np.where(seen, own, around / weight).astype(np.float32)
    down = _bright_along(own)
    across = _bright_along(own.T).T
    return np.where(np.abs(down - own) <= np.abs(across - own), down, across).astype(np.float32)


def _bright_along(level: Ink) -> Ink:
    """The 70 % point of up to nine squares along the first axis: solid signs show no paper of their own."""
    reach = min(4, len(level) - 1)
    padded = np.pad(level, ((reach, reach), (0, 0)), mode="reflect")
    windows = np.lib.stride_tricks.sliding_window_view(padded, 2 * reach + 1, axis=0)
    place = int(2 * reach * 0.7)
    return np.asarray(np.partition(windows, place, axis=2)[..., place], np.float32)


def _middled(level: Ink) -> Ink:
    """Median over 5 x 5 squares."""
    return np.asarray(cv2.medianBlur(np.ascontiguousarray(level), 5), np.float32)


def _take_lines_off(ink: Ink, clean: Ink) -> None:
    """Subtract in place the profile of each line that runs along the first axis."""
    length = ink.shape[0]
    stretch = min(length, _STRETCH * SIDE)
    for middle in range(AROUND, ink.shape[1], SIDE):
        near = slice(max(0, middle - _LINE_REACH), middle + _LINE_REACH)
        core = middle - near.start
        # Where signs fill their squares a stretch alone shows too much; the whole line shows what is usual.
        most = _profile(ink[::3, near], 0.3, core) * 1.25 + 0.03
        for top in range(0, length, stretch):
            bottom = min(length, top + stretch)
            seen = ink[max(0, bottom - stretch) : bottom, near]
            clean[top:bottom, near] -= np.minimum(_profile(seen, 0.35, core), most)


def _profile(along: Ink, share: float, middle: int) -> Ink:
    """The ink across a line that ``share`` of the pixels along it do not exceed; it only falls outwards.

    What rises again belongs to signs that fill their squares, not to the line.
    """
    place = int(len(along) * share)
    across = np.maximum(np.partition(along, place, axis=0)[place], 0)
    core = slice(max(0, middle - 2), middle + 2)
    top = across[core].max()
    after = np.minimum.accumulate(np.concatenate([[top], across[core.stop :]]))[1:]
    before = np.minimum.accumulate(np.concatenate([[top], across[: core.start][::-1]]))[1:][::-1]
    return np.concatenate([before, across[core], after]).astype(np.float32)
