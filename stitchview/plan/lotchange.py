"""Where to change from one dye lot to the next so that it shows least: between patches, never within one."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from stitchview.chart.area import Area, spanning
from stitchview.chart.joined import Indices, Mask, expanded, labels_of, runs_of_mask
from stitchview.done.change import DONE
from stitchview.done.marks import Marks

MOST_ROOM = 1 << 22
"""Stitches up to which sums are looked for one by one; no skeins of one lot cover more."""


@dataclass(frozen=True, eq=False, slots=True)
class Patch:
    """Squares of a thread joined by edges or corners: all of them and those `left`, flat and sorted."""

    squares: Indices
    left: Indices
    area: Area

    @property
    def begun(self) -> bool:
        """Whether some of it is stitched already."""
        return len(self.left) < len(self.squares)


@dataclass(frozen=True, eq=False, slots=True)
class LotChange:
    """Which patches are finished with the lot at hand, and which are stitched with the next one.

    `torn` are begun with the lot at hand, which is not enough for them: there the change falls within a
    patch whatever is done, and rows of both lots by turns hide it best (`rows_by_turns`).
    """

    kept: tuple[Patch, ...]
    next: tuple[Patch, ...]
    torn: tuple[Patch, ...]
    room: int

    @property
    def covered(self) -> int:
        """How many stitches the lot at hand is used for in whole patches."""
        return sum(len(patch.left) for patch in self.kept)


def lot_change(marks: Marks, numbers: Sequence[int], room: int) -> LotChange:
    """Where to change lots when the lot at hand is enough for `room` more crosses of some key entries.

    Patches begun are finished first; of the others those are taken that use up most of what is left of
    the lot (common practice: change at an outline or between separate patches). Part stitches, lines and
    beads are not looked at. O(chart + patches x room).
    """
    patches = [patch for patch in patches_of(marks, numbers) if len(patch.left)]
    begun, fresh = ([each for each in patches if each.begun is begun] for begun in (True, False))
    finished = fullest(begun, room)
    torn = tuple(patch for patch in begun if patch not in finished)
    spare = room - sum(len(patch.left) for patch in finished)
    taken = fullest(fresh, 0 if torn else spare)
    rest = tuple(patch for patch in fresh if patch not in taken)
    return LotChange((*finished, *taken), rest, torn, room)


def patches_of(marks: Marks, numbers: Sequence[int]) -> tuple[Patch, ...]:
    """The patches of the whole crosses of some key entries, in reading order of their first squares."""
    chart = marks.chart
    mask: Mask = np.isin(chart.squares, np.asarray(numbers, np.uint16))
    runs = runs_of_mask(mask)
    labels = labels_of(runs, corners=True)
    order = np.argsort(labels, kind="stable")
    bounds = np.append(np.flatnonzero(np.diff(labels[order], prepend=-1)), len(order))
    done, found = marks.squares.reshape(-1) == DONE, []
    for first, last in zip(bounds[:-1].tolist(), bounds[1:].tolist(), strict=True):
        mine = order[first:last]
        squares = expanded(runs.starts[mine] - runs.rows[mine], runs.lengths[mine])
        rows, columns = np.divmod(squares, chart.columns)
        corners = (int(columns.min()), int(rows[0])), (int(columns.max()), int(rows[-1]))
        found.append(Patch(squares, squares[~done[squares]], spanning(*corners)))
    return tuple(found)


def fullest(patches: Sequence[Patch], room: int) -> list[Patch]:
    """Patches whose stitches left together come as near to `room` as can be, never above it.

    Every sum that can be made is one bit of a whole number; many patches of one size are put together
    by doubling, so that confetti costs no more than a few patches.
    """
    room = min(room, MOST_ROOM)
    lots = _bundles(Counter(len(patch.left) for patch in patches))
    sums = [1]
    limit = (1 << (room + 1)) - 1 if room >= 0 else 0
    for size, times in lots:
        sums.append((sums[-1] | (sums[-1] << (size * times))) & limit)
    if room <= 0:
        return []
    wanted, chosen = sums[-1].bit_length() - 1, Counter[int]()
    for (size, times), before in zip(reversed(lots), reversed(sums[:-1]), strict=True):
        if not before >> wanted & 1:
            wanted -= size * times
            chosen[size] += times
    taken = []
    for patch in patches:
        if chosen[len(patch.left)]:
            chosen[len(patch.left)] -= 1
            taken.append(patch)
    return taken


def rows_by_turns(patch: Patch, columns: int, room: int) -> tuple[Indices, Indices]:
    """The squares left of a patch for the lot at hand and for the next one, row by row by turns.

    The rows begin at the top; when the lot at hand is used up, the rest is of the next one. With a single
    row left nothing can take turns: it goes to the lot at hand as far as that reaches.
    """
    rows = patch.left // columns
    turns = np.unique(rows, return_inverse=True)[1] % 2 == 0
    mine = patch.left[turns]
    mine = mine[: max(0, room)]
    return mine, np.setdiff1d(patch.left, mine, assume_unique=True)


def next_rows(change: LotChange, columns: int) -> tuple[Area, ...]:
    """The rows of the torn patches that are for the next lot, each run of squares an area, from the top.

    The lot at hand takes turns with it as far as it reaches, first in the patch that reads first.
    """
    spare, found = max(0, change.room - change.covered), list[Area]()
    for patch in change.torn:
        mine, others = rows_by_turns(patch, columns, spare)
        spare -= len(mine)
        breaks = np.flatnonzero((np.diff(others) != 1) | (others[1:] % columns == 0)) + 1
        for run in np.split(others, breaks) if len(others) else ():
            found.append(Area(int(run[0]) % columns, int(run[0]) // columns, len(run), 1))
    return tuple(found)


def change_words(change: LotChange) -> str:
    """The proposal in a sentence or two."""
    if change.torn:
        cannot = _patches(change.torn)
        return (
            f"The lot at hand cannot finish {cannot} begun with it. There the change shows least when rows"
            " of both lots take turns; stitch every other patch with one lot only. On the chart the rows for"
            " the next lot are rimmed."
        )
    if not change.next:
        return "The lot at hand is enough for every patch that is left."
    kept, later = (_patches(each) for each in (change.kept, change.next))
    left = sum(len(patch.left) for patch in change.next)
    covered = f"{change.covered:,} of about {change.room:,} squares"
    return (
        f"Finish {kept} with the lot at hand ({covered}), and stitch the other {later} ({left:,} squares)"
        " with the next lot: so no patch has two colours."
    )


def _patches(patches: Sequence[Patch]) -> str:
    return "1 patch" if len(patches) == 1 else f"{len(patches):,} patches"


def _bundles(sizes: Counter[int]) -> list[tuple[int, int]]:
    """Each size and how often, as powers of two and a rest: any number of them can be put together."""
    found = []
    for size, count in sorted(sizes.items()):
        times, left = 1, count
        while left > 0:
            found.append((size, min(times, left)))
            left -= times
            times *= 2
    return found
