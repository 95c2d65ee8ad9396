"""Decide with which lines a ruled chart begins and ends, counting on both the lines and what crosses them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.ruledsides import BLOCK, Blocks

_THERE = 0.4
_EDGE = 0.8
_HIDDEN = 0.4


@dataclass(frozen=True)
class Extent:
    """First and last line of a direction, numbered in the looked-at lattice, and how clear each end is.

    ``first_clear`` and ``last_clear`` say how much worse the next best line would fit as the edge, in squares
    wholly drawn: about 1 where the edge is plain, 0 where one cannot tell.
    """

    first: int
    last: int
    first_clear: float
    last_clear: float


def drawn_share(drawn: Blocks, along: Extent, other: Extent) -> float:
    """The share of the chart's sides that are drawn, in one direction."""
    within = slice(-(-other.first // BLOCK), max(other.last // BLOCK, -(-other.first // BLOCK) + 1))
    there = _there(drawn)[within, along.first : along.last]
    return float(there.mean()) if there.size else 0.0


def _there(drawn: Blocks) -> NDArray[np.bool_]:
    """Which squares are drawn: those that are crossed by lines.

    Where upright strokes of the symbols hide most of what crosses, squares between two lines are drawn too.
    """
    between = drawn.ruled[:, :-1] & drawn.ruled[:, 1:]
    if not between.any() or drawn.crossed[between].mean() > _HIDDEN:
        return drawn.crossed
    return np.asarray(drawn.crossed | between)


def extents(
    upright: Blocks,
    level: Blocks,
    seen: NDArray[np.bool_],
    columns: int | None = None,
    rows: int | None = None,
) -> tuple[Extent, Extent]:
    """The chart's columns and rows within a lattice that is looked at a little too widely.

    ``upright`` are the blocks of the picture pulled straight, ``level`` those of it transposed; ``seen``
    (rows, columns) tells which squares lie in the picture. ``columns`` and ``rows`` are counts that the
    edges must have.
    """
    across, down = Extent(0, seen.shape[1], 0, 0), Extent(0, seen.shape[0], 0, 0)
    for _ in range(4):
        across = _extent(upright, seen, down, columns)
        down = _extent(level, seen.T, across, rows)
    return across, down


def _extent(drawn: Blocks, seen: NDArray[np.bool_], other: Extent, count: int | None) -> Extent:
    """One direction, looked at only within what is known of the other."""
    first_block, last_block = -(-other.first // BLOCK), max(other.last // BLOCK, -(-other.first // BLOCK) + 1)
    within = slice(first_block, last_block)
    starts = np.arange(0, len(seen), BLOCK)
    visible = (np.add.reduceat(seen.astype(int), starts, axis=0) >= BLOCK - 1)[within]
    lines_visible = np.pad(visible, [(0, 0), (1, 0)]) | np.pad(visible, [(0, 0), (0, 1)])
    crossed = _share(_there(drawn)[within], visible)
    ruled = _share(drawn.ruled[within], lines_visible)
    return _run(crossed, ruled, count)


def _run(crossed: NDArray[np.float64], ruled: NDArray[np.float64], count: int | None) -> Extent:
    """The run of squares that are crossed while those beyond are not, between two lines that are drawn."""
    typical = max(float(np.percentile(crossed, 70)), 0.1)
    gain = np.concatenate([[0.0], np.cumsum(np.minimum(crossed / typical, 1) - _THERE)])
    edge = _EDGE * np.minimum(ruled / typical, 1)
    worth = (gain + edge)[None, :] - (gain - edge)[:, None]
    worth[np.tril_indices(len(worth))] = -np.inf
    if count is not None and 0 < count < len(worth):
        given = np.eye(len(worth), k=count, dtype=bool)
        picked = np.where(given, worth, -np.inf)
        first, last = np.unravel_index(int(picked.argmax()), worth.shape)
        return Extent(int(first), int(last), 1.0, 1.0)
    first, last = np.unravel_index(int(worth.argmax()), worth.shape)
    best = worth[first, last]
    other_first = np.delete(worth[:, last], first).max()
    other_last = np.delete(worth[first], last).max()
    return Extent(int(first), int(last), float(best - other_first), float(best - other_last))


def _share(drawn_: NDArray[np.bool_], seen: NDArray[np.bool_]) -> NDArray[np.float64]:
    """How many of the seen sides are drawn, for every line; 0 where hardly any is seen."""
    count = seen.sum(axis=0)
    enough = count >= max(1, 0.1 * len(seen))
    return np.where(enough, (drawn_ & seen).sum(axis=0) / np.maximum(count, 1), 0.0)
