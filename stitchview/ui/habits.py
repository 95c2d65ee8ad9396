"""How she works with thread, whichever chart is open: what the next needleful is reckoned with."""

from dataclasses import dataclass

from stitchview.chart.model import KeyEntry
from stitchview.follow.carrying import LONGEST_CARRY_MM, Carrying
from stitchview.follow.clothpitch import Pitch
from stitchview.follow.length import END_TAIL_MM, START_TAIL_MM, WORKING_LENGTH_MM, Needle, Working

LENGTH, TAIL, CARRY = (200.0, 1500.0), (0.0, 90.0), (0.0, 60.0)
"""Least and most in millimetres; the tails together are always shorter than the shortest thread."""


@dataclass(frozen=True, slots=True)
class Habits:
    """Lengths in millimetres; strands come from the key, the square's size from the cloth."""

    length_mm: float = WORKING_LENGTH_MM
    start_tail_mm: float = START_TAIL_MM
    end_tail_mm: float = END_TAIL_MM
    carry_mm: float = LONGEST_CARRY_MM
    under_stitches: bool = False
    at_once: bool = False

    def needle(self, entry: KeyEntry, pitch: Pitch, factor: float) -> Needle:
        """The needle for a thread; `factor` is what has been learnt of her use of thread."""
        return Needle(
            pitch,
            Working.AT_ONCE if self.at_once else Working.ROWS,
            entry.cross_strands,
            self.length_mm,
            self.start_tail_mm,
            self.end_tail_mm,
            factor=factor,
        )

    @property
    def carrying(self) -> Carrying:
        """How far the thread may be carried."""
        return Carrying(self.carry_mm, self.under_stitches)
