"""Spots by the rows they lie in, so that an area finds its own without asking all of the chart."""

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area

Indices = NDArray[np.int64]


class RowIndex:
    """n spots at whole (`columns`, `rows`), in squares or in half squares, both of shape (n,)."""

    def __init__(self, columns: NDArray[np.int32], rows: NDArray[np.int32]) -> None:
        self._order: Indices = np.argsort(rows, kind="stable")
        self._columns, self._rows = columns[self._order], rows[self._order]

    def within(self, area: Area) -> Indices:
        """Which spots lie in `area`, row by row."""
        first, last = np.searchsorted(self._rows, (area.row, area.bottom))
        columns = self._columns[first:last]
        found: Indices = self._order[first:last][(columns >= area.column) & (columns < area.right)]
        return found
