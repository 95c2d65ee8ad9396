"""How much of each block of squares is stitched, for pictures too small to show single squares."""

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.model import Chart

Counts = NDArray[np.uint16]


class DoneBlocks:
    """Stitches and done stitches in blocks of `side` x `side` squares; whole crosses only.

    `side` is at most 64, so that a count fits. Both arrays have shape (ceil(rows / side),
    ceil(columns / side)) and are 0 until `refresh` has been told of an area.
    """

    def __init__(self, chart: Chart, states: NDArray[np.uint8], side: int) -> None:
        self._chart, self._states, self.side = chart, states, side
        shape = -(-chart.rows // side), -(-chart.columns // side)
        self.stitches: Counts = np.zeros(shape, np.uint16)
        self.done: Counts = np.zeros(shape, np.uint16)

    def refresh(self, area: Area) -> None:
        """Count anew where `area` has changed."""
        side = self.side
        left, top = area.column // side, area.row // side
        right, bottom = -(-area.right // side), -(-area.bottom // side)
        whole = Area(left * side, top * side, (right - left) * side, (bottom - top) * side)
        here = whole.clipped(self._chart.area)
        if here.empty:
            return
        blocks = slice(top, bottom), slice(left, right)
        self.stitches[blocks] = _sums(self._chart.squares[here.slices()] != 0, side)
        self.done[blocks] = _sums(self._states[here.slices()] != 0, side)

    def mostly_done(self) -> NDArray[np.bool_]:
        """Tell which blocks are done by half or more."""
        mostly: NDArray[np.bool_] = (self.done > 0) & (2 * self.done >= self.stitches)
        return mostly


def _sums(mask: NDArray[np.bool_], side: int) -> Counts:
    rows = np.add.reduceat(mask, np.arange(0, mask.shape[0], side), axis=0, dtype=np.uint16)
    sums: Counts = np.add.reduceat(rows, np.arange(0, mask.shape[1], side), axis=1, dtype=np.uint16)
    return sums
