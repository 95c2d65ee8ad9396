"""How far one square reaches on her cloth, across and down, so that distances are in millimetres."""

import math
from dataclasses import dataclass

from stitchview.chart.model import Cloth

INCH_MM = 25.4
"""The international inch of 1959, exactly."""


@dataclass(frozen=True, slots=True)
class Pitch:
    """The width and the height of one square in millimetres; they differ on uneven cloth."""

    across_mm: float
    down_mm: float

    def __post_init__(self) -> None:
        if not (0 < self.across_mm < math.inf and 0 < self.down_mm < math.inf):
            raise ValueError("a square has a width and a height above 0 mm")

    def apart(self, columns: float, rows: float) -> float:
        """How many millimetres so many columns and rows lead away, in a straight line."""
        return math.hypot(columns * self.across_mm, rows * self.down_mm)


USUAL_PITCH = Pitch(INCH_MM / 14, INCH_MM / 14)
"""14 squares to the inch, which is common practice where nothing is known of the cloth."""


def pitch_of(cloth: Cloth | None, count_down: float | None = None) -> Pitch:
    """The pitch of `cloth` over as many threads as it is worked; `USUAL_PITCH` where there is none.

    `count_down` is the count of the upright way on uneven cloth, told in the same unit as `cloth.count`.
    """
    if cloth is None:
        return USUAL_PITCH
    told_over = 100.0 if cloth.per_100_mm else INCH_MM
    down = cloth.count if count_down is None else count_down
    return Pitch(cloth.over * told_over / cloth.count, cloth.over * told_over / down)
