"""How much of each block of squares is in which state, for pictures too small to show single squares."""

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.change import DONE, FIRST_LEG, FIRST_STATES, LATER, MISTAKE

Counts = NDArray[np.uint16]
COUNTED = (DONE, FIRST_LEG, LATER, MISTAKE)


class DoneBlocks:
    """Stitches, and those in each state but open, in blocks of `side` x `side` squares; whole crosses only.

    `counts` tells them by state. `side` is at most 64, so that a count fits. All arrays have shape
    (ceil(rows / side), ceil(columns / side)) and are 0 until `refresh` has been told of an area.
    """

    def __init__(self, chart: Chart, states: NDArray[np.uint8], side: int) -> None:
        self._chart, self._states, self.side = chart, states, side
        shape = -(-chart.rows // side), -(-chart.columns // side)
        self.stitches: Counts = np.zeros(shape, np.uint16)
        self.counts: dict[int, Counts] = {state: np.zeros(shape, np.uint16) for state in COUNTED}

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
        states = self._states[here.slices()]
        most = int(states.max())
        for state, counts in self.counts.items():
            # Most charts have none of the later states, and counting nothing takes as long as counting.
            counts[blocks] = _sums(states == state, side) if state < FIRST_STATES or state <= most else 0

    def mostly(self, state: int) -> NDArray[np.bool_]:
        """Tell which blocks are in a state by half or more; for mistakes, which have any at all."""
        counts = self.counts[state]
        mostly: NDArray[np.bool_] = counts > 0
        return mostly if state == MISTAKE else mostly & (2 * counts >= self.stitches)


def _sums(mask: NDArray[np.bool_], side: int) -> Counts:
    rows = np.add.reduceat(mask, np.arange(0, mask.shape[0], side), axis=0, dtype=np.uint16)
    sums: Counts = np.add.reduceat(rows, np.arange(0, mask.shape[1], side), axis=1, dtype=np.uint16)
    return sums
