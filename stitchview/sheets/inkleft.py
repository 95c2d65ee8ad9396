"""What ink a straightened sheet holds beyond its grid and its symbols: back stitch, knots and beads."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.gridink import grid_ink
from stitchview.sheets.sheetreading import Piles
from stitchview.sheets.straightening import Straight

Floats = NDArray[np.float32]

PITCH = 24
HALF = PITCH // 2
EXAMPLES = 150
_FEW = 3


@dataclass(frozen=True, eq=False)
class InkLeft:
    """One sheet at ``PITCH`` pixels a square with one square of margin, all (H, W) float32.

    ``ink`` is how dark each pixel is against its own paper, 1 for full ink; ``known`` the part of it that
    grid and symbols explain; ``left`` the rest, about -0.3 to 1. Where ``known`` is near 1, a line over it
    cannot be seen.
    """

    ink: Floats
    known: Floats
    left: Floats
    columns: int
    rows: int


def ink_left(straight: Straight, piles: Piles) -> InkLeft:
    """Take from a sheet its grid and, square by square, the middle picture of the square's pile."""
    ink = ink_of(straight)
    grid = grid_ink(ink, straight.columns, straight.rows, PITCH)
    known = np.clip(grid + _symbol_ink(ink - grid, piles), 0, 1)
    left = np.clip(ink - known, -0.3, 1)
    return InkLeft(ink, known, left, straight.columns, straight.rows)


def ink_of(straight: Straight) -> Floats:
    """How dark each pixel is against the brightest paper nearby, scaled so that full ink is about 1."""
    grey = _at_pitch(straight)
    rows, columns = straight.rows + 2, straight.columns + 2
    tiles = grey.reshape(rows, PITCH, columns, PITCH).transpose(0, 2, 1, 3).reshape(rows, columns, -1)
    brightest = np.partition(tiles, -PITCH * PITCH // 12, axis=2)[..., -PITCH * PITCH // 12]
    around = cv2.blur(cv2.dilate(brightest, np.ones((5, 5), np.uint8)), (5, 5))
    # A square printed all black has no paper of its own; a shaded one has, a little darker.
    paper = np.where(brightest > 0.72 * around, brightest, around)
    ink = 1 - grey / np.maximum(np.repeat(np.repeat(paper, PITCH, 0), PITCH, 1), 1)
    full = max(float(np.percentile(ink[PITCH:-PITCH:2, PITCH:-PITCH:2], 97)), 0.3)
    return np.asarray(np.clip(ink / full, -0.2, 1.1), np.float32)


def _at_pitch(straight: Straight) -> Floats:
    """The grey sheet at ``PITCH`` with one square of margin, its edge repeated where the sheet has less."""
    pitch, margin = straight.pitch, min(straight.margin, straight.pitch)
    cut = straight.margin - margin
    grey = np.asarray(straight.grey[cut : straight.grey.shape[0] - cut, cut : straight.grey.shape[1] - cut])
    more = pitch - margin
    wide = cv2.copyMakeBorder(grey, more, more, more, more, cv2.BORDER_REPLICATE)
    size = (straight.columns + 2) * PITCH, (straight.rows + 2) * PITCH
    way = cv2.INTER_AREA if pitch > PITCH else cv2.INTER_CUBIC
    return np.asarray(cv2.resize(wide, size, interpolation=way), np.float32)


def _symbol_ink(ink: Floats, piles: Piles) -> Floats:
    """For every square the median of its pile's (the lightest of very few), laid out as the sheet is."""
    rows, columns = piles.shape
    inner = ink[PITCH:-PITCH, PITCH:-PITCH]
    tiles = inner.reshape(rows, PITCH, columns, PITCH).transpose(0, 2, 1, 3)
    middle = np.zeros((rows, columns, PITCH, PITCH), np.float32)
    random = np.random.default_rng(1)
    for pile in np.unique(piles).tolist():
        at = np.argwhere(piles == pile)
        if len(at) > EXAMPLES:
            at = at[random.choice(len(at), EXAMPLES, replace=False)]
        mine = tiles[at[:, 0], at[:, 1]]
        middle[piles == pile] = np.median(mine, axis=0) if len(at) >= _FEW else mine.min(axis=0)
    found = np.zeros_like(ink)
    found[PITCH:-PITCH, PITCH:-PITCH] = middle.transpose(0, 2, 1, 3).reshape(inner.shape)
    return np.maximum(found, 0)
