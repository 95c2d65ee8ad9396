"""The small patch she fills in from the cloth: threads, bare squares and squares left open."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.problems import counted
from stitchview.errors import CommandError

LARGEST = 7
"""Most columns and rows of a patch."""

OPEN_SQUARE, BARE = -1, 0
"""What stands for a square she left open, and for one that is known to bear no stitch."""

Grid = NDArray[np.int32]


@dataclass(frozen=True, eq=False, slots=True)
class ClothPatch:
    """Squares as she sees them, shape (rows, columns): a key number from 1, `BARE` or `OPEN_SQUARE`.

    Raises `CommandError` for one that is too large or has no thread filled in.
    """

    squares: Grid

    def __post_init__(self) -> None:
        if self.squares.ndim != 2 or self.squares.dtype != np.int32 or (self.squares < OPEN_SQUARE).any():
            raise ValueError("a patch is a two-dimensional array of int32 from -1 on")
        check_size(*self.squares.shape)
        if not (self.squares > BARE).any():
            raise CommandError("The patch has no thread in it.", "Fill in at least one stitched square.")


def check_size(rows: int, columns: int) -> None:
    """Raises `CommandError` for a patch with too many rows or columns."""
    if max(rows, columns) > LARGEST:
        raise CommandError(
            f"The patch has {counted(columns, 'column')} and {counted(rows, 'row')}.",
            f"Fill in one of at most {LARGEST} each way.",
        )


@dataclass(frozen=True, eq=False, slots=True)
class Turned:
    """A patch as it lies on the chart: mirrored first if so, then `turn` quarter turns clockwise.

    `came_from` (rows, columns, 2) is the column and row of each square in the patch as filled in.
    """

    turn: int
    mirrored: bool
    squares: Grid
    came_from: Grid

    def filled_in(self, row: int, column: int) -> tuple[int, int]:
        """Which square (column, row) of the patch as filled in lies at (`row`, `column`) now."""
        x, y = self.came_from[row, column].tolist()
        return x, y


def turned_patches(patch: ClothPatch, turns: bool, mirrored: bool) -> list[Turned]:
    """The ways the patch may lie: upright, and if so asked turned and mirrored; alike ones only once."""
    rows, columns = np.indices(patch.squares.shape, dtype=np.int32)
    names = np.stack((columns, rows), axis=2)
    found: list[Turned] = []
    for flipped in (False, True) if mirrored else (False,):
        for turn in range(4) if turns else range(1):
            squares, came_from = (_laid(each, turn, flipped) for each in (patch.squares, names))
            if not any(np.array_equal(squares, known.squares) for known in found):
                found.append(Turned(turn, flipped, squares, came_from))
    return found


def _laid(grid: Grid, turn: int, mirrored: bool) -> Grid:
    return np.ascontiguousarray(np.rot90(grid[:, ::-1] if mirrored else grid, -turn))
