"""Puts pieces of a route into a short order: from next to nearest, then by turning and moving stretches."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from stitchview.follow.unitoptions import Choices

MOST_STEPS = 200
LONGEST_MOVED = 3
STARTS_TRIED, STARTS_BETTERED = 6, 2
ENOUGH = 1e-6
"""Millimetres; what betters a route by less is only rounding."""

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


@dataclass(frozen=True, eq=False, slots=True)
class _Better:
    gain: float
    order: Whole


def short_order(choices: Choices, begin: Floats) -> Whole:
    """One option of every piece, in a short order; `begin` (n,) is what beginning with an option costs."""
    routes = [
        _next_to_nearest(choices, int(start), begin)
        for start in np.argsort(begin, kind="stable")[:STARTS_TRIED]
    ]
    routes.sort(key=lambda order: _total(choices, order, begin))
    bettered = [bettered_order(choices, order, begin) for order in routes[:STARTS_BETTERED]]
    for route in routes[STARTS_BETTERED:]:
        if not all(choices.leads_over(order) for order in bettered):
            break
        bettered.append(bettered_order(choices, route, begin))
    return min(bettered, key=lambda order: _total(choices, order, begin))


def bettered_order(choices: Choices, order: Sequence[int] | Whole, begin: Floats) -> Whole:
    """The order after turning stretches, moving short ones and choosing options anew until nothing helps."""
    order = np.asarray(order, np.int64)
    for _ in range(MOST_STEPS):
        for change in (_turned, _moved, _chosen_anew):
            found = change(choices, order, begin)
            if found.gain > ENOUGH:
                break
        else:
            break
        order = found.order
    return order


def _total(choices: Choices, order: Whole, begin: Floats) -> float:
    return choices.total(order.tolist()) + float(begin[order[0]])


def _next_to_nearest(choices: Choices, start: int, begin: Floats) -> Whole:
    order = [start]
    open_ = choices.piece != choices.piece[start]
    while open_.any():
        cost = np.where(open_, choices.cost[order[-1]] + choices.added, np.inf)
        order.append(int(cost.argmin()))
        open_ &= choices.piece != choices.piece[order[-1]]
    return np.array(order, np.int64)


def _turned(choices: Choices, order: Whole, begin: Floats) -> _Better:
    """The best turning round of one stretch, or of a single piece."""
    count = len(order)
    back = choices.back[order]
    into = np.empty((count, count))  # what comes before the stretch leads to its turned end
    into[0] = begin[back]
    into[1:] = choices.cost[order[:-1][:, None], back[None, :]]
    out = np.zeros((count, count))  # its turned beginning leads to what comes after
    out[:, :-1] = choices.cost[back[:, None], order[None, 1:]]
    now_in, now_out = _edges(choices, order, begin)
    gains = now_in[:, None] + now_out[None, :] - into - out
    gains[np.tril_indices(count, -1)] = -np.inf
    first, last = np.unravel_index(int(gains.argmax()), gains.shape)
    changed = order.copy()
    changed[first : last + 1] = back[first : last + 1][::-1]
    return _Better(float(gains[first, last]), changed)


def _moved(choices: Choices, order: Whole, begin: Floats) -> _Better:
    """The best move of a short stretch, either way round, to another place of the route."""
    best = _Better(0.0, order)
    for length in range(1, min(LONGEST_MOVED, len(order) - 1) + 1):
        for turned in (False, True):
            found = _best_move(choices, order, begin, (length, turned))
            best = max(best, found, key=lambda better: better.gain)
    return best


def _best_move(choices: Choices, order: Whole, begin: Floats, what: tuple[int, bool]) -> _Better:
    length, turned = what
    count = len(order)
    starts = np.arange(count - length + 1)
    heads, tails = order[starts], order[starts + length - 1]
    now_in, now_out = _edges(choices, order, begin)
    closed = np.zeros(len(starts))
    closed[1:-1] = choices.cost[order[starts[1:-1] - 1], order[starts[1:-1] + length]]
    closed[0] = begin[order[length]]
    saved = now_in[starts] + now_out[starts + length - 1] - closed
    new_heads, new_tails = (choices.back[tails], choices.back[heads]) if turned else (heads, tails)
    # The gaps 0 ... count: before the first piece, between two, after the last.
    into = np.empty((len(starts), count + 1))
    into[:, 0] = begin[new_heads]
    into[:, 1:] = choices.cost[order[None, :], new_heads[:, None]]
    out = np.zeros((len(starts), count + 1))
    out[:, :-1] = choices.cost[new_tails[:, None], order[None, :]]
    broken = np.append(now_in, 0.0)
    gains = saved[:, None] - into - out + broken[None, :]
    gap = np.arange(count + 1)
    gains[(gap >= starts[:, None]) & (gap <= starts[:, None] + length)] = -np.inf
    start, place = np.unravel_index(int(gains.argmax()), gains.shape)
    stretch = order[start : start + length]
    stretch = choices.back[stretch][::-1] if turned else stretch
    rest = np.delete(order, slice(start, start + length))
    at = place if place < start else place - length
    return _Better(float(gains[start, place]), np.insert(rest, at, stretch))


def _chosen_anew(choices: Choices, order: Whole, begin: Floats) -> _Better:
    """For the same order of pieces, the options that make it shortest."""
    layers = [np.flatnonzero(choices.piece == piece) for piece in choices.piece[order]]
    if all(len(layer) == 1 for layer in layers):
        return _Better(0.0, order)
    reached = begin[layers[0]] + choices.added[layers[0]]
    steps: list[Whole] = []
    for one, other in pairwise(layers):
        sums = reached[:, None] + choices.cost[np.ix_(one, other)]
        steps.append(sums.argmin(axis=0))
        reached = sums.min(axis=0) + choices.added[other]
    at = int(reached.argmin())
    chosen = [int(layers[-1][at])]
    for layer, step in zip(reversed(layers[:-1]), reversed(steps), strict=True):
        at = int(step[at])
        chosen.append(int(layer[at]))
    new = np.array(chosen[::-1], np.int64)
    return _Better(_total(choices, order, begin) - float(reached.min()), new)


def _edges(choices: Choices, order: Whole, begin: Floats) -> tuple[Floats, Floats]:
    """What leads into each piece of the route, and what leads out of it."""
    between = choices.cost[order[:-1], order[1:]]
    return np.concatenate((begin[order[:1]], between)), np.append(between, 0.0)
