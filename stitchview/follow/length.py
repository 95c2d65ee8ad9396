"""How much thread stitches take: the one place where pitch, way of working and tails become millimetres."""

import math
from dataclasses import dataclass
from enum import StrEnum

from stitchview.chart.stitches import HALVES, QUARTERS, PartShape
from stitchview.errors import CommandError
from stitchview.follow.clothpitch import USUAL_PITCH, Pitch

WORKING_LENGTH_MM = 450.0
"""A sewing thread is never longer than 40 to 50 cm (the public-domain handbook of 1886: checks.md, H15)."""

START_TAIL_MM, END_TAIL_MM = 30.0, 50.0
"""What is caught under the first stitches, and what is too short to sew (common practice: checks.md, 2.4)."""

KNOT_TURNS, TOOL_MM, THREAD_MM = 2, 0.8, 0.5
"""Two turns round the needle (checks.md, H21); a needle and a thread so thick are estimates (2.4)."""


class Working(StrEnum):
    """How crosses are worked; the values are what files and settings hold."""

    ROWS = "rows there and back"
    AT_ONCE = "each cross completed"


@dataclass(frozen=True, slots=True)
class Needle:
    """How a thread is worked: all that decides how far it reaches. Lengths are in millimetres.

    `strands` go into the needle; a loop start needs an even number of them and no start tail.
    `cloth_mm` is what one pass through the cloth takes on top of the flat geometry (an estimate to
    be made from use; 0 is flat), and `factor` what has been learnt from needlefuls used up: thread
    really used by thread reckoned. Raises `CommandError` for what no needle can have.
    """

    pitch: Pitch = USUAL_PITCH
    working: Working = Working.ROWS
    strands: int = 2
    length_mm: float = WORKING_LENGTH_MM
    start_tail_mm: float = START_TAIL_MM
    end_tail_mm: float = END_TAIL_MM
    loop_start: bool = False
    cloth_mm: float = 0.0
    factor: float = 1.0

    def __post_init__(self) -> None:
        lengths = (self.length_mm, self.start_tail_mm, self.end_tail_mm, self.cloth_mm, self.factor)
        if not all(0 <= each < math.inf for each in lengths) or self.factor == 0:
            raise CommandError("A length of thread below 0 mm or without end cannot be.", "Mend the setting.")
        if self.strands < 1:
            raise CommandError("There is no strand in the needle.", "Give at least one strand.")
        if self.loop_start and self.strands % 2:
            raise CommandError(
                f"A loop start needs an even number of strands, not {self.strands}.", "Use a tail instead."
            )
        if self.usable_mm <= 0:
            raise CommandError(
                f"A working length of {self.length_mm:g} mm is all tail.",
                "Cut a longer one, or shorten the tails.",
            )

    @property
    def usable_mm(self) -> float:
        """What of one working length goes into stitches and between them."""
        tail = 0.0 if self.loop_start else self.start_tail_mm
        return self.length_mm - tail - self.end_tail_mm

    @property
    def efficiency(self) -> float:
        """The usable share of a working length, from 0 to 1."""
        return self.usable_mm / self.length_mm

    @property
    def diagonal_mm(self) -> float:
        """One leg of a cross at the front."""
        return self.pitch.apart(1, 1)

    def strand_mm(self, needle_mm: float) -> float:
        """How much single strand so much thread in the needle is."""
        return needle_mm * self.strands

    def worked_mm(self, front_mm: float, back_mm: float, passes: int) -> float:
        """What stitches take that lie so long at front and back and go so often through the cloth."""
        return self.factor * (front_mm + back_mm + passes * self.cloth_mm)


def cross_mm(needle: Needle, upright: bool = False) -> float:
    """One cross of a long row, or of a long upright column: checks.md, section 2.1.

    There and back 2 d + 2 sides; each completed 2 d + side + d. The side is the square's height in
    rows and its width in columns.
    """
    side = needle.pitch.across_mm if upright else needle.pitch.down_mm
    onward = side if needle.working is Working.ROWS else needle.diagonal_mm
    return needle.worked_mm(2 * needle.diagonal_mm, side + onward, 4)


def part_mm(needle: Needle, shape: int) -> float:
    """One part stitch of `shape` (a `PartShape`) in a long row of its like: checks.md, section 2.1."""
    diagonal, side = needle.diagonal_mm, needle.pitch.down_mm
    if shape in HALVES:
        return needle.worked_mm(diagonal, side, 2)
    if shape in QUARTERS:
        return needle.worked_mm(diagonal / 2, diagonal / 2, 2)
    return needle.worked_mm(1.5 * diagonal, side + diagonal / 2, 4)


def back_stitch_mm(needle: Needle, step_mm: float, steps: int) -> float:
    """So many back stitches in line, `step_mm` each: 3 L but for the ends (checks.md, H13 and 2.1)."""
    return back_lines_mm(needle, steps * step_mm, steps, step_mm)


def back_lines_mm(needle: Needle, length_mm: float, steps: int, last_mm: float) -> float:
    """Lines of back stitch of such a length in all, in so many stitches.

    Behind lies twice the line but for the last stitches of each, `last_mm` together: H13 and 2.1.
    """
    return needle.worked_mm(length_mm, 2 * max(0.0, length_mm - last_mm), 2 * steps)


def double_running_mm(needle: Needle, length_mm: float, steps: int) -> float:
    """Lines worked over and under and filled on the way back: 2 L (checks.md, H12)."""
    return needle.worked_mm(length_mm, length_mm, 2 * steps)


def straight_mm(needle: Needle, length_mm: float, stitches: int = 1) -> float:
    """Straight stitches of such a length in all, without the way to the next (checks.md, 2.1)."""
    return needle.worked_mm(length_mm, 0.0, 2 * stitches)


def knot_mm(needle: Needle, turns: int = KNOT_TURNS, tool_mm: float = TOOL_MM) -> float:
    """One knot with so many turns round a needle so thick, down half a square on (checks.md, 2.4)."""
    return needle.worked_mm(turns * math.pi * (tool_mm + THREAD_MM), needle.pitch.across_mm / 2, 2)


def bead_mm(needle: Needle, whole_cross: bool = False) -> float:
    """One bead, sewn on by a half cross or by a whole one (common practice: checks.md, 2.1)."""
    return cross_mm(needle) if whole_cross else part_mm(needle, PartShape.HALF_RISING)


def row_mm(needle: Needle, crosses: int) -> float:
    """A level row of so many crosses from the hole it begins at to the one it ends at: checks.md, 2.2."""
    return block_mm(needle, crosses, 1)


def block_mm(needle: Needle, columns: int, rows: int, to_and_fro: bool = False) -> float:
    """A full block of crosses, the next row below, every cross with the same movements: checks.md, 2.2.

    Rows there and back end where they began; crosses completed at once go on from the row's other
    end if `to_and_fro`, else the thread is brought back under the block to the same side.
    """
    if columns < 1 or rows < 1:
        return 0.0
    pitch, diagonal = needle.pitch, needle.diagonal_mm
    if needle.working is Working.ROWS:
        back = rows * (2 * columns - 1) * pitch.down_mm + 2 * (rows - 1) * pitch.down_mm
    else:
        down = 2 * pitch.down_mm if to_and_fro else pitch.apart(columns - 1, 2)
        back = rows * (columns * pitch.down_mm + (columns - 1) * diagonal) + (rows - 1) * down
    return needle.worked_mm(columns * rows * 2 * diagonal, back, 4 * columns * rows)


def crosses_in_length(needle: Needle) -> int:
    """How many crosses of one level row a working length makes, by the exact form of a finite row.

    The last cross needs no way onward, so this may be one more than usable length by `cross_mm`.
    """
    first, each = row_mm(needle, 1), row_mm(needle, 2) - row_mm(needle, 1)
    return max(0, math.floor((needle.usable_mm - first) / each + 1e-9) + 1)
