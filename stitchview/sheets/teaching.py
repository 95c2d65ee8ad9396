"""An answer about one square teaches the squares that look like it: fewer doubts, or better ones."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.model import Chart, Squares
from stitchview.chart.review import Doubts, Why
from stitchview.sheets.correcting import those_doubts
from stitchview.sheets.squarelooks import Looks

Places = NDArray[np.intp]
Numbers = NDArray[np.float32]
Mask = NDArray[np.bool_]

MOST_TEACHERS = 12
"""Of many squares answered at once so many teach: the others of them look like these."""

_WORTH = np.float32(0.95)
_SURE = np.float32(0.03)
_LIKE = np.float32(0.3)
_AS_GOOD_AS_THE_SAME = np.float32(0.6)
_FRESH = np.float32(0.5)
_LEAST_CHANCE = np.float32(1e-4)
_LOOKED_AT = 300


def taught(chart: Chart, looks: Looks, answered: Places, by_hand: Mask) -> Chart:
    """The chart after squares like the answered ones have been sorted anew.

    ``answered`` are places in rows * columns whose entry in ``chart.squares`` is certain now; ``by_hand``
    (rows * columns,) says of all squares whether a person has decided on them, and those never change. Each
    doubt about a square that looks like an answered one becomes smaller or changes sides; what is hardly
    doubtful any longer is a doubt no more. A square nobody doubted becomes a doubt where it looks like an
    answered one of another entry.
    """
    for teacher in answered[:: max(1, len(answered) // MOST_TEACHERS)].tolist():
        chart = _taught_by(chart, looks, teacher, by_hand)
    return chart


def most_useful(
    chart: Chart, looks: Looks | None, last: tuple[int, int] | None = None, later: Mask | None = None
) -> int | None:
    """The doubt to ask next: the one whose answer is worth most, itself and those like it together.

    What an answer is worth is the chance of being wrong that it takes away. Of doubts equally useful the
    nearest to ``last`` (column, row) is asked, so that the eye need not travel far. Doubts where ``later``
    (n,) is true come after all others.
    """
    doubts = chart.doubts
    if not len(doubts):
        return None
    worth = doubts.chances.astype(np.float64)
    if looks is not None:
        worth = worth + _like_ones(looks, looks.places(doubts.columns, doubts.rows), doubts)
    column, row = last if last is not None else (0, 0)
    far = np.maximum(np.abs(doubts.columns - column), np.abs(doubts.rows - row))
    waits = np.zeros(len(doubts), np.bool_) if later is None else later
    return int(np.lexsort((far, -np.round(worth, 1), waits))[0])


def companions(chart: Chart, looks: Looks | None, doubt: int, most: int) -> Places:
    """Up to ``most`` doubts on squares of the same entry as this one's, itself first, then the likest."""
    doubts = chart.doubts
    own = chart.squares[doubts.rows, doubts.columns]
    others = np.flatnonzero(own == own[doubt])
    others = others[others != doubt]
    if looks is None:
        order = np.argsort(doubts.chances[others], kind="stable")
    else:
        places = looks.places(doubts.columns, doubts.rows)
        rest = looks.numbers[places[others]] - looks.numbers[places[doubt]]
        order = np.argsort(np.einsum("nd,nd->n", rest, rest), kind="stable")
    return np.concatenate([[doubt], others[order[: most - 1]]]).astype(np.intp)


def _like_ones(looks: Looks, places: Places, doubts: Doubts) -> NDArray[np.float64]:
    """For the likeliest few hundred doubts, what the doubts like each are worth together."""
    worth = np.zeros(len(doubts))
    first = np.argsort(-doubts.chances, kind="stable")[:_LOOKED_AT]
    numbers = looks.numbers[places[first]]
    lengths = np.einsum("nd,nd->n", numbers, numbers)
    far = lengths[:, None] + lengths - 2 * numbers @ numbers.T
    near = np.exp(-np.maximum(far / np.float32(looks.usual**2) - 1.5, 0))
    np.fill_diagonal(near, 0)
    worth[first] = np.nan_to_num(near, nan=0.0) @ doubts.chances[first]
    return worth


def _taught_by(chart: Chart, looks: Looks, teacher: int, by_hand: Mask) -> Chart:
    row, column = divmod(teacher, looks.columns)
    number = int(chart.squares[row, column])
    near = looks.nearness(slice(None), teacher)
    near[by_hand] = 0
    near[teacher] = 0
    squares = chart.squares
    flat = squares.ravel()
    doubts = chart.doubts
    at = looks.places(doubts.columns, doubts.rows)
    entries, learnt_doubts, settled = _learnt(doubts, flat[at], near[at], number)
    if (entries != flat[at]).any():
        squares = squares.copy()
        squares[doubts.rows, doubts.columns] = entries
    kept = those_doubts(learnt_doubts, ~settled)
    near[at] = 0
    fresh = np.flatnonzero((near > _AS_GOOD_AS_THE_SAME) & (flat != number))
    if len(fresh):
        kept = _with_fresh(kept, chart.squares, fresh, number)
    return replace(chart, squares=squares, doubts=kept)


def _learnt(doubts: Doubts, own: Squares, weight: Numbers, number: int) -> tuple[Squares, Doubts, Mask]:
    """Entries of the doubtful squares, the doubts, and which are none any more, after one lesson."""
    odds = doubts.chances / np.maximum(1 - doubts.chances, _LEAST_CHANCE)
    step = 1 - _WORTH * weight
    agrees = own == number
    speaks = (weight > _LIKE) & ~agrees
    # A likeness to something not thought of yet puts that in the place of the second.
    before = np.where(doubts.seconds == number, odds, np.maximum(odds, _FRESH))
    odds = np.where(agrees, odds * step, np.where(speaks, before / np.maximum(step, _LEAST_CHANCE), odds))
    seconds = np.where(speaks, np.uint16(number), doubts.seconds)
    chances = odds / (1 + odds)
    turned = speaks & (chances > 0.5)
    entries = np.where(turned, np.uint16(number), own).astype(np.uint16)
    seconds = np.where(turned, own, seconds).astype(np.uint16)
    chances = np.clip(np.where(turned, 1 - chances, chances), _LEAST_CHANCE, 1)
    # Sheets that differ are compared by a person, whatever a square looks like.
    settled = (weight > _LIKE) & (chances < _SURE) & (doubts.whys != Why.SHEETS)
    learnt = Doubts(
        doubts.columns, doubts.rows, chances.astype(np.float32), seconds, doubts.whys, doubts.extra
    )
    return entries, learnt, settled


def _with_fresh(doubts: Doubts, squares: Squares, fresh: Places, number: int) -> Doubts:
    rows, columns = np.divmod(fresh, squares.shape[1])
    return Doubts(
        np.concatenate([doubts.columns, columns]).astype(np.int32),
        np.concatenate([doubts.rows, rows]).astype(np.int32),
        np.concatenate([doubts.chances, np.full(len(fresh), _FRESH, np.float32)]),
        np.concatenate([doubts.seconds, np.full(len(fresh), number, np.uint16)]),
        np.concatenate([doubts.whys, np.full(len(fresh), Why.SYMBOL, np.uint8)]),
        doubts.extra,
    )
