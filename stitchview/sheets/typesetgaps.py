"""Measure the white gaps between the pieces of type on plates that were set by hand."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

White = NDArray[np.float32]
Nodes = NDArray[np.float64]

_STEP = 0.04
_FLANKS = (0.08, 0.12, 0.16)
_MOST = 6
_SIDEWAYS = np.arange(-_MOST - 4, _MOST + 5) * _STEP
_ALONG = np.array([0.0, 0.04, 0.09, 0.14, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.86, 0.91, 0.96, 1.0])
_DARKEST = 5
"""A gap is as white as so many of its darkest places: a white ring inside a sign is crossed by its frame."""
_HOME = 0.35
"""How much a gap at the far end of the search is held back against one where it was foreseen."""


@dataclass(frozen=True)
class Gaps:
    """Gaps along one family of lines: each value belongs to one side of a square, (rows, columns + 1).

    ``offset`` is how far the gap lies off the lattice's line, in squares towards the next column; ``depth``
    how much whiter it is than its whiter flank, 0 (no gap) to 1; ``ink`` how dark is the darkest place near.
    """

    offset: NDArray[np.float64]
    depth: NDArray[np.float64]
    ink: NDArray[np.float64]


def whiteness(grey: NDArray[np.uint8]) -> White:
    """How white each pixel is, (H, W) from 0 for ink to 1 for the paper round it, whatever the light."""
    side = max(15, min(grey.shape) // 24 | 1)
    small = cv2.resize(grey, None, fx=0.25, fy=0.25, interpolation=cv2.INTER_AREA)
    kernel = np.ones((max(3, side // 4), max(3, side // 4)), np.uint8)
    paper = cv2.GaussianBlur(cv2.dilate(small, kernel), (0, 0), side / 4)
    full = cv2.resize(paper, (grey.shape[1], grey.shape[0]), interpolation=cv2.INTER_LINEAR)
    ink = float(np.percentile(grey, 2))
    span = np.maximum(np.asarray(full, np.float32) - ink, 30.0)
    return np.asarray(np.clip((grey.astype(np.float32) - ink) / span, 0, 1), np.float32)


def upright_gaps(white: White, nodes: Nodes, spread: float, reach: float = 0.24) -> Gaps:
    """The gap at every side between two nodes of one column; sides up to ``spread`` above and below help.
    It is sought up to ``reach`` squares off the line (0.24 at most).

    ``nodes`` is (rows + 1, columns + 1, 2). At the first and the last line only the flank inside counts, for
    outside the plate there is nothing. For level gaps hand over ``nodes`` with its first two axes swapped.
    """
    near = np.arange(-round(reach / _STEP), round(reach / _STEP) + 1)
    darkest, profile = _profiles(white, nodes)
    contrast = _contrast(darkest, profile, near + len(_SIDEWAYS) // 2)
    if spread > 0:
        contrast = _blurred_down(contrast, spread)
    held = contrast - _HOME * (near / _MOST) ** 2
    best = held.argmax(axis=2)
    offset = (near[best] + _between(held, best)) * _STEP
    depth = np.take_along_axis(contrast, best[..., np.newaxis], axis=2)[..., 0]
    return Gaps(offset, np.clip(depth, 0, 1), 1 - profile.min(axis=2))


def directions(nodes: Nodes) -> Nodes:
    """The way from column to column at each side between two rows, (rows, columns + 1, 2)."""
    steps = np.gradient(nodes, axis=1)
    return np.asarray((steps[:-1] + steps[1:]) / 2)


def _profiles(white: White, nodes: Nodes) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Whiteness along each side, moved sideways by ``_SIDEWAYS``: its darkest places, and the mean between.

    Both (rows, columns + 1, places).
    """
    across = directions(nodes)[:, :, np.newaxis, np.newaxis]
    begin, end = nodes[:-1, :, np.newaxis, np.newaxis], nodes[1:, :, np.newaxis, np.newaxis]
    share = _ALONG[:, np.newaxis, np.newaxis]
    places = begin * (1 - share) + end * share + across * _SIDEWAYS[:, np.newaxis]
    rows, lines = places.shape[:2]
    flat = places.reshape(rows, -1, 2).astype(np.float32)
    values = [_sampled(white, flat[first : first + 256]) for first in range(0, rows, 256)]
    seen = np.concatenate(values).reshape(rows, lines, len(_ALONG), len(_SIDEWAYS))
    darkest = np.sort(seen, axis=2)[:, :, :_DARKEST].mean(axis=2)
    between = seen[:, :, 3:-3].mean(axis=2)
    return darkest.astype(np.float64), between.astype(np.float64)


def _sampled(white: White, places: NDArray[np.float32]) -> NDArray[np.float32]:
    """Whiteness at places (n, m, 2), in pieces because OpenCV refuses sides of 32,767 and more."""
    x, y = np.ascontiguousarray(places[..., 0]), np.ascontiguousarray(places[..., 1])
    parts = [
        cv2.remap(
            white,
            x[:, first : first + 32_000],
            y[:, first : first + 32_000],
            cv2.INTER_LINEAR,
            borderMode=cv2.BORDER_REPLICATE,
        )
        for first in range(0, x.shape[1], 32_000)
    ]
    return np.concatenate(parts, axis=1).astype(np.float32, copy=False)


def _contrast(
    darkest: NDArray[np.float64], profile: NDArray[np.float64], near: NDArray[np.intp]
) -> NDArray[np.float64]:
    """How much whiter each place is than its whiter flank: (rows, columns + 1, near places)."""
    ends = np.pad(darkest, ((0, 0), (0, 0), (1, 1)), mode="edge")
    middle = ends[..., :-2] * 0.25 + ends[..., 1:-1] * 0.5 + ends[..., 2:] * 0.25
    steps = [round(flank / _STEP) for flank in _FLANKS]
    before = np.min([profile[..., near - step] for step in steps], axis=0)
    after = np.min([profile[..., near + step] for step in steps], axis=0)
    flank = np.maximum(before, after)
    # Outside the plate all is white: only the nearest place of the flank inside says where the piece ends.
    flank[:, 0], flank[:, -1] = profile[:, 0, near + steps[0]], profile[:, -1, near - steps[0]]
    return np.asarray(middle[..., near] - flank)


def _blurred_down(values: NDArray[np.float64], spread: float) -> NDArray[np.float64]:
    """Blurred along the first axis alone, the rest of the values side by side."""
    flat = values.reshape(values.shape[0], -1)
    blurred = cv2.GaussianBlur(
        flat, (1, 2 * round(3 * spread) + 1), sigmaX=0.01, sigmaY=spread, borderType=cv2.BORDER_REPLICATE
    )
    return np.asarray(blurred, np.float64).reshape(values.shape)


def _between(values: NDArray[np.float64], best: NDArray[np.intp]) -> NDArray[np.float64]:
    """How far the top of a parabola through the best value and its neighbours lies off it, -0.5 to 0.5."""
    inner = np.clip(best, 1, values.shape[2] - 2)
    low, top, high = (
        np.take_along_axis(values, (inner + step)[..., np.newaxis], axis=2)[..., 0] for step in (-1, 0, 1)
    )
    bend = low - 2 * top + high
    moved = np.where(bend < -1e-6, 0.5 * (low - high) / np.where(bend < -1e-6, bend, -1.0), 0.0)
    return np.where(inner == best, np.clip(moved, -0.5, 0.5), 0.0)
