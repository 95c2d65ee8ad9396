"""The mean colour of every square with part stitches, for sizes at which their shapes cannot be told."""

import numpy as np
from numpy.typing import NDArray

from stitchview.canvas.atlas import Pixels, Threads, far_colours, lit_or_dimmed, packed
from stitchview.canvas.itemindex import Indices
from stitchview.chart.area import Area
from stitchview.chart.stitches import Parts

# The share of a square that each part shape covers, by PartShape.
_COVERS = np.array([0, 0.5, 0.5, 0.25, 0.25, 0.25, 0.25, 0.75, 0.75, 0.75, 0.75], np.float32)


class PartMeans:
    """Squares with part stitches, sorted by row and column, and the mean colour of each.

    `columns` and `rows` have shape (m,); `lit` and `dimmed` are RGB32 of shape (m,), and `linear`
    the same colours as sRGB of shape (m, 3).
    """

    def __init__(self, parts: Parts, columns: int) -> None:
        self._parts = parts
        place = parts.rows.astype(np.int64) * max(1, columns) + parts.columns
        squares, self._square_of = np.unique(place, return_inverse=True)
        self.columns = (squares % max(1, columns)).astype(np.intp)
        self.rows = (squares // max(1, columns)).astype(np.intp)
        self._parts_by_square: Indices = np.argsort(self._square_of, kind="stable")
        self._bounds = np.searchsorted(self._square_of[self._parts_by_square], np.arange(len(squares) + 1))
        self._threads: Threads | None = None
        self.colours = np.zeros((len(squares), 3), np.uint8)
        self.lit = np.zeros(len(squares), np.uint32)
        self.dimmed = np.zeros(len(squares), np.uint32)

    def __len__(self) -> int:
        return len(self.rows)

    def parts_of(self, square: int) -> Indices:
        """Give the part stitches in the m-th square, in the chart's order."""
        return self._parts_by_square[self._bounds[square] : self._bounds[square + 1]]

    def squares_of(self, parts: Indices) -> Indices:
        """Give the squares that hold these part stitches."""
        return np.unique(self._square_of[parts])

    def refresh(self, threads: Threads, states: NDArray[np.uint8], changed: Indices | None = None) -> None:
        """Bring the colours up to date; `states` has one entry a part, `changed` the parts that altered."""
        if not len(self):
            return
        if changed is None or self._threads is not threads:
            parts = np.arange(len(self._parts))
        else:
            parts = np.flatnonzero(np.isin(self._square_of, self._square_of[changed]))
        self._threads = threads
        touched, place = np.unique(self._square_of[parts], return_inverse=True)
        means = self._means(threads, states, parts, place, len(touched))
        self.colours[touched] = means
        self.lit[touched] = packed(means)
        self.dimmed[touched] = lit_or_dimmed(threads, means.astype(np.float32), dimmed=True)

    def _means(
        self, threads: Threads, states: NDArray[np.uint8], parts: Indices, place: Indices, count: int
    ) -> NDArray[np.uint8]:
        codes = states[parts].astype(np.intp) * (len(threads.key) + 1) + self._parts.keys[parts]
        colours = far_colours(threads)[codes].astype(np.float32)
        covers = _COVERS[self._parts.shapes[parts]]
        total = np.bincount(place, covers, count)
        scale = np.minimum(1, 1 / np.maximum(total, 1e-6))
        paper = threads.look.ground.paper
        means = np.empty((count, 3), np.float32)
        for channel, ground in enumerate((paper.red, paper.green, paper.blue)):
            inked = np.bincount(place, covers * colours[:, channel], count) * scale
            means[:, channel] = inked + ground * (1 - np.minimum(total, 1))
        return (means + np.float32(0.5)).astype(np.uint8)

    def within(self, area: Area) -> Indices:
        """Give the squares with part stitches in `area`."""
        first, last = np.searchsorted(self.rows, (area.row, area.bottom))
        columns = self.columns[first:last]
        inside: Indices = np.flatnonzero((columns >= area.column) & (columns < area.right)) + first
        return inside

    def draw(self, pixels: Pixels, area: Area, pitch: int, dimmed: bool) -> None:
        """Fill the squares with part stitches in a strip's pixels of shape (height, width)."""
        found = self.within(area)
        if not len(found):
            return
        colours = (self.dimmed if dimmed else self.lit)[found]
        cells = pixels.reshape(area.rows, pitch, area.columns, pitch)
        # The first row and column of a square are its grid lines, where it has any.
        start = 1 if pitch >= 5 else 0
        rows, columns = self.rows[found] - area.row, self.columns[found] - area.column
        cells[rows, start:, columns, start:] = colours[:, None, None]
