"""How she works with thread: how long it is cut, its tails, how far it is carried, and which way."""

import math
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from stitchview.chart.model import KeyEntry
from stitchview.follow.carrying import LONGEST_CARRY_MM, Carrying
from stitchview.follow.clothpitch import Pitch
from stitchview.follow.length import END_TAIL_MM, START_TAIL_MM, WORKING_LENGTH_MM, Needle, Working

LENGTH, TAIL, CARRY = (200.0, 1500.0), (0.0, 90.0), (0.0, 60.0)
"""Least and most in millimetres; the tails together are always shorter than the shortest thread."""
BOUNDS = {"length_mm": LENGTH, "start_tail_mm": TAIL, "end_tail_mm": TAIL, "carry_mm": CARRY}


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
            self.working,
            entry.cross_strands,
            self.length_mm,
            self.start_tail_mm,
            self.end_tail_mm,
            factor=factor,
        )

    @property
    def working(self) -> Working:
        """How crosses are worked."""
        return Working.AT_ONCE if self.at_once else Working.ROWS

    @property
    def carrying(self) -> Carrying:
        """How far the thread may be carried."""
        return Carrying(self.carry_mm, self.under_stitches)


def habits_written(habits: Habits) -> dict[str, Any]:
    """The habits as members of a JSON object."""
    return asdict(habits)


def habits_read(record: Mapping[str, Any]) -> Habits:
    """The habits that were written down; whatever is missing or makes no sense is as usual."""
    found = asdict(Habits())
    for name, value in record.items():
        if name in BOUNDS:
            if is_length(value, BOUNDS[name]):
                found[name] = float(value)
        elif name in found and isinstance(value, bool):
            found[name] = value
    return Habits(**found)


def is_length(value: object, bounds: tuple[float, float]) -> bool:
    """Whether a value read from a file is a number between two bounds."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return False
    # Comparing comes first: a whole number may be too long for a float.
    return bounds[0] <= value <= bounds[1] and math.isfinite(value)
