"""What is new between two states of a piece: which stitches came, which were unpicked, of which thread."""

from dataclasses import dataclass

import numpy as np

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.change import DONE, FAMILIES, Selection
from stitchview.done.counts import Counts, keys_of
from stitchview.done.marks import area_of
from stitchview.done.timeline import Arrays


@dataclass(frozen=True, eq=False, slots=True)
class Gains:
    """Stitches that are done `after` and were not `before` (`came`), and the other way round (`went`).

    `by_thread` is (key entries + 1, families) int64: how many more are done of each, below 0 where
    more was unpicked than stitched. `area` bounds what came; it is empty where nothing did.
    """

    came: Selection
    went: Selection
    by_thread: Counts
    area: Area

    @property
    def stitches(self) -> int:
        """How many more are done: what came without what went."""
        return self.came.count - self.went.count

    def of_thread(self, number: int) -> int:
        """How many more are done of the key entry `number` (from 1)."""
        return int(self.by_thread[number].sum())


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
    return Gains(came, went, counts, area_of(chart, came))
