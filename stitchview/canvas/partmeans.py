"""The mean colour of every square with part stitches, for sizes at which their shapes cannot be told."""

import numpy as np
from numpy.typing import NDArray

from stitchview.canvas.itemindex import Indices
from stitchview.canvas.mixing import Floats, Pixels
from stitchview.canvas.parthomes import PartHomes
from stitchview.canvas.squarepictures import SMALLEST_WITH_GRID, line_colours, lit_and_dimmed
from stitchview.canvas.threads import Threads
from stitchview.chart.area import Area
from stitchview.chart.stitches import Parts

# Up to this size many squares are filled sooner pixel by pixel, all at once, than square by square.
MOST_PIXEL_BY_PIXEL = 4

# The share of a square that each part shape covers, by PartShape.
_COVERS = np.array([0, 0.5, 0.5, 0.25, 0.25, 0.25, 0.25, 0.75, 0.75, 0.75, 0.75], np.float32)


class PartMeans:
    """Mean colours of the m squares of `homes`: `colours` is sRGB (m, 3).

    `fills` and `lines` are RGB32 of shape (2, m), lit and dimmed: the squares and their grid lines.
    """

    def __init__(self, parts: Parts, homes: PartHomes) -> None:
        self._parts, self._homes = parts, homes
        self._threads: Threads | None = None
        self.colours = np.zeros((len(homes), 3), np.uint8)
        self.fills = np.zeros((2, len(homes)), np.uint32)
        self.lines = np.zeros((2, len(homes)), np.uint32)

    def refresh(self, threads: Threads, states: NDArray[np.uint8], changed: Indices | None = None) -> None:
        """Bring the colours up to date; `states` has one entry a part, `changed` the parts that altered."""
        if changed is None or self._threads is not threads:
            touched = np.arange(len(self._homes))
        else:
            touched = np.unique(self._homes.home_of[changed])
        self._threads = threads
        if not len(touched):
            return
        means = self._means(threads, states, touched)
        self.colours[touched] = (means + np.float32(0.5)).astype(np.uint8)
        self.fills[:, touched] = lit_and_dimmed(threads, means)
        self.lines[:, touched] = lit_and_dimmed(threads, line_colours(means, threads.look))

    def _means(self, threads: Threads, states: NDArray[np.uint8], touched: Indices) -> Floats:
        """Mix each square's colours and the paper left bare, by the share each covers."""
        parts = self._homes.parts[touched]
        there = parts >= 0
        codes = states[parts].astype(np.intp) * threads.codes_a_state + self._parts.keys[parts]
        covers = np.where(there, _COVERS[self._parts.shapes[parts]], 0)
        total = covers.sum(1)
        covers /= np.maximum(total, 1)[:, None]
        inked = np.einsum("mp,mpc->mc", covers, threads.far[codes].astype(np.float32))
        paper = threads.look.ground.paper
        bare = np.maximum(0, 1 - total)[:, None] * np.array((paper.red, paper.green, paper.blue), np.float32)
        means: Floats = (inked + bare).astype(np.float32)
        return means

    def draw(self, pixels: Pixels, area: Area, pitch: int, dimmed: bool) -> None:
        """Fill the squares with part stitches in a strip's pixels of shape (height, width)."""
        found = self._homes.within(area)
        if not len(found):
            return
        rows, columns = self._homes.rows[found] - area.row, self._homes.columns[found] - area.column
        fills = self.fills[int(dimmed)].take(found)
        if pitch <= MOST_PIXEL_BY_PIXEL:
            _fill(pixels, (rows * pixels.shape[1] + columns) * pitch, fills, pitch)
            return
        cells = pixels.reshape(area.rows, pitch, area.columns, pitch)
        cells[rows, :, columns, :] = fills[:, None, None]
        if pitch >= SMALLEST_WITH_GRID:
            lines = self.lines[int(dimmed), found][:, None]
            cells[rows, 0, columns, :] = lines
            cells[rows, :, columns, 0] = lines


def _fill(pixels: Pixels, corners: Indices, fills: Pixels, pitch: int) -> None:
    """Fill squares of `pitch` pixels whose first pixels are `corners`, counted along rows of a strip."""
    along, width = pixels.reshape(-1), pixels.shape[1]
    for down in range(pitch):
        for across in range(pitch):
            along[down * width + across :][corners] = fills
