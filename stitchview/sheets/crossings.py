"""See which squares back stitch may cross, and which of their pixels it covers."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.cleaning import SIDE
from stitchview.sheets.describing import INSET, PIXELS, soft_weights

AROUND_LINES = 3
"""Pixels around a square that are looked at, so that a line is seen to go on beyond it."""

Numbers = NDArray[np.float32]

_BINS = 6
_HALF_WIDTH = 3.0
_CORE = 1.0

Piece = tuple[float, float, float, float]


def _pieces() -> list[Piece]:
    """The ways a line may run through or along a square between its half points, from the border inwards."""
    edges = [(0.0, 0.0, 0.5, 0.0), (1.0, 0.0, 0.5, 0.0), (0.0, 1.0, 0.5, 1.0), (1.0, 1.0, 0.5, 1.0)]
    edges += [(y, x, v, u) for x, y, u, v in edges]
    middle = [(x, y, 0.5, 0.5) for x in (0.0, 0.5, 1.0) for y in (0.0, 0.5, 1.0) if (x, y) != (0.5, 0.5)]
    ends = (0.0, 1.0)
    knights = [(x, y, 1 - x, 0.5) for x in ends for y in ends]
    knights += [(x, y, 0.5, 1 - y) for x in ends for y in ends]
    slopes = [(0.5, y, x, 0.5) for x in ends for y in ends]
    return edges + middle + knights + slopes


PIECES = _pieces()
_ALONG_BORDER = np.array([(a == c and a != 0.5) or (b == d and b != 0.5) for a, b, c, d in PIECES])


@dataclass(frozen=True)
class PieceShapes:
    """For each piece the weights of its bins (pieces, bins, pixels) and what it covers (pieces, 144)."""

    bins: Numbers
    covers: NDArray[np.bool_]


def piece_shapes() -> PieceShapes:
    """The shapes of all pieces in a cut-out of SIDE + 2 * AROUND_LINES pixels."""
    side = SIDE + 2 * AROUND_LINES
    places = (np.arange(side) - AROUND_LINES + 0.5) / SIDE
    x, y = np.meshgrid(places, places)
    bins, covers = [], []
    for begin_x, begin_y, end_x, end_y in PIECES:
        way_x, way_y = end_x - begin_x, end_y - begin_y
        length = float(np.hypot(way_x, way_y))
        along = ((x - begin_x) * way_x + (y - begin_y) * way_y) / length**2
        beside = np.abs((x - begin_x) * way_y - (y - begin_y) * way_x) / length * SIDE
        core = [
            (beside < _CORE) & (along >= part / _BINS) & (along < (part + 1) / _BINS) for part in range(_BINS)
        ]
        bins.append([part / max(1, part.sum()) for part in core])
        reach = _HALF_WIDTH / SIDE / length
        covers.append(_soft_cover((beside < _HALF_WIDTH) & (along > -reach) & (along < 1 + reach)))
    return PieceShapes(np.array(bins, np.float32).reshape(len(PIECES), _BINS, -1), np.array(covers))


def lines_over(cutouts: Numbers, black: float, shapes: PieceShapes) -> NDArray[np.bool_]:
    """Which pieces (N, pieces) may be drawn over each cut-out (N, side, side), solid or dashed.

    A solid piece is dark from the border on, which signs seldom reach; a dash lies off the border's point.
    """
    flat = cutouts.reshape(len(cutouts), cutouts.shape[1] * cutouts.shape[2])
    parts = flat @ shapes.bins.reshape(-1, flat.shape[1]).T
    parts = parts.reshape(len(flat), len(PIECES), _BINS) / np.float32(black)
    mean = parts.mean(axis=2)
    solid = (parts.min(axis=2) > 0.4) & (mean > 0.55)
    dashed = (parts[:, :, 1] > 0.5) & (parts[:, :, 2] > 0.5) & (mean > 0.45)
    # Along the border the grid line was taken off and most of a stitch's line with it.
    beside = _ALONG_BORDER & (mean > 0.2)
    return np.asarray(solid | dashed | beside)


def covered_pixels(lines: NDArray[np.bool_], shapes: PieceShapes) -> NDArray[np.bool_]:
    """Which soft pixels (N, 144) the lines of each square (N, pieces) cover."""
    return np.asarray(lines.astype(np.float32) @ shapes.covers.astype(np.float32) > 0)


def soft_share(share: Numbers) -> Numbers:
    """How much of each soft pixel (144,) lies under a share (side, side) of a cut-out's pixels."""
    first = AROUND_LINES + INSET
    weights = soft_weights()
    inner = share[first:-first, first:-first].astype(np.float32)
    return np.asarray((weights.T @ inner @ weights).reshape(PIXELS * PIXELS), np.float32)


def _soft_cover(mask: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Which soft pixels take more than a tenth of their weight from under the mask."""
    return np.asarray(soft_share(mask.astype(np.float32)) > 0.1)
