"""The forms by which states are told without colour: half-done squares, waiting ones, and mistakes."""

import functools

import numpy as np
from numpy.typing import NDArray

from stitchview.canvas.mixing import Floats, laid
from stitchview.done.change import DONE, FIRST_LEG, LATER, MISTAKE

SIZES_KEPT = 48
LEG_SHARE, WOVEN_SHARE, DONE_SHARE = np.float32(0.55), np.float32(0.4), np.float32(0.28)
# Weights of red, green and blue in how light a colour looks, roughly; enough to choose black or white.
_LIGHTNESS = np.array([0.3, 0.6, 0.1], np.float32)
_MIDDLE = 128
SMALLEST_CLOSED_RIM, SMALLEST_BROAD_DOT = 5, 6

Mask = NDArray[np.float32]


def half_done(todo: Floats, done: Floats, inks: Floats, pitch: int) -> Floats:
    """A first leg in the cleared look: below the falling leg as if done, above it still to do.

    `todo` and `done` are pictures of shape (n, pitch, pitch, 3), `inks` has shape (n, 3).
    """
    split = np.where(np.tri(pitch, dtype=np.bool_)[..., None], done, todo)
    return laid(split, _flat(inks), _leg(pitch) * LEG_SHARE)


def half_woven(leg: Floats, inks: Floats, pitch: int) -> Floats:
    """A first leg in the worked look: the leg below, with a line along it, because white lies on white."""
    return laid(leg, _flat(inks), _leg(pitch) * WOVEN_SHARE)


def waiting(todo: Floats, inks: Floats, pitch: int) -> Floats:
    """What is left for later: the square to do with a dashed frame in it."""
    return laid(todo, _flat(inks), _dashed(pitch))


def wrong(inverse: Floats, inks: Floats, pitch: int) -> Floats:
    """A mistake: the symbol light on dark (at night dark on light), with a rim around."""
    return laid(inverse, _flat(inks), _rim(pitch))


def far_form(state: int, flat: Floats, others: Floats, pitch: int) -> Floats:
    """Squares too small for symbols, by state: shape (n, pitch, pitch, 3) from colours of shape (n, 3).

    `flat` is a square's one colour; `others` what stands beside it: the colour of a done square under a
    first leg, of the paper around a mistake. A square of one pixel is its colour.
    """
    pictures = np.repeat(np.repeat(_flat(flat), pitch, 1), pitch, 2)
    if pitch == 1:
        return pictures
    marks = _flat(_contrasting(flat))
    if state == DONE:
        # An upright hatch: all rows of a square stay alike, and so can be drawn as one.
        pictures[:, :, -1:] = laid(pictures[:, :, -1:], marks, DONE_SHARE)
    elif state == FIRST_LEG:
        below = np.tri(pitch, dtype=np.bool_)[..., None]
        pictures = laid(np.where(below, _flat(others), pictures), marks, _diagonal(pitch) * LEG_SHARE)
    elif state == LATER:
        pictures = laid(pictures, marks, _dot(pitch))
    elif state == MISTAKE:
        pictures = laid(pictures, _flat(others), _far_rim(pitch))
    return pictures


def dashes(height: int, width: int) -> NDArray[np.bool_]:
    """A grid of dashes that breaks up edges of any slant, of shape (height, width)."""
    down, across = np.indices((height, width))
    broken: NDArray[np.bool_] = (2 * across + down) // 3 % 2 == 0
    return broken


def _flat(colours: Floats) -> Floats:
    return colours[:, None, None, :]


def _contrasting(colours: Floats) -> Floats:
    """Black on light colours and white on dark ones, shape (n, 3)."""
    light = colours @ _LIGHTNESS > _MIDDLE
    told: Floats = np.where(light[:, None], np.float32(0), np.float32(255))
    return told


def _diagonal(pitch: int) -> Mask:
    told: Mask = np.eye(pitch, dtype=np.float32)[..., None]
    return told


@functools.lru_cache(SIZES_KEPT)
def _leg(pitch: int) -> Mask:
    """The falling leg, a sixth of the square broad."""
    down, across = np.indices((pitch, pitch))
    reach = np.float32(max(0.7, pitch * 0.08))
    away = np.abs(across - down).astype(np.float32) / np.float32(np.sqrt(2))
    told: Mask = np.clip(reach + np.float32(0.5) - away, 0, 1)[..., None]
    return told


@functools.lru_cache(SIZES_KEPT)
def _dashed(pitch: int) -> Mask:
    """A frame of dashes just inside the grid line."""
    broad, step = max(1, round(pitch * 0.07)), max(1, round(pitch / 7))
    down, across = np.indices((pitch, pitch))
    edge = _to_edge(pitch)
    here = (edge < broad) & (down > 0) & (across > 0) & ((across // step + down // step) % 2 == 0)
    told: Mask = here.astype(np.float32)[..., None]
    return told


@functools.lru_cache(SIZES_KEPT)
def _rim(pitch: int) -> Mask:
    broad = max(1, round(pitch * 0.08))
    told: Mask = (_to_edge(pitch) < broad).astype(np.float32)[..., None]
    return told


def _to_edge(pitch: int) -> NDArray[np.intp]:
    """How many pixels each one lies from the nearest edge, beside the grid line: shape (pitch, pitch)."""
    steps = np.arange(pitch)
    away = np.minimum(np.maximum(steps - 1, 0), pitch - 1 - steps)
    nearest: NDArray[np.intp] = np.minimum(away[:, None], away[None, :])
    return nearest


def _dot(pitch: int) -> Mask:
    mask = np.zeros((pitch, pitch, 1), np.float32)
    middle, size = pitch // 2, 1 if pitch < SMALLEST_BROAD_DOT else 2
    mask[middle : middle + size, middle : middle + size] = 1
    return mask


def _far_rim(pitch: int) -> Mask:
    if pitch == 2:
        return _diagonal(2)
    mask = np.zeros((pitch, pitch, 1), np.float32)
    mask[0] = mask[:, 0] = 1
    if pitch >= SMALLEST_CLOSED_RIM:
        mask[-1] = mask[:, -1] = 1
    return mask
