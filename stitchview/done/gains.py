"""What is new between two states of a piece: which stitches came, which were unpicked, of which thread."""

from dataclasses import dataclass

import numpy as np

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.change import DONE, FAMILIES, FIRST_LEG, MISTAKE, SQUARES, Selection
from stitchview.done.counts import Counts, keys_of
from stitchview.done.marks import area_of
from stitchview.done.timeline import Arrays


@dataclass(frozen=True, eq=False, slots=True)
class Gains:
    """Stitches that are done `after` and were not `before` (`came`), and the other way round (`went`).

    Of what went, so many are `found_wrong`: they are on the cloth as mistakes, the others are unpicked.
    `by_thread` is (key entries + 1, families) int64: how many more are done of each, below 0 where
    more was unpicked than stitched; `legs_by_thread` (key entries + 1,) says so of first legs, which
    go where a cross is finished. `area` bounds what came; it is empty where nothing did.
    """

    came: Selection
    went: Selection
    by_thread: Counts
    legs_by_thread: Counts
    found_wrong: int
    area: Area

    @property
    def crosses(self) -> int:
        """How many more stitches are done: what came without what went."""
        return self.came.count - self.went.count

    @property
    def first_legs(self) -> int:
        """How many more first legs there are; below 0 where more were crossed than begun."""
        return int(self.legs_by_thread.sum())

    @property
    def stitches(self) -> float:
        """How many more stitches are worked, a first leg counted as half."""
        return self.crosses + self.first_legs / 2

    def of_thread(self, number: int) -> float:
        """How many more are worked of the key entry `number` (from 1), a first leg counted as half."""
        return int(self.by_thread[number].sum()) + int(self.legs_by_thread[number]) / 2


def gains_between(chart: Chart, before: Arrays, after: Arrays) -> Gains:
    """What came and went from one state of `chart` to another, both shaped as `Marks.families`; O(chart)."""
    done = [
        (one.reshape(-1) == DONE, other.reshape(-1) == DONE) for one, other in zip(before, after, strict=True)
    ]
    came = Selection(*(np.flatnonzero(now & ~then) for then, now in done))
    went = Selection(*(np.flatnonzero(then & ~now) for then, now in done))
    counts = np.zeros((len(chart.key) + 1, len(FAMILIES)), np.int64)
    for family, keys in enumerate(keys_of(chart)):
        for chosen, sign in ((came, 1), (went, -1)):
            counts[:, family] += sign * np.bincount(keys[chosen.families[family]], minlength=len(counts))
    legs = np.zeros(len(counts), np.int64)
    for states, sign in ((after, 1), (before, -1)):
        here = chart.squares[states[SQUARES] == FIRST_LEG]
        legs += sign * np.bincount(here, minlength=len(counts))
    wrong = sum(
        int(np.count_nonzero(states.reshape(-1)[indices] == MISTAKE))
        for states, indices in zip(after, went.families, strict=True)
    )
    return Gains(came, went, counts, legs, wrong, area_of(chart, came))
