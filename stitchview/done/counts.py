"""How many stitches there are, are done and are left, by thread, without counting all over again."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.model import Chart
from stitchview.done.change import DONE, FAMILIES, FIRST_LEG, LATER, MISTAKE, OPEN, Indices, States

ROOM = 8
"""States a tally has room for, so that a new one needs no new layout."""
PIECE = 1 << 20
FEW = 64
"""Up to so many stitches are counted one by one, sooner than the tables of all threads are made."""

Counts = NDArray[np.int64]


def percent(done: float, stitches: int, decimals: int = 0) -> float:
    """The share done, rounded down, so that 100 is said only when nothing is left.

    `done` is told to the half stitch. Of no stitches at all nothing is left: 100.
    """
    if done >= stitches:
        return 100.0
    scale: int = 10**decimals
    return round(2 * done) * 100 * scale // (2 * stitches) / scale


def in_halves(count: float) -> str:
    """A count of stitches that may end in half a stitch, in words: "1,234½"."""
    whole, half = divmod(round(2 * abs(count)), 2)
    told = (f"{whole:,}" if whole or not half else "") + "½" * half
    return f"-{told}" if count < 0 else told


def share_words(done: float, stitches: int) -> str:
    """The share done as every place tells it, such as "0.1 %": rounded down to a tenth, never to nothing."""
    share = percent(done, stitches, 1)
    return f"{share:g} %" if share or not done else "under 0.1 %"


@dataclass(frozen=True, slots=True)
class Progress:
    """So many stitches, so many of them done; of the others some are first legs, later or mistakes."""

    stitches: int
    done: int
    first_legs: int = 0
    later: int = 0
    mistakes: int = 0

    @property
    def left(self) -> int:
        """How many are not done, whatever else they are."""
        return self.stitches - self.done

    @property
    def worked(self) -> float:
        """How much is stitched: a first leg is half a stitch, a mistake none."""
        return self.done + self.first_legs / 2

    @property
    def to_go(self) -> float:
        """How much is still to be stitched, to the half stitch."""
        return self.stitches - self.worked

    @property
    def share(self) -> str:
        """The share done in words, such as "0.1 %"."""
        return share_words(self.worked, self.stitches)

    @property
    def percent(self) -> int:
        """Whole percent worked, rounded down: 100 only when nothing is left."""
        return int(percent(self.worked, self.stitches))


class Tally:
    """Stitches by key number, family and state, moved along with each change.

    `counts` has shape (key entries + 1, families, ROOM); row 0 stays empty, row n is `key[n - 1]`.
    """

    def __init__(self, chart: Chart, states: tuple[States, States, States, States]) -> None:
        self._keys = keys_of(chart)
        self._size = len(chart.key) + 1
        self.counts: Counts = np.zeros((self._size, len(FAMILIES), ROOM), np.int64)
        for family, (keys, each) in enumerate(zip(self._keys, states, strict=True)):
            self.counts[:, family] = self._counted(keys, each.ravel())
        self.counts[0] = 0

    def move(self, family: int, indices: Indices, old: States, new: States) -> None:
        """Stitches `indices` of `family` went from state `old` to `new`: O(change)."""
        keys = self._keys[family][indices]
        if len(keys) <= FEW:
            mine = self.counts[:, family]
            np.subtract.at(mine, (keys, old), 1)
            np.add.at(mine, (keys, new), 1)
            return
        self.counts[:, family] += self._counted(keys, new) - self._counted(keys, old)

    def of_key(self, number: int) -> Progress:
        """Progress of the key entry `number` (from 1) over all families."""
        return _progress(self.counts[number])

    def of_family(self, family: str) -> Progress:
        """Progress of one of `FAMILIES` over all threads."""
        return _progress(self.counts[:, FAMILIES.index(family)])

    def total(self) -> Progress:
        """Progress of the whole chart."""
        return _progress(self.counts)

    def stitches(self) -> Counts:
        """All stitches by key number, shape (key entries + 1,)."""
        sums: Counts = self.counts.sum(axis=(1, 2))
        return sums

    def done(self) -> Counts:
        """Stitches done by key number, shape (key entries + 1,)."""
        return self.of_state(DONE)

    def of_state(self, state: int) -> Counts:
        """Stitches in one state by key number, shape (key entries + 1,)."""
        sums: Counts = self.counts[:, :, state].sum(axis=1)
        return sums

    def _counted(self, keys: NDArray[np.uint16], states: States) -> Counts:
        # In pieces, since the table positions of a chart at the limit would take 128 MiB at once.
        sums: Counts = np.zeros((self._size, ROOM), np.int64)
        for start in range(0, len(keys), PIECE):
            piece = slice(start, start + PIECE)
            if states[piece].any():
                places = keys[piece].astype(np.int64) * ROOM + states[piece]
                sums += np.bincount(places, minlength=self._size * ROOM).reshape(self._size, ROOM)
            else:
                sums[:, OPEN] += np.bincount(keys[piece], minlength=self._size)
        return sums


def _progress(counts: Counts) -> Progress:
    """Progress of counts whose last axis is that of the states."""
    by_state = counts.reshape(-1, ROOM).sum(axis=0)
    marked = (int(by_state[state]) for state in (DONE, FIRST_LEG, LATER, MISTAKE))
    return Progress(int(by_state.sum()), *marked)


def keys_of(chart: Chart) -> tuple[NDArray[np.uint16], ...]:
    """The key numbers of each family's stitches, in the order of `FAMILIES`, squares flat."""
    return chart.squares.ravel(), chart.parts.keys, chart.lines.keys, chart.points.keys
