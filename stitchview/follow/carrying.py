"""Where the thread may be carried behind from one stitch to the next."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.errors import CommandError
from stitchview.follow.clothpitch import Pitch
from stitchview.follow.threadwork import ThreadWork

LONGEST_CARRY_MM = 10.0
"""3 to 4 squares, or about 1 to 1.5 cm (common practice: checks.md, section 6.4)."""

MOST_SQUARES = 60
"""No farther is looked for where to carry the thread, whatever is allowed."""

Mask = NDArray[np.bool_]
Whole = NDArray[np.int64]

_LOOKS_A_SQUARE = 4


@dataclass(frozen=True, slots=True)
class Carrying:
    """How far the thread may be carried from hole to hole; next-door squares are never too far.

    `under_stitches` keeps it off bare cloth: only behind squares that have a stitch of any thread,
    done or still to come, because a dark thread shows through light cloth.
    """

    longest_mm: float = LONGEST_CARRY_MM
    under_stitches: bool = False

    def __post_init__(self) -> None:
        if not 0 <= self.longest_mm < math.inf:
            raise CommandError(
                f"The thread cannot be carried for {self.longest_mm:g} mm.", "Give a length from 0 mm on."
            )

    def squares(self, pitch: Pitch) -> int:
        """How many columns or rows a carry spans at most, and one more; `MOST_SQUARES` bounds it."""
        return int(min(self.longest_mm / min(pitch.across_mm, pitch.down_mm), MOST_SQUARES)) + 1


@dataclass(frozen=True, eq=False, slots=True)
class Ground:
    """The squares of `area` that bear a stitch of any thread, shape (rows, columns)."""

    area: Area
    stitched: Mask

    @classmethod
    def of(cls, work: ThreadWork, area: Area, carrying: Carrying) -> "Ground":
        """The ground of `area`, which lies within the chart; all of it where bare cloth does not matter."""
        if not carrying.under_stitches:
            return cls(area, np.ones((area.rows, area.columns), bool))
        stitched: Mask = work.chart.squares[area.slices()] != 0
        parts = work.chart.parts
        here = (parts.columns >= area.column) & (parts.columns < area.right)
        here &= (parts.rows >= area.row) & (parts.rows < area.bottom)
        stitched[parts.rows[here] - area.row, parts.columns[here] - area.column] = True
        return cls(area, stitched)

    def bare_between(self, columns: Whole, rows: Whole, to_columns: Whole, to_rows: Whole) -> Mask:
        """Whether bare cloth lies on the straight way from square to square, middle to middle; shape (n,).

        All squares lie in the area. Looked at four times a square along the way.
        """
        longest = max(
            int(np.abs(to_columns - columns).max(initial=0)), int(np.abs(to_rows - rows).max(initial=0))
        )
        along = (np.arange(1, longest * _LOOKS_A_SQUARE) / (longest * _LOOKS_A_SQUARE))[:, None]
        across = np.floor(columns + 0.5 + along * (to_columns - columns)).astype(np.int64)
        down = np.floor(rows + 0.5 + along * (to_rows - rows)).astype(np.int64)
        stitched = self.stitched[down - self.area.row, across - self.area.column]
        bare: Mask = ~stitched.all(axis=0)
        return bare


def next_door(across: Whole, down: Whole) -> Mask:
    """Which steps lead no farther than to a neighbour, side by side or corner to corner."""
    mask: Mask = (np.abs(across) <= 1) & (np.abs(down) <= 1)
    return mask


def gap_mm(across: Whole, down: Whole, pitch: Pitch) -> NDArray[np.float64]:
    """The bare distance between squares so many columns and rows apart, from edge to edge."""
    gap: NDArray[np.float64] = np.hypot(
        np.maximum(np.abs(across) - 1, 0) * pitch.across_mm, np.maximum(np.abs(down) - 1, 0) * pitch.down_mm
    )
    return gap
