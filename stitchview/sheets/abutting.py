"""Lay two sheets edge to edge that repeat no squares, from how areas go on across the edge."""

import numpy as np

from stitchview.sheets.overlap import MOST_SHIFT, Fit, Offset
from stitchview.sheets.sheetreading import Piles, SheetReading

_LEAST_AHEAD = 4.0
_LEAST_SQUARES = 20


def fit_beside(one: SheetReading, two: SheetReading) -> Fit | None:
    """The likeliest place of sheet two right at an edge of sheet one; None where the edges do not tell it.

    Along a true edge most squares have a neighbour of their own pile on the other sheet, in order; moved
    sideways or at another edge they have not. Only sheets of the same length along that edge, with the same
    bold lines, are tried unmoved; how far the best is ahead of the rest, in standard deviations, decides.
    """
    tried = {offset: _goes_on(one.piles, two.piles, offset) for offset in _edges(one.piles, two.piles)}
    known = {offset: value for offset, value in tried.items() if value is not None}
    if len(known) < 8:
        return None
    best = max(known, key=lambda offset: known[offset][0] / known[offset][1])
    agreeing, counted = known[best]
    shares = np.array([known[offset][0] / known[offset][1] for offset in known if offset != best])
    ahead = (agreeing / counted - float(shares.mean())) / max(float(shares.std()), 0.03)
    straight = 0 in best and _same_length(one.piles, two.piles, best)
    if ahead < _LEAST_AHEAD or not straight:
        return None
    return Fit(best, counted, agreeing, ahead)


def _edges(one: Piles, two: Piles) -> list[Offset]:
    shifts = range(-2 * MOST_SHIFT, 2 * MOST_SHIFT + 1)
    across = [(column, shift) for column in (one.shape[1], -two.shape[1]) for shift in shifts]
    return across + [(shift, row) for row in (one.shape[0], -two.shape[0]) for shift in shifts]


def _same_length(one: Piles, two: Piles, offset: Offset) -> bool:
    axis = 0 if offset[1] == 0 and abs(offset[0]) in (one.shape[1], two.shape[1]) else 1
    return bool(one.shape[axis] == two.shape[axis])


def _goes_on(one: Piles, two: Piles, offset: Offset) -> tuple[int, int] | None:
    """How many of the squares along the edge have their like right across it, and of how many."""
    column, row = offset
    if column in (one.shape[1], -two.shape[1]):
        first, second, shift = one[:, -1 if column > 0 else 0], two[:, 0 if column > 0 else -1], row
    else:
        first, second, shift = one[-1 if row > 0 else 0], two[0 if row > 0 else -1], column
    first, second = first[max(0, shift) :], second[max(0, -shift) :]
    length = min(len(first), len(second))
    first, second = first[:length], second[:length]
    counted = (first > 0) | (second > 0)
    if int(counted.sum()) < _LEAST_SQUARES:
        return None
    return int((first == second)[counted].sum()), int(counted.sum())
