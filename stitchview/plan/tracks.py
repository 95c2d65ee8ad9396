"""Where the thread of each run of squares comes from: the nearest run worked before it, or a new start."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.follow.clothpitch import Pitch

Grid = NDArray[np.uint16]
Whole = NDArray[np.int64]
Lengths = NDArray[np.float64]
Mask = NDArray[np.bool_]
Level = frozenset[int]
Numbers = NDArray[np.int32]
Ranks = NDArray[np.uint16] | NDArray[np.uint8]
"""Numbers of offsets, in two bytes only where there are more of them than one byte can tell."""

MOST_REACH = 32
"""No carry is looked for farther than so many squares: 20 mm at 40 threads to the inch over one."""


@dataclass(frozen=True, eq=False, slots=True)
class Tracks:
    """n level runs of squares of one thread in reading order, and how the thread comes to each.

    `keys` (n,) are the values of the grid, `lengths` (n,) in squares. `parents` (n,) is the run the
    thread comes from, its own number where it begins anew. `which` (n,) numbers the ways behind,
    `ways_mm` (ways,) tells how long each is: the first leads to what lies right below, as the next
    row of an area does, the last is 0, for where the thread begins anew. `of_square` (rows, columns)
    is the number of the run of each square, of no meaning where there is no stitch.
    """

    keys: Grid
    lengths: Whole
    parents: Numbers
    which: Ranks
    ways_mm: Lengths
    of_square: NDArray[np.int32]

    def __len__(self) -> int:
        return len(self.keys)

    @property
    def carry_mm(self) -> Lengths:
        """The way behind to each run, shape (n,)."""
        return self.ways_mm[self.which]

    @property
    def begins(self) -> Whole:
        """The runs at which the thread begins anew."""
        return np.flatnonzero(self.which == len(self.ways_mm) - 1)

    def patches(self) -> Numbers:
        """For each run the first run of its patch: all that is worked without beginning anew."""
        roots = self.parents.take(self.parents)
        moving = np.flatnonzero(roots != self.parents)
        while len(moving):
            # Only what has not come to its root yet is looked at again.
            here = roots.take(moving)
            further = roots.take(here)
            on = further != here
            moving = moving[on]
            roots[moving] = further[on]
        return roots


@dataclass(frozen=True, slots=True)
class _Offset:
    """So many rows up and columns to the left, from where the thread comes over `way_mm`."""

    way_mm: float
    down: int
    across: int

    @property
    def rank(self) -> tuple[bool, float, int, int]:
        """An area is worked row by row, so what lies right above comes first; then the nearest."""
        return (self.down, self.across) != (1, 0), self.way_mm, self.down, self.across


def tracks_of(grid: Grid, pitch: Pitch, longest_mm: float) -> Tracks:
    """The tracks of a grid (rows, columns) of key numbers, 0 for no stitch.

    Runs are worked as one reads. The thread comes from the square right above, else from the
    nearest of its kind that was worked before, by the hole it goes down and the hole it comes up
    (checks.md, 6.4); next-door squares are never too far, others if the way is not longer than
    `longest_mm`.
    """
    offsets = sorted(_offsets(pitch, longest_mm), key=_rank)
    columns = grid.shape[1]
    width = columns + max(abs(offset.across) for offset in offsets)
    # Between the rows lies a gap without stitches, so that no way leads round the edge of the chart.
    padded = np.zeros((len(grid), width), np.uint16)
    padded[:, :columns] = grid
    flat = padded.reshape(-1)
    stitched = flat != 0
    differs = np.ones(len(flat) + 1, np.bool_)
    np.not_equal(flat[1:], flat[:-1], out=differs[1:-1])
    leads = differs[:-1] & stitched
    firsts = np.flatnonzero(leads)
    lasts = np.flatnonzero(differs[1:] & stitched)
    of_square = np.cumsum(leads, dtype=np.int32)
    of_square -= 1
    steps = np.array([offset.down * width + offset.across for offset in offsets], np.int64)
    level = frozenset(number for number, offset in enumerate(offsets) if offset.down == 0)
    missed = _nearest(flat, stitched, leads, steps, level)
    # In place, here as elsewhere: of a million runs a new array takes longer to get than to fill.
    lengths = np.subtract(lasts, firsts, out=lasts)
    lengths += 1
    which, places = _least_of_runs(missed, width, firsts, lengths)
    parents = _parents(which, places, of_square, steps)
    ways = np.array([*(offset.way_mm for offset in offsets), 0.0])
    runs = of_square.reshape(padded.shape)[:, :columns]
    return Tracks(flat.take(firsts), lengths, parents, which, ways, runs)


def way_mm(down: int, across: int, pitch: Pitch) -> float:
    """The way behind to a square so many rows below and columns beside, from hole to hole.

    Straight below it is a side more than the step: a row there and back ends at its top and the
    next begins at its foot, the 2 p of checks.md, 6.4. Beside, the thread goes down at the near end.
    """
    return pitch.apart(max(abs(across) - 1, 0), down + 1 if across == 0 else down)


PIECE = 1 << 15
"""So many runs are looked at once: what lies in the fast memory is not fetched anew."""


def _rank(offset: _Offset) -> tuple[bool, float, int, int]:
    return offset.rank


def _offsets(pitch: Pitch, longest_mm: float) -> Iterator[_Offset]:
    """All places from which a thread may come, none of them later than where it goes."""
    for down in range(MOST_REACH + 1):
        for across in range(-MOST_REACH - 1, MOST_REACH + 2):
            if (down, across) <= (0, 1):
                continue
            way = way_mm(down, across, pitch)
            near = way <= longest_mm and max(down, abs(across) - 1) <= MOST_REACH
            if near or (down == 1 and abs(across) <= 1):
                yield _Offset(way, down, across)


def _nearest(flat: Grid, stitched: Mask, leads: Mask, steps: Whole, level: Level) -> Ranks:
    """For each square how many offsets do not lead to its kind before one does; all of them if none.

    Of a run only the first square looks along its own row, by the `level` offset numbers.
    """
    few = len(steps) < np.iinfo(np.uint8).max
    none = np.uint8(np.iinfo(np.uint8).max) if few else np.uint16(np.iinfo(np.uint16).max)
    missed: Ranks = np.logical_not(stitched).view(np.uint8) * none
    looking = stitched.copy()
    for number, step in enumerate(steps.tolist()):
        if 0 < step < len(flat):
            alike = flat[step:] == flat[:-step]
            alike &= looking[step:]
            if number in level:
                alike &= leads[step:]
            looking[step:] ^= alike
        missed += looking
    return missed


def _least_of_runs(missed: Ranks, width: int, firsts: Whole, lengths: Whole) -> tuple[Ranks, Whole]:
    """For each run the least offset number of its squares, and the first place that has it."""
    which, places = missed.take(firsts), firsts.copy()
    longer = np.flatnonzero(lengths > 1)
    # The number of the offset above the column: the least of a run tells both at once.
    ranked = missed.reshape(-1, width).astype(np.uint32)
    ranked <<= np.uint32(16)
    ranked |= np.arange(width, dtype=np.uint32)
    first = firsts[longer]
    # Between two ends of a run lies a run, between it and the next one what nobody asks for.
    ends = np.column_stack((first, first + lengths[longer])).reshape(-1)
    least = np.minimum.reduceat(ranked.reshape(-1), ends)[::2]
    which[longer] = least >> np.uint32(16)
    places[longer] = first - first % width + (least & np.uint32(0xFFFF))
    return which, places


def _parents(which: Ranks, places: Whole, of_square: Numbers, steps: Whole) -> Numbers:
    """For each run the one it comes from, itself where no offset leads anywhere."""
    parents = np.arange(len(which), dtype=np.int32)
    for at in range(0, len(which), PIECE):
        here = which[at : at + PIECE]
        come = np.flatnonzero(here < len(steps))
        back = steps.take(here.take(come))
        come += at
        parents[come] = of_square.take(places.take(come) - back)
    return parents
