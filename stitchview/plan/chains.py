"""Lines that are worked one after the other without beginning anew, because their ends meet."""

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.stitches import Lines

Whole = NDArray[np.int64]


def chains_of(lines: Lines, values: Whole) -> Whole:
    """For each line the first line of its chain, shape (n,): lines of one value whose ends meet."""
    count = len(lines)
    x = np.concatenate((lines.x1, lines.x2)).astype(np.int64)
    y = np.concatenate((lines.y1, lines.y2)).astype(np.int64)
    places = (np.concatenate((values, values)).astype(np.int64) << 40) + (y << 20) + x
    corners = np.unique(places, return_inverse=True)[1]
    one, other = corners[:count], corners[count:]
    first = np.arange(count)
    while True:
        least = np.full(int(corners.max(initial=-1)) + 1, count)
        np.minimum.at(least, one, first)
        np.minimum.at(least, other, first)
        lower = np.minimum(least[one], least[other])
        lower = np.minimum(lower, lower[lower])
        if np.array_equal(lower, first):
            return first
        first = lower
