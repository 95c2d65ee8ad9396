"""Find the stitches that touch a range of rows without looking at the rest of the chart."""

import numpy as np
from numpy.typing import NDArray

BLOCK_ROWS = 16

Indices = NDArray[np.intp]


class RowIndex:
    """Items, each reaching from a first to a last row, looked up by blocks of rows.

    `first` and `last` are int arrays of shape (n,), rows from 0. Memory is one index for each
    block an item reaches into.
    """

    def __init__(self, first: NDArray[np.int32], last: NDArray[np.int32], rows: int) -> None:
        blocks = max(1, -(-rows // BLOCK_ROWS))
        low = np.clip(first // BLOCK_ROWS, 0, blocks - 1).astype(np.intp)
        high = np.clip(last // BLOCK_ROWS, 0, blocks - 1).astype(np.intp)
        reach = high - low + 1
        items = np.repeat(np.arange(len(low)), reach)
        starts = np.cumsum(reach) - reach
        block_of = low[items] + np.arange(len(items)) - starts[items]
        order = np.argsort(block_of, kind="stable")
        self._items: Indices = items[order]
        self._bounds = np.searchsorted(block_of[order], np.arange(blocks + 1))
        self._blocks = blocks

    def within(self, first: int, last: int) -> Indices:
        """Give the items, in ascending order, whose blocks touch rows `first` to `last`, both included."""
        low = min(max(first // BLOCK_ROWS, 0), self._blocks - 1)
        high = min(max(last // BLOCK_ROWS, 0), self._blocks - 1)
        found = self._items[self._bounds[low] : self._bounds[high + 1]]
        return found if low == high else np.unique(found)
