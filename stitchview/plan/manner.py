"""How she works, as far as the need of thread depends on it: tails, working length, carries, strands."""

import math
from dataclasses import dataclass

from stitchview.errors import CommandError
from stitchview.follow.carrying import LONGEST_CARRY_MM
from stitchview.follow.clothpitch import Pitch
from stitchview.follow.length import END_TAIL_MM, START_TAIL_MM, WORKING_LENGTH_MM, Needle, Working

MOST_STRANDS = 50
MOST_TURNS = 10
MOST_SQUARE_MM = 1_000.0
LEAST_SQUARE_MM = 0.05

DETOUR = 1.25
"""Thread from stitch to stitch behind by the shortest links that hold all together (an estimate)."""


@dataclass(frozen=True, slots=True)
class Manner:
    """Her way of working; all lengths in millimetres, the defaults common practice.

    `strands` and `back_strands` go before what the key says, for crosses and for lines; `cloth_mm`
    is what one pass through the cloth takes; `detour` how much longer the way behind is than the
    shortest links. Raises `CommandError` for what cannot be worked.
    """

    working: Working = Working.ROWS
    strands: int | None = None
    back_strands: int | None = None
    length_mm: float = WORKING_LENGTH_MM
    start_tail_mm: float = START_TAIL_MM
    end_tail_mm: float = END_TAIL_MM
    loop_start: bool = False
    cloth_mm: float = 0.0
    carry_mm: float = LONGEST_CARRY_MM
    detour: float = DETOUR
    double_running: bool = False
    knot_turns: int = 2
    bead_cross: bool = False

    def __post_init__(self) -> None:
        for strands in (self.strands, self.back_strands):
            if strands is not None and not 1 <= strands <= MOST_STRANDS:
                raise CommandError(
                    f"{strands} strands do not go into a needle.", f"Give 1 to {MOST_STRANDS} strands."
                )
        if not 0 <= self.carry_mm < math.inf:
            raise CommandError(
                f"The thread cannot be carried for {self.carry_mm:g} mm.", "Give a length from 0 mm on."
            )
        if not 1 <= self.detour <= 3 or not 1 <= self.knot_turns <= MOST_TURNS:
            raise CommandError("This way of working cannot be.", "Mend the settings for planning.")
        self.needle(Pitch(1.0, 1.0), 2)

    def needle(self, pitch: Pitch, strands: int) -> Needle:
        """The needle with so many strands; a loop start falls back to a tail where they are odd."""
        return Needle(
            pitch,
            self.working,
            strands,
            self.length_mm,
            self.start_tail_mm,
            self.end_tail_mm,
            self.loop_start and strands % 2 == 0,
            self.cloth_mm,
        )


def checked_pitch(pitch: Pitch) -> Pitch:
    """The pitch, if a hand can stitch on it; raises `CommandError` for absurd counts."""
    for mm in (pitch.across_mm, pitch.down_mm):
        if not LEAST_SQUARE_MM <= mm <= MOST_SQUARE_MM:
            raise CommandError(
                f"A square of {mm:g} mm cannot be stitched.",
                "Check the count of the cloth and over how many threads you work.",
            )
    return pitch
