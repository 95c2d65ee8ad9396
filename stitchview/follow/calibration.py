"""Learns from needlefuls that were used up how much more thread she takes than geometry says."""

from dataclasses import dataclass, replace

from stitchview.follow.length import WORKING_LENGTH_MM, Needle
from stitchview.follow.needleful import Needleful, used_up

PRIOR_MM = 2 * WORKING_LENGTH_MM
"""Plain geometry counts as much as so much thread that came out as reckoned: about two needlefuls."""

LEAST, MOST = 0.5, 2.0
"""What one needleful may say of thread used by thread reckoned: a frayed or lost thread says nothing."""


@dataclass(frozen=True, slots=True)
class Estimate:
    """The thread reckoned (by geometry, factor 1) and used over all needlefuls so far, tails left out.

    It is a ratio of sums, so long needlefuls count for more than short ones, with a prior that holds
    it near 1 in the beginning. Without the prior this is strand used by stitches done: checks.md, 2.5.
    """

    reckoned_mm: float = 0.0
    used_mm: float = 0.0
    needlefuls: int = 0
    prior_mm: float = PRIOR_MM

    @property
    def factor(self) -> float:
        """What a needle's reckoned lengths are to be multiplied by: `Needle.factor`."""
        reckoned = self.prior_mm + self.reckoned_mm
        return (self.prior_mm + self.used_mm) / reckoned if reckoned else 1.0


@dataclass(frozen=True, slots=True)
class Outcome:
    """What one needleful took: thread reckoned for what was done of it, and thread really used."""

    reckoned_mm: float
    used_mm: float


def outcome_of(path: Needleful, at: int, left_mm: float = 0.0) -> Outcome:
    """The outcome when the thread was used up at stitch `at` of the path, but for `left_mm` and the end tail.

    Raises `ValueError` for a stitch that the path has not.
    """
    needle = path.wish.needle
    done = used_up(path, at)
    reckoned = needle.usable_mm - done.left_mm
    return Outcome(reckoned / needle.factor, max(0.0, needle.usable_mm - left_mm))


def corrected(estimate: Estimate, outcome: Outcome) -> Estimate:
    """The estimate with one needleful more; one of which nothing was done, or nothing used, says nothing."""
    if outcome.reckoned_mm <= 0 or outcome.used_mm <= 0:
        return estimate
    used = min(max(outcome.used_mm, LEAST * outcome.reckoned_mm), MOST * outcome.reckoned_mm)
    return Estimate(
        estimate.reckoned_mm + outcome.reckoned_mm,
        estimate.used_mm + used,
        estimate.needlefuls + 1,
        estimate.prior_mm,
    )


def needle_as_used(needle: Needle, estimate: Estimate) -> Needle:
    """The needle with what has been learnt."""
    return replace(needle, factor=estimate.factor)
