"""Joined squares by their runs: cut a mask into runs row by row, and label the runs that touch."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Indices = NDArray[np.int64]
Mask = NDArray[np.bool_]


@dataclass(frozen=True, eq=False, slots=True)
class Runs:
    """n runs of true squares in rising order, from `starts` up to before `ends`, both of shape (n,).

    They count along rows of `width` places. That is one more than there are columns, since the gap
    keeps a run from going on in the next row.
    """

    starts: Indices
    ends: Indices
    width: int

    def __len__(self) -> int:
        return len(self.starts)

    @property
    def rows(self) -> Indices:
        """The row of each run."""
        return self.starts // self.width

    @property
    def lengths(self) -> Indices:
        """How many squares each run is long."""
        return self.ends - self.starts

    def chosen(self, which: Mask) -> "Runs":
        """Only the runs of which `which`, shape (n,), is true."""
        return Runs(self.starts[which], self.ends[which], self.width)


def runs_of_mask(mask: Mask) -> Runs:
    """The runs of true squares in a mask of shape (rows, columns)."""
    rows, columns = mask.shape
    width = columns + 1
    padded = np.zeros(rows * width + 1, np.bool_)
    padded[1:].reshape(rows, width)[:, :columns] = mask
    edges = np.flatnonzero(padded[1:] != padded[:-1])
    return Runs(edges[::2].copy(), edges[1::2].copy(), width)


def runs_of_squares(squares: Indices, columns: int) -> Runs:
    """The runs of sorted, unique flat squares (row * `columns` + column)."""
    if len(squares) == 0:
        return Runs(squares, squares, columns + 1)
    places = squares + squares // columns
    breaks = np.flatnonzero(np.diff(places) != 1)
    starts = places[np.concatenate(([0], breaks + 1))]
    ends = places[np.concatenate((breaks, [len(places) - 1]))] + 1
    return Runs(starts, ends, columns + 1)


def labels_of(runs: Runs, corners: bool = False) -> Indices:
    """For each run the first run that it is joined to, by edges or, with `corners`, also cornerwise."""
    return _labels(len(runs), *_touching(runs, 1 if corners else 0))


def expanded(starts: Indices, lengths: Indices) -> Indices:
    """All whole numbers of runs that begin at `starts` and are `lengths` (1 or more) long, in order."""
    if len(starts) == 0:
        return np.zeros(0, np.int64)
    steps = np.ones(int(lengths.sum()), np.int64)
    steps[0] = starts[0]
    steps[np.cumsum(lengths[:-1])] = starts[1:] - starts[:-1] - lengths[:-1] + 1
    return np.cumsum(steps, out=steps)


def _touching(runs: Runs, reach: int) -> tuple[Indices, Indices]:
    """Pairs (upper, lower) of runs in neighbouring rows that lie over one another, `reach` squares off."""
    first = np.searchsorted(runs.ends, runs.starts + (runs.width - reach), side="right")
    last = np.searchsorted(runs.starts, runs.ends + (runs.width + reach), side="left")
    counts = last - first
    upper = np.flatnonzero(counts > 0)
    return np.repeat(upper, counts[upper]), expanded(first[upper], counts[upper])


def _labels(count: int, upper: Indices, lower: Indices) -> Indices:
    """The least run joined to each of `count` runs, of which those paired touch.

    Every run goes under the least one it touches. What touched only greater runs may go under
    another a level deeper, so that two levels at least halve the trees, whatever the runs wind like.
    """
    roots = np.arange(count)
    if not len(upper):
        return roots
    np.minimum.at(roots, np.maximum(upper, lower), np.minimum(upper, lower))
    while True:
        further = roots[roots]
        if np.array_equal(further, roots):
            break
        roots = further
    upper, lower = roots[upper], roots[lower]
    apart = upper != lower
    if not apart.any():
        return roots
    is_tree = roots == np.arange(count)
    trees, place = np.flatnonzero(is_tree), np.cumsum(is_tree) - 1
    joined = _labels(len(trees), place[upper[apart]], place[lower[apart]])
    least: Indices = trees[joined[place[roots]]]
    return least
