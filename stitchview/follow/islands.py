"""Islands: the joined groups of what is left of a thread, by size and by distance from a place."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.joined import Indices, Mask, Runs, expanded, labels_of, runs_of_squares
from stitchview.follow.clothpitch import Pitch
from stitchview.follow.spots import ALIKE
from stitchview.follow.threadwork import ThreadWork

Distances = NDArray[np.float64]


@dataclass(frozen=True, eq=False, slots=True)
class Shores:
    """Of k islands the square nearest to a place, (`columns`, `rows`), and how far it lies; all (k,)."""

    columns: Indices
    rows: Indices
    mm: Distances

    def by_distance(self) -> Indices:
        """The islands from the nearest to the farthest; of those alike far the upper, left one first."""
        return np.lexsort((self.columns, self.rows, _levelled(self.mm)))


@dataclass(frozen=True, eq=False, slots=True)
class Islands:
    """k islands in the order of their first squares; `sizes` (k,) counts the squares of each.

    `runs` are their runs, island by island, island n from `bounds[n]` up to before `bounds[n + 1]`.
    """

    sizes: Indices
    runs: Runs
    bounds: Indices

    def __len__(self) -> int:
        return len(self.sizes)

    def area(self, island: int) -> Area:
        """The smallest area that holds all of an island."""
        runs = self._runs_of(island)
        first, last = runs.starts % runs.width, runs.ends - runs.rows * runs.width
        column, row = int(first.min()), int(runs.rows[0])
        return Area(column, row, int(last.max()) - column, int(runs.rows[-1]) - row + 1)

    def squares(self, island: int) -> Indices:
        """The squares of an island, flat (row * columns + column) and sorted."""
        runs = self._runs_of(island)
        return expanded(runs.starts - runs.rows, runs.lengths)

    def at(self, column: int, row: int) -> int | None:
        """The island on which a square lies, or None."""
        if not 0 <= column < self.runs.width - 1:
            return None
        place = row * self.runs.width + column
        on = np.flatnonzero((self.runs.starts <= place) & (place < self.runs.ends))
        return int(np.searchsorted(self.bounds, on[0], side="right")) - 1 if len(on) else None

    def by_size(self) -> Indices:
        """The islands from the largest to the smallest; of those alike the one that begins first."""
        return np.argsort(-self.sizes, kind="stable")

    def seen_from(self, place: tuple[int, int], pitch: Pitch) -> Shores:
        """The nearest square of each island to the square `place` (column, row), from middle to middle.

        Of squares alike far it is the one in the lowest row, then column, as in `nearest`.
        """
        runs, firsts = self.runs, self.bounds[:-1]
        if not len(self):
            return Shores(firsts, firsts, np.zeros(0))
        rows = runs.rows
        starts = runs.starts - rows * runs.width
        columns = np.clip(place[0], starts, starts + runs.lengths - 1)
        mm = np.hypot((columns - place[0]) * pitch.across_mm, (rows - place[1]) * pitch.down_mm)
        least = np.minimum.reduceat(mm, firsts)
        alike: Mask = mm <= np.repeat(least, np.diff(self.bounds)) * ALIKE
        chosen = np.minimum.reduceat(np.where(alike, np.arange(len(runs)), len(runs)), firsts)
        return Shores(columns[chosen], rows[chosen], mm[chosen])

    def _runs_of(self, island: int) -> Runs:
        mine = slice(self.bounds[island], self.bounds[island + 1])
        return Runs(self.runs.starts[mine], self.runs.ends[mine], self.runs.width)


def islands_of(work: ThreadWork, number: int, corners: bool = False) -> Islands:
    """The islands of key entry `number`: its squares left, whole or in part, joined by edges.

    With `corners` squares that meet cornerwise are joined too. Lines, knots and beads make no
    islands. O(chart); ask again after marking.
    """
    runs = runs_of_squares(work.all_squares_left(number), max(1, work.chart.columns))
    labels = labels_of(runs, corners)
    order = np.argsort(labels, kind="stable")
    firsts = np.flatnonzero(np.diff(labels[order], prepend=-1))
    grouped = Runs(runs.starts[order], runs.ends[order], runs.width)
    sizes = np.add.reduceat(grouped.lengths, firsts) if len(firsts) else firsts
    return Islands(sizes, grouped, np.append(firsts, len(runs)))


def _levelled(mm: Distances) -> Indices:
    """The place of each distance among the different ones, where those alike share one."""
    order = np.argsort(mm, kind="stable")
    steps = np.diff(mm[order], prepend=0) > mm[order] * (ALIKE - 1)
    levels = np.zeros(len(mm), np.int64)
    levels[order] = np.cumsum(steps)
    return levels
