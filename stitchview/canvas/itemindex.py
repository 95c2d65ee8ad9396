"""Find the stitches that touch an area without looking at the rest of the chart."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area

BLOCK = 32
# An item that reaches over more blocks than this is kept apart, so that no file can make the index huge.
MOST_BLOCKS = 64

Indices = NDArray[np.intp]

_NONE: Indices = np.zeros(0, np.intp)
_NONE.flags.writeable = False


@dataclass(frozen=True)
class Reaches:
    """The squares each of n items reaches over, first and last included: int arrays of shape (n,)."""

    left: NDArray[np.int32]
    top: NDArray[np.int32]
    right: NDArray[np.int32]
    bottom: NDArray[np.int32]


class BlockIndex:
    """Items looked up by blocks of 32 x 32 squares; long items are simply always looked at."""

    def __init__(self, reaches: Reaches, columns: int, rows: int) -> None:
        self._across = max(1, -(-columns // BLOCK))
        self._down = max(1, -(-rows // BLOCK))
        left, right = (np.clip(x // BLOCK, 0, self._across - 1) for x in (reaches.left, reaches.right))
        top, bottom = (np.clip(y // BLOCK, 0, self._down - 1) for y in (reaches.top, reaches.bottom))
        wide, high = right - left + 1, bottom - top + 1
        reach = wide.astype(np.intp) * high
        self._long = np.flatnonzero(reach > MOST_BLOCKS)
        short = np.flatnonzero(reach <= MOST_BLOCKS)
        items = np.repeat(short, reach[short])
        starts = np.cumsum(reach[short]) - reach[short]
        step = np.arange(len(items)) - np.repeat(starts, reach[short])
        block = (top[items] + step // wide[items]) * self._across + left[items] + step % wide[items]
        order = np.argsort(block, kind="stable")
        self._items: Indices = items[order].astype(np.intp)
        bounds = np.searchsorted(block[order], np.arange(self._across * self._down + 1))
        self._bounds: list[int] = bounds.tolist()
        self._any = len(reach) > 0

    def __bool__(self) -> bool:
        return self._any

    def near(self, area: Area) -> Indices:
        """Give, in ascending order, every item that may touch `area`: more are given than do."""
        if area.columns <= 0 or area.rows <= 0 or not self:
            return _NONE
        low, high = max(area.column // BLOCK, 0), min((area.right - 1) // BLOCK, self._across - 1)
        first, last = max(area.row // BLOCK, 0), min((area.bottom - 1) // BLOCK, self._down - 1)
        low, high = min(low, self._across - 1), max(high, 0)
        first, last = min(first, self._down - 1), max(last, 0)
        if low == high and first == last and not len(self._long):
            # One block alone: its items stand in order, each once.
            block = first * self._across + low
            return self._items[self._bounds[block] : self._bounds[block + 1]]
        pieces: list[Indices] = [self._long] if len(self._long) else []
        for row in range(first, last + 1):
            start = row * self._across
            begin, end = self._bounds[start + low], self._bounds[start + high + 1]
            if begin < end:
                pieces.append(self._items[begin:end])
        if not pieces:
            return _NONE
        found = np.concatenate(pieces)
        found.sort()
        # An item in two blocks comes twice; sorting is far cheaper than numpy's hashing `unique`.
        once = np.ones(len(found), np.bool_)
        np.not_equal(found[1:], found[:-1], out=once[1:])
        return found[once]
