"""Take a square for a known sign with back stitch over it, and say how much that leaves unexplained."""

from dataclasses import dataclass

import numpy as np

from stitchview.sheets.cleaning import SIDE
from stitchview.sheets.crossings import (
    AROUND_LINES,
    PIECES,
    lines_over,
    piece_shapes,
    soft_share,
)
from stitchview.sheets.nearness import Labels, Numbers
from stitchview.sheets.secondlook import PixelModel

NO_LINES = 1e4
"""The cost of a piece of line on sheets that have none."""

A_PIECE = 30.0
"""What the first pieces of line cost, in squared spreads: they must explain that much to be believed."""

_DEARER = (1.0, 1.0, 2.0, 3.0)
"""A line runs through a square in two pieces; more of them explain almost anything and so cost more."""

_FULL, _NOTHING = 3.0, 4.5
_MOST_ADDED, _MOST_MISSING = np.float32(6), np.float32(9)
_ROUGH = 0.04
_SHADE = (0.04, 0.4)
_A_SHADE = np.float32(6)
_LIGHTEST = 0.06
_WHITE = 0.1


@dataclass(frozen=True)
class Explained:
    """What taking each square for each sign costs, (n, K) in squared spreads.

    ``unexplained`` is the part of ``costs`` that neither sign nor line explains, ``pieces`` how many of line.
    """

    costs: Numbers
    unexplained: Numbers
    pieces: Labels


def explained(soft: Numbers, cutouts: Numbers, model: PixelModel, a_piece: float = A_PIECE) -> Explained:
    """Take squares (``soft`` (n, 144), cut-outs with AROUND_LINES) for every sign of the model in turn.

    Ink beyond the sign's own is explained by up to four pieces of line where the square is dark all along
    them, and paper darker all over by shading; missing ink is explained by nothing.
    """
    may = lines_over(cutouts, model.black, piece_shapes())
    covers = _covers()
    prices = np.where(may, np.float32(a_piece), np.float32(1e9))
    spread = np.sqrt(np.diag(model.spread) + _ROUGH**2).astype(np.float32)
    lightest = np.quantile(soft, _LIGHTEST, axis=1).astype(np.float32)
    unexplained = np.empty((len(soft), len(model.means)), np.float32)
    pieces = np.zeros(unexplained.shape, np.intp)
    paid = np.zeros_like(unexplained)
    for sign, mean in enumerate(model.means):
        shade = np.zeros(len(soft), np.float32)
        beyond = lightest - np.quantile(mean, _LIGHTEST)
        if np.quantile(mean, _LIGHTEST) < _WHITE:
            shade = np.where((beyond > _SHADE[0]) & (beyond < _SHADE[1]), beyond, 0).astype(np.float32)
        rest = ((soft - shade[:, None]) / (1 - shade[:, None]) - mean) / spread
        missing = np.minimum(np.square(np.minimum(rest, 0)), _MOST_MISSING).sum(axis=1)
        added = np.minimum(np.square(np.maximum(rest, 0)), _MOST_ADDED)
        paid[:, sign], pieces[:, sign] = _with_lines(added, covers, prices)
        unexplained[:, sign] = missing + added.sum(axis=1) + np.where(shade > 0, _A_SHADE, 0)
    return Explained(unexplained + paid, unexplained, pieces)


def _with_lines(added: Numbers, covers: Numbers, prices: Numbers) -> tuple[Numbers, Labels]:
    """Take off added ink (n, 144), in place, what pieces of line explain: their cost and number."""
    paid = np.zeros(len(added), np.float32)
    taken = np.zeros(len(added), np.intp)
    some = np.flatnonzero(prices.min(axis=1) < added.sum(axis=1))
    for dearer in _DEARER:
        if not len(some):
            break
        gain = added[some] @ covers.T - prices[some] * np.float32(dearer)
        best = gain.argmax(axis=1)
        worth = gain[np.arange(len(some)), best] > 0
        some, best = some[worth], best[worth]
        added[some] *= 1 - covers[best]
        paid[some] += prices[some, best] * np.float32(dearer)
        taken[some] += 1
    return paid, taken


def _covers() -> Numbers:
    """How much of each soft pixel each piece of line explains (pieces, 144): less towards its edges."""
    side = SIDE + 2 * AROUND_LINES
    places = (np.arange(side) - AROUND_LINES + 0.5) / SIDE
    x, y = np.meshgrid(places, places)
    covers = []
    for begin_x, begin_y, end_x, end_y in PIECES:
        way_x, way_y = end_x - begin_x, end_y - begin_y
        along = ((x - begin_x) * way_x + (y - begin_y) * way_y) / (way_x**2 + way_y**2)
        along = np.clip(along, 0, 1)
        off = np.hypot(x - begin_x - along * way_x, y - begin_y - along * way_y) * SIDE
        covers.append(soft_share(np.clip((_NOTHING - off) / (_NOTHING - _FULL), 0, 1)))
    return np.minimum(np.array(covers, np.float32), 1)
