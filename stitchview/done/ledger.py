"""What every stroke added, thread by thread, kept up as strokes come, so that nothing is reckoned twice."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.model import Chart
from stitchview.done.addresses import Addresses
from stitchview.done.change import DONE, FIRST_LEG, Indices, States
from stitchview.done.counts import keys_of
from stitchview.done.marks import open_states
from stitchview.done.sittings import Sitting
from stitchview.done.strokes import MAKING, StrokeRow, numbers_of
from stitchview.done.timeline import Replay, Timeline

MOST_AT_HAND = 32 << 20
"""Bytes of what strokes altered that are kept at hand, to take back the last ones quickly."""
HALVES = np.zeros(256, np.int64)
HALVES[[DONE, FIRST_LEG]] = 2, 1
"""Half stitches that a stitch in each state counts for, as `Progress.worked` counts them."""

Worked = NDArray[np.float64]


@dataclass(frozen=True, eq=False, slots=True)
class _Made:
    """What a stroke that holds altered: by family the stitches, and their states before."""

    id: bytes
    altered: tuple[tuple[Indices, States, States], ...]

    @property
    def weight(self) -> int:
        return sum(each.nbytes for family in self.altered for each in family)


class Ledger:
    """The strokes on a chart that have been gone through, and what each added, a first leg half a stitch.

    `take` goes on where it stopped: O(new strokes). Undoing what is not the latest stroke, as after
    joining, goes through all again.
    """

    def __init__(self, chart: Chart) -> None:
        self._chart, self._addresses, self._keys = chart, Addresses(chart), keys_of(chart)
        self._begin()

    @property
    def count(self) -> int:
        """How many strokes have been gone through."""
        return len(self._ids)

    def take(self, rows: Sequence[StrokeRow]) -> None:
        """Go through all strokes there are, in the order of their ids; those known already cost nothing.

        Strokes that came in between, as from another place, make it begin anew. Raises `MalformedStroke`;
        then, as whenever it is hindered, it begins anew the next time, for half a stroke would count twice.
        """
        known = len(self._ids)
        if known > len(rows) or (known and rows[known - 1].id != self._ids[-1]):
            self._begin()
            known = 0
        try:
            for row in rows[known:]:
                self._take(row)
        except BaseException:
            self._begin()
            raise

    def by_sitting(self, sittings: Sequence[Sitting]) -> Worked:
        """Stitches that each sitting added of each key entry, shape (sittings, key entries + 1).

        Below 0 where more was unpicked than stitched; a first leg counts as half.
        """
        size = len(self._chart.key) + 1
        totals = np.zeros((len(sittings), size), np.int64)
        if sittings and self._at:
            ids = np.array(self._ids, "S16")
            starts = np.searchsorted(ids, np.array([each.first for each in sittings], "S16"))
            sitting = np.searchsorted(starts, np.array(self._at), side="right") - 1
            there = sitting >= 0
            np.add.at(totals, (sitting[there], np.array(self._of_key)[there]), np.array(self._halves)[there])
        worked: Worked = totals / 2
        return worked

    def _begin(self) -> None:
        self._timeline = Timeline()
        self._states = tuple(each.reshape(-1) for each in open_states(self._chart))
        self._rows: dict[bytes, StrokeRow] = {}
        self._made: list[_Made] = []
        self._weight = 0
        self._ids: list[bytes] = []
        self._at: list[int] = []
        self._of_key: list[int] = []
        self._halves: list[int] = []

    def _take(self, row: StrokeRow) -> None:
        before = len(self._timeline.live)
        self._timeline.take(row)
        live = self._timeline.live
        if row.kind in MAKING:
            self._rows[row.id] = row
            gain = self._make(row)
        elif len(live) < before and self._made and self._made[-1].id == row.target:
            gain = self._take_back(self._made.pop())
        elif len(live) > before and live[-1] == row.target:
            gain = self._make(self._rows[live[-1]])
        elif len(live) != before:
            gain = self._settle()
        else:
            gain = self._nothing()
        self._ids.append(row.id)
        for key in np.flatnonzero(gain).tolist():
            self._at.append(len(self._ids) - 1)
            self._of_key.append(key)
            self._halves.append(int(gain[key]))

    def _nothing(self) -> NDArray[np.int64]:
        return np.zeros(len(self._chart.key) + 1, np.int64)

    def _make(self, row: StrokeRow) -> NDArray[np.int64]:
        """Make a stroke; gives the half stitches that it adds by key number."""
        altered = []
        gain = self._nothing()
        change = self._addresses.change_of(numbers_of(row))
        for states, keys, each in zip(self._states, self._keys, change.families, strict=True):
            old = states[each.indices]
            states[each.indices] = each.new
            _count(gain, keys[each.indices], HALVES[each.new] - HALVES[old])
            altered.append((each.indices, old, each.new))
        made = _Made(row.id, tuple(altered))
        self._made.append(made)
        self._weight += made.weight
        if self._weight > MOST_AT_HAND:
            # What lies deeper is gone through again, should it ever be taken back.
            half = len(self._made) // 2
            self._weight -= sum(each.weight for each in self._made[:half])
            del self._made[:half]
        return gain

    def _take_back(self, made: _Made) -> NDArray[np.int64]:
        gain = self._nothing()
        self._weight -= made.weight
        for states, keys, (indices, old, new) in zip(self._states, self._keys, made.altered, strict=True):
            states[indices] = old
            _count(gain, keys[indices], HALVES[old] - HALVES[new])
        return gain

    def _settle(self) -> NDArray[np.int64]:
        """Work the states out anew from the strokes that hold."""
        replay = Replay(self._chart, self._addresses)
        for each in self._timeline.live:
            replay.add(self._rows[each])
        gain = self._nothing()
        wanted = tuple(each.reshape(-1) for each in replay.finish())
        for old, new, keys in zip(self._states, wanted, self._keys, strict=True):
            differs = np.flatnonzero(old != new)
            _count(gain, keys[differs], HALVES[new[differs]] - HALVES[old[differs]])
        self._states, self._made, self._weight = wanted, [], 0
        return gain


def _count(gain: NDArray[np.int64], keys: NDArray[np.uint16], halves: NDArray[np.int64]) -> None:
    if len(keys):
        gain += np.rint(np.bincount(keys, halves, len(gain))).astype(np.int64)
