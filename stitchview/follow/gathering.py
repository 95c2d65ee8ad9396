"""Which stitches one working length is for: from the first one outwards, joined and near ones first."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.stitches import PartShape
from stitchview.follow.carrying import Carrying, Ground, gap_mm, next_door
from stitchview.follow.legs import worked
from stitchview.follow.length import Needle, Working
from stitchview.follow.route import Stitches, least_back
from stitchview.follow.threadwork import ThreadWork

MOST_STITCHES = 400
FIRST_REACH = 24
"""Squares to each side of the first one that are looked at to begin with."""

CORNERWISE, FAR, UPRIGHT, AGAINST, NEIGHBOUR = 0.3, 0.1, 1.5, 4.0, 0.12
"""What weighs in the choice, in squares: a corner instead of a side; each square away from the first,
downwards more than across, so that rows come out, and still more against the way, so that the first
lies at an end; each neighbour still to come, so that nooks are filled before the open field. Found
by looking at routes over the harbour."""

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


@dataclass(frozen=True, eq=False, slots=True)
class Gathered:
    """Stitches in the order they were gathered, so that any number of the first ones hangs together.

    `ground` covers them all; `more` tells that others could have been reached.
    """

    stitches: Stitches
    ground: Ground
    more: bool


@dataclass(frozen=True, slots=True)
class Reach:
    """How much thread there is for stitches (mm), how it may be carried."""

    budget_mm: float
    needle: Needle
    carrying: Carrying


def gathered(
    work: ThreadWork, number: int, first: tuple[int, int], reach: Reach, without: Stitches | None = None
) -> Gathered:
    """Stitches of key entry `number` left for `reach.budget_mm`, from the square `first` on, which has one.

    The window looked at grows only where stitches were gathered near its edge, so the cost does not
    depend on the size of the chart.
    """
    margin = reach.carrying.squares(reach.needle.pitch) + 1
    window = Area(*first, 1, 1).grown(FIRST_REACH + margin).clipped(work.chart.area)
    while True:
        spots = stitches_left(work, number, window, without)
        order, more = _Growth(spots, Ground.of(work, window, reach.carrying), reach).order(first)
        near_edge = spots.taken(order).bounds.grown(margin).clipped(work.chart.area)
        if near_edge.clipped(window) == near_edge:
            return Gathered(spots.taken(order), Ground.of(work, window, reach.carrying), more)
        window = (
            near_edge.joined(window).grown(max(window.columns, window.rows) // 2).clipped(work.chart.area)
        )


def stitches_left(work: ThreadWork, number: int, window: Area, without: Stitches | None = None) -> Stitches:
    """The whole and part stitches of key entry `number` left in `window`, but for some, row by row."""
    rows, columns = np.nonzero(work.crosses_left(window, number))
    parts = work.parts_left(window, number)
    table = work.chart.parts
    crosses = len(rows)
    all_rows: Whole = np.concatenate((rows + window.row, table.rows[parts])).astype(np.int64)
    found = Stitches(
        np.concatenate((columns + window.column, table.columns[parts])),
        all_rows,
        np.concatenate((np.full(crosses, -1), parts)),
        np.concatenate((np.zeros(crosses, np.int64), table.shapes[parts])),
    ).taken(np.argsort(all_rows, kind="stable"))
    if without is None:
        return found
    ours, theirs = (_names(each, work.chart.columns) for each in (found, without))
    return found.taken(np.flatnonzero(~np.isin(ours, theirs)))


def _names(stitches: Stitches, columns: int) -> Whole:
    """One number for each stitch: its square from 0, or its part stitch below 0."""
    names: Whole = np.where(
        stitches.parts < 0, stitches.rows * columns + stitches.columns, -1 - stitches.parts
    )
    return names


class _Growth:
    """Takes one stitch after the other, always the one that joins on best."""

    def __init__(self, spots: Stitches, ground: Ground, reach: Reach) -> None:
        self._spots, self._ground, self._reach = spots, ground, reach
        self._pitch = reach.needle.pitch
        self._side = min(self._pitch.across_mm, self._pitch.down_mm)
        self._joining: Floats = np.full(len(spots), np.inf)
        self._worth: Floats = np.full(len(spots), np.inf)
        self._taken = np.zeros(len(spots), bool)
        self._open = self._neighbours()
        least = [_least_mm(shape, reach.needle) for shape in range(len(PartShape) + 1)]
        self._own = np.array(least)[spots.shapes]
        # A cross completed at once goes on by a diagonal even to its neighbour.
        completed = reach.needle.working is Working.AT_ONCE
        self._onward = reach.needle.diagonal_mm if completed else self._side

    def order(self, first: tuple[int, int]) -> tuple[Whole, bool]:
        """The numbers of the stitches in the order they are taken, and whether more could be."""
        away = self._away(first)
        order: list[int] = []
        begun = (self._spots.columns == first[0]) & (self._spots.rows == first[1])
        self._joining[begun] = self._worth[begun] = 0
        left = self._reach.budget_mm
        while len(order) < MOST_STITCHES:
            best = int(self._worth.argmin())
            if self._worth[best] == np.inf:
                return np.array(order, np.int64), False
            left -= self._own[best] + self._reach.needle.factor * max(self._onward, self._joining[best])
            if left < 0 and order:
                break
            self._taken[best] = True
            order.append(best)
            band = self._join(best)
            worth = self._joining[band] + away[band] + NEIGHBOUR * self._side * self._open[band]
            self._worth[band] = np.where(self._taken[band], np.inf, worth)
        return np.array(order, np.int64), True

    def _away(self, first: tuple[int, int]) -> Floats:
        across = (self._spots.columns - first[0]) * self._pitch.across_mm
        down = (self._spots.rows - first[1]) * self._pitch.down_mm
        away: Floats = FAR * np.hypot(across, np.where(down < 0, AGAINST, UPRIGHT) * down)
        return away

    def _join(self, one: int) -> slice:
        """Lets those in reach join on at `one` if that is better than where they could; gives their range."""
        spots, pitch, carrying = self._spots, self._pitch, self._reach.carrying
        column, row = int(spots.columns[one]), int(spots.rows[one])
        rows = carrying.squares(pitch)
        band = slice(*np.searchsorted(spots.rows, (row - rows, row + rows + 1)).tolist())
        across, down = spots.columns[band] - column, spots.rows[band] - row
        beside = next_door(across, down)
        self._open[band] -= beside
        gaps = gap_mm(across, down, pitch)
        corner = (across != 0) & (down != 0)
        cost = np.where(beside, np.where(corner, CORNERWISE * self._side, 0.0), self._side + gaps)
        better = (cost < self._joining[band]) & (beside | (gaps <= carrying.longest_mm))
        if carrying.under_stitches:
            far = np.flatnonzero(better & ~beside)
            start = np.full(len(far), column), np.full(len(far), row)
            better[far] = ~self._ground.bare_between(*start, column + across[far], row + down[far])
        self._joining[band][better] = cost[better]
        return band

    def _neighbours(self) -> Whole:
        """How many stitches lie in the squares round each one and in its own, itself left out."""
        area, spots = self._ground.area, self._spots
        counts = np.zeros((area.rows + 2, area.columns + 2), np.int64)
        rows, columns = spots.rows - area.row + 1, spots.columns - area.column + 1
        np.add.at(counts, (rows, columns), 1)
        around = sum(counts[rows + down, columns + across] for down in (-1, 0, 1) for across in (-1, 0, 1))
        return np.asarray(around, np.int64)


def _least_mm(shape: int, needle: Needle) -> float:
    stitch = worked(shape, needle.pitch)
    return needle.worked_mm(stitch.front_mm, least_back(shape, needle.pitch), stitch.passes)
