"""Her own measuring of the cloth: threads counted over a length at several places, and how sure that is."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import mean, stdev

from stitchview.errors import CommandError
from stitchview.follow.clothpitch import INCH_MM
from stitchview.plan.clothcount import METRE_MM, ClothCount, OffTrue
from stitchview.plan.student import t_quantile

MEASURED_MM = METRE_MM
"""Counting over 10 cm makes one thread more or less four times less than over an inch."""
PLACES = 3
"""How many places are asked for (common practice)."""
MOST_PLACES = 10
MOST_THREADS = 10_000
SURE = 0.9
"""So often the truth lies below the upper end, and as often above the lower one: 80 % between."""


@dataclass(frozen=True, slots=True)
class Measured:
    """Threads counted one way at one place or more, each over `over_mm` millimetres.

    Raises `CommandError` where nothing was counted or a count cannot be.
    """

    threads: tuple[float, ...]
    over_mm: float = MEASURED_MM

    def __post_init__(self) -> None:
        if not 1 <= len(self.threads) <= MOST_PLACES:
            raise CommandError(
                f"Threads were counted at {len(self.threads)} places.", f"Count at 1 to {MOST_PLACES}."
            )
        if not 10 <= self.over_mm <= 1000:
            raise CommandError(
                f"Threads cannot be counted over {self.over_mm:g} mm.", "Count them over 10 cm or an inch."
            )
        for count in self.threads:
            if not 1 <= count <= MOST_THREADS:
                raise CommandError(
                    f"{count:g} threads cannot be counted over {self.over_mm:g} mm.", "Count them again."
                )

    @property
    def mean(self) -> float:
        """The mean of the counts."""
        return mean(self.threads)

    @property
    def spread(self) -> float:
        """How far the true mean may be from `mean`, in threads.

        One count may be a thread off at its ends (checks.md, section 1), which several counts make
        less by the root of their number; where places differ, their mean is as unsure as Student's t
        says for 80 %. Both together are the root of the sum of squares.
        """
        places = len(self.threads)
        counting = 1 / math.sqrt(places)
        differing = (
            t_quantile(SURE, places - 1) * stdev(self.threads) / math.sqrt(places) if places > 1 else 0.0
        )
        return math.hypot(counting, differing)

    @property
    def least(self) -> float:
        """The least the true mean may be; never below a tenth of the mean."""
        return max(self.mean - self.spread, self.mean / 10)

    @property
    def most(self) -> float:
        """The most the true mean may be."""
        return self.mean + self.spread

    def per(self, unit_mm: float) -> tuple[float, float, float]:
        """Least, mean and most to a length in millimetres."""
        share = unit_mm / self.over_mm
        return self.least * share, self.mean * share, self.most * share

    @property
    def words(self) -> str:
        """What was found: "28.4 threads to the inch, 28.2 to 28.7 (112.0 to 10 cm)"."""
        least, middle, most = self.per(INCH_MM)
        return (
            f"{middle:.1f} threads to the inch, {least:.1f} to {most:.1f}"
            f" ({self.per(METRE_MM)[1]:.1f} to 10 cm)"
        )


@dataclass(frozen=True, slots=True)
class MeasuredCloth:
    """The cloth as she counted it, each way apart."""

    across: Measured
    down: Measured

    def count(self, over: int, per_100_mm: bool) -> ClothCount:
        """The count that was found; raises `CommandError` when no cloth has it."""
        unit = METRE_MM if per_100_mm else INCH_MM
        return ClothCount(self.across.per(unit)[1], self.down.per(unit)[1], per_100_mm, over)

    @property
    def off_true(self) -> tuple[OffTrue, OffTrue, OffTrue]:
        """The least, the likeliest and the most that squares may be higher than wide."""
        least, middle, most = self.across.per(INCH_MM)
        thin, mean_down, thick = self.down.per(INCH_MM)
        return OffTrue(least / thick), OffTrue(middle / mean_down), OffTrue(most / thin)

    @property
    def tells_uneven(self) -> bool:
        """Whether the counting is sure enough to call the cloth uneven at all."""
        low, _, high = self.off_true
        return not low.ratio <= 1 <= high.ratio


def measured(threads: Sequence[float], over_mm: float = MEASURED_MM) -> Measured:
    """What was counted, with places left empty (0) passed over."""
    return Measured(tuple(count for count in threads if count), over_mm)
