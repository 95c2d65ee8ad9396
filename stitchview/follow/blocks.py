"""Ten-by-ten blocks as a unit of work: finished, begun or untouched, and what each still needs."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.joined import Indices, Mask, expanded
from stitchview.done.change import FAMILIES, Change, States
from stitchview.follow.blockgrid import Block, BlockGrid, Counts
from stitchview.follow.clothpitch import Pitch
from stitchview.follow.numbering import Numbering
from stitchview.follow.spots import ALIKE
from stitchview.follow.threadwork import Left, ThreadWork, is_next


class BlockState(IntEnum):
    """How far a block is; a bare one has nothing to stitch."""

    BARE = 0
    UNTOUCHED = 1
    BEGUN = 2
    FINISHED = 3


@dataclass(frozen=True, slots=True)
class ThreadNeeded:
    """A key entry, by its number, and what is left of it."""

    number: int
    left: Left


@dataclass(frozen=True, eq=False, slots=True)
class _Loose:
    """One stitch table by blocks: `homes` (n,), the stitches in the `order` of homes, and `bounds`.

    Those of block b, flat, are `order[bounds[b] : bounds[b + 1]]`.
    """

    keys: NDArray[np.uint16]
    states: States
    homes: Indices
    order: Indices
    bounds: Indices

    def within(self, blocks: Area, across: int) -> Indices:
        """The stitches of an area of blocks."""
        first = np.arange(blocks.row, blocks.bottom) * across + blocks.column
        starts, ends = self.bounds[first], self.bounds[first + blocks.columns]
        some = ends > starts
        return self.order[expanded(starts[some], (ends - starts)[some])]


class Blocks:
    """All blocks of a chart, moved along with each change; arrays have shape (blocks down, blocks across).

    `stitches` and `left` count stitches of every kind, but of no threads that `work` leaves out. A
    line belongs to the block in which its middle lies, a knot or bead on a line between blocks to
    the lower, right one; so each stitch is in one block, and all blocks together are the chart.
    """

    def __init__(self, work: ThreadWork, numbering: Numbering) -> None:
        self.work, chart, marks = work, work.chart, work.marks
        self.grid = BlockGrid.of(chart.columns, chart.rows, numbering)
        lines, points = chart.lines, chart.points
        spots = (
            (chart.parts.columns, chart.parts.rows),
            ((lines.x1 + lines.x2) // 4, (lines.y1 + lines.y2) // 4),
            (points.x // 2, points.y // 2),
        )
        keys = (chart.parts.keys, lines.keys, points.keys)
        self._loose = tuple(
            self._by_blocks(numbers, states, spot)
            for numbers, states, spot in zip(keys, marks.families[1:], spots, strict=True)
        )
        loose = (loose.order[work.among(loose.keys[loose.order])] for loose in self._loose)
        self.stitches = self._counted(work.among(chart.squares), loose)
        self.left = self._left_in(self.grid.whole)

    @property
    def states(self) -> NDArray[np.uint8]:
        """The `BlockState` of every block."""
        begun = np.where(self.left < self.stitches, BlockState.BEGUN, BlockState.UNTOUCHED)
        told = np.where(self.left == 0, BlockState.FINISHED, begun)
        return np.where(self.stitches == 0, BlockState.BARE, told).astype(np.uint8)

    def state(self, block: Block) -> BlockState:
        """How far one block is."""
        left, stitches = int(self.left[block[1], block[0]]), int(self.stitches[block[1], block[0]])
        if stitches == 0:
            return BlockState.BARE
        if left == 0:
            return BlockState.FINISHED
        return BlockState.BEGUN if left < stitches else BlockState.UNTOUCHED

    def changed(self, change: Change) -> None:
        """Follow a change that the marks have made already; looks only at the blocks it touches."""
        area = change.area.clipped(self.work.chart.area)
        if not area.empty:
            blocks = self.grid.blocks_of(area)
            self.left[blocks.slices()] = self._left_in(blocks)

    def left_of(self, number: int) -> Counts:
        """How many stitches of a key entry are left in each block; O(chart)."""
        return self._left_in(self.grid.whole, self.work.checked(number))

    def nearest(
        self, place: tuple[int, int], pitch: Pitch, number: int | None = None, elsewhere: bool = False
    ) -> Block | None:
        """The block with work left nearest to the square `place`, for one key entry or for any.

        Measured to the block's nearest square, so the block of `place` itself comes first unless
        `elsewhere` leaves it out; of those alike far the upper, then left one. None if there is none.
        """
        left = self.left if number is None else self.left_of(number)
        worth = left > 0
        if elsewhere and self.work.chart.area.holds(*place):
            across, down = self.grid.block_at(*place)
            worth[down, across] = False
        if not worth.any():
            return None
        away = np.where(worth, self._away(place, pitch), np.inf)
        first = int(np.argmax(away <= away.min() * ALIKE))
        return first % self.grid.across, first // self.grid.across

    def threads_needed(self, blocks: Iterable[Block]) -> tuple[ThreadNeeded, ...]:
        """The threads to have at hand for these blocks together, in the order of the key."""
        counts = np.zeros((len(self.work.chart.key) + 1, len(FAMILIES)), np.int64)
        for across, down in set(blocks):
            counts += self._needed(Area(across, down, 1, 1))
        return tuple(
            ThreadNeeded(number, Left(*counts[number].tolist()))
            for number in np.flatnonzero(counts.any(axis=1)).tolist()
        )

    def _needed(self, blocks: Area) -> NDArray[np.int64]:
        """What is left by key number and family, shape (key entries + 1, 4)."""
        area, size = self.grid.squares_of(blocks), len(self.work.chart.key) + 1
        crosses = self.work.chart.squares[area.slices()][self.work.crosses_left(area)]
        columns = [np.bincount(crosses, minlength=size)]
        for loose in self._loose:
            found = self._left_of(loose, blocks, None)
            columns.append(np.bincount(loose.keys[found], minlength=size))
        return np.stack(columns, axis=1)

    def _left_in(self, blocks: Area, number: int | None = None) -> Counts:
        found = [self._left_of(loose, blocks, number) for loose in self._loose]
        crosses = self.work.crosses_left(self.grid.squares_of(blocks), number)
        return self._counted(crosses, found, blocks)

    def _left_of(self, loose: _Loose, blocks: Area, number: int | None) -> Indices:
        """The stitches of one table left in an area of blocks."""
        here = loose.within(blocks, self.grid.across)
        left: Indices = here[is_next(loose.states[here]) & self.work.among(loose.keys[here], number)]
        return left

    def _counted(self, crosses: Mask, loose: Iterable[Indices], blocks: Area | None = None) -> Counts:
        blocks = self.grid.whole if blocks is None else blocks
        sums = self.grid.summed(crosses, blocks)
        for table, found in zip(self._loose, loose, strict=True):
            down, across = np.divmod(table.homes[found], max(1, self.grid.across))
            flat = (down - blocks.row) * blocks.columns + across - blocks.column
            sums += np.bincount(flat, minlength=sums.size).reshape(sums.shape).astype(np.int32)
        return sums

    def _by_blocks(
        self, keys: NDArray[np.uint16], states: States, spots: tuple[NDArray[np.int32], NDArray[np.int32]]
    ) -> _Loose:
        across, down = self.grid.blocks_at(spots[0].astype(np.int64), spots[1].astype(np.int64))
        homes = down * self.grid.across + across
        order = np.argsort(homes, kind="stable")
        bounds = np.searchsorted(homes[order], np.arange(self.grid.whole.count + 1))
        return _Loose(keys, states, homes, order, bounds)

    def _away(self, place: tuple[int, int], pitch: Pitch) -> NDArray[np.float64]:
        """Millimetres from a square to the nearest square of each block, from middle to middle."""
        across = np.clip(place[0], self.grid.columns[:-1], self.grid.columns[1:] - 1) - place[0]
        down = np.clip(place[1], self.grid.rows[:-1], self.grid.rows[1:] - 1) - place[1]
        away: NDArray[np.float64] = np.hypot(
            (across * pitch.across_mm)[None, :], (down * pitch.down_mm)[:, None]
        )
        return away
