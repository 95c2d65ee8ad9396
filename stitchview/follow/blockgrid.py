"""Ten-by-ten blocks as her numbering draws them, and sums over them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.joined import Indices, Mask
from stitchview.follow.numbering import Numbering, tens_lines

Counts = NDArray[np.int32]
Block = tuple[int, int]
"""A block by its place in the grid, (across, down) from 0 at the top left."""


@dataclass(frozen=True, eq=False, slots=True)
class BlockGrid:
    """The lines between blocks, each named by how many squares lie before it; the last are the ends."""

    columns: Indices
    rows: Indices

    @classmethod
    def of(cls, columns: int, rows: int, numbering: Numbering) -> "BlockGrid":
        """The grid of a chart; those at the edges, and at the centre of odd sizes, have fewer squares."""
        across, down = tens_lines(columns, numbering.across), tens_lines(rows, numbering.down)
        return cls(np.array(across, np.int64), np.array(down, np.int64))

    @property
    def across(self) -> int:
        """How many blocks lie side by side."""
        return len(self.columns) - 1

    @property
    def down(self) -> int:
        """How many blocks lie one below the other."""
        return len(self.rows) - 1

    @property
    def whole(self) -> Area:
        """All blocks, counted in blocks."""
        return Area(0, 0, self.across, self.down)

    def block_at(self, column: int, row: int) -> Block:
        """The block in which a square of the chart lies."""
        across, down = self.blocks_at(np.array([column]), np.array([row]))
        return int(across[0]), int(down[0])

    def blocks_at(self, columns: Indices, rows: Indices) -> tuple[Indices, Indices]:
        """The blocks in which squares lie, (across, down); those off the chart in the nearest of it."""
        across = np.searchsorted(self.columns, columns, side="right") - 1
        down = np.searchsorted(self.rows, rows, side="right") - 1
        return np.clip(across, 0, self.across - 1), np.clip(down, 0, self.down - 1)

    def area(self, block: Block) -> Area:
        """The squares of a block."""
        return self.squares_of(Area(block[0], block[1], 1, 1))

    def squares_of(self, blocks: Area) -> Area:
        """The squares of an area of blocks."""
        column, row = int(self.columns[blocks.column]), int(self.rows[blocks.row])
        right, bottom = int(self.columns[blocks.right]), int(self.rows[blocks.bottom])
        return Area(column, row, right - column, bottom - row)

    def blocks_of(self, squares: Area) -> Area:
        """The area of blocks that an area of squares, not empty and within the chart, touches."""
        left, top = self.block_at(squares.column, squares.row)
        right, bottom = self.block_at(squares.right - 1, squares.bottom - 1)
        return Area(left, top, right - left + 1, bottom - top + 1)

    def summed(self, mask: Mask, blocks: Area) -> Counts:
        """How many squares are true in each of an area of blocks, shape (blocks down, blocks across).

        `mask` holds their squares, shape (rows, columns).
        """
        if blocks.empty or mask.size == 0:
            return np.zeros((blocks.rows, blocks.columns), np.int32)
        columns = self.columns[blocks.column : blocks.right] - self.columns[blocks.column]
        rows = self.rows[blocks.row : blocks.bottom] - self.rows[blocks.row]
        # Ten at most stand in a row of a block, so that bytes hold the first sum.
        in_rows = np.add.reduceat(mask.view(np.uint8), columns, axis=1, dtype=np.uint8)
        sums: Counts = np.add.reduceat(in_rows, rows, axis=0, dtype=np.int32)
        return sums
