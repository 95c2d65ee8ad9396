"""What she really uses for what is reckoned: her factor for each thread, and how sure it is."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from statistics import NormalDist

from stitchview.chart.threadname import ThreadName
from stitchview.plan.interval import NOTHING, Interval, log_interval

USUAL_FACTOR = 1.10
"""A stitcher uses a tenth more than stitches, carries and tails take (the reserve of checks.md, 2.4)."""
USUAL_SPREAD = 0.11
"""Eight stitchers of ten lie between 0.96 and 1.27 (an estimate, to be made from use)."""
KIND_SPREAD, OTHER_SPREAD = 0.03, 0.06
"""How much her factor differs between two threads of one kind, and of two kinds (estimates)."""
STRETCH_SPREAD = 0.02
"""What the model itself may be out for one stretch of work, however long (an estimate)."""
NEEDLEFUL_MM, NEEDLEFUL_SPREAD = 900.0, 0.25
"""One working length of two strands, and how much one of them differs from the next (an estimate)."""
NOISE_WEIGHT = 8.0
"""The estimated spreads count as much as so many stretches of work."""
LEAST_RATIO, MOST_RATIO = 0.4, 4.0
"""Used by reckoned beyond these is a slip of the pen, a lost skein or another thread: it says nothing."""

REACH = NormalDist().inv_cdf(0.9)


@dataclass(frozen=True, slots=True)
class Stretch:
    """One stretch of work with a thread: strand reckoned for it, and strand really used; millimetres.

    `loose` is the further spread of what was told about it, for stretches that leave something out.
    """

    thread: ThreadName
    kind: str
    reckoned_mm: float
    used_mm: float
    loose: float = 0.0

    @property
    def says_something(self) -> bool:
        """Whether anything can be learnt from it."""
        if self.reckoned_mm <= 0 or self.used_mm <= 0:
            return False
        return LEAST_RATIO <= self.used_mm / self.reckoned_mm <= MOST_RATIO


@dataclass(frozen=True, slots=True)
class Usage:
    """Her `factor` for one thread; its logarithm has the standard deviation `spread`.

    `noise` is how much more or less than estimated her stretches differ from one another, `stretches`
    how many of them were learnt from.
    """

    factor: float = USUAL_FACTOR
    spread: float = USUAL_SPREAD
    noise: float = 1.0
    stretches: int = 0

    def strand(self, reckoned_mm: float) -> Interval:
        """How much strand will be used for so much reckoned, both in millimetres."""
        if reckoned_mm <= 0:
            return NOTHING
        spread = math.sqrt(self.spread**2 + self.noise * _own_variance(reckoned_mm))
        return log_interval(reckoned_mm * self.factor, spread, REACH)


def usage_of(thread: ThreadName, kind: str, stretches: Iterable[Stretch]) -> Usage:
    """What her stretches of work say of a thread, its own more than those of its kind and of others.

    A weighted mean of logarithms with a prior, each stretch weighed by one over its variance: the
    normal-theory estimate of any statistics text.
    """
    told = [each for each in stretches if each.says_something]
    if not told:
        return Usage()
    values = [math.log(each.used_mm / each.reckoned_mm) for each in told]
    further = [_further_variance(each, thread, kind) for each in told]
    own = [_own_variance(each.reckoned_mm) for each in told]
    noise = _noise(values, own, further)
    weights = [1 / (noise * mine + more) for mine, more in zip(own, _shared(told, further), strict=True)]
    prior = 1 / USUAL_SPREAD**2
    total = prior + sum(weights)
    weighed = prior * math.log(USUAL_FACTOR)
    weighed += sum(weight * value for weight, value in zip(weights, values, strict=True))
    return Usage(math.exp(weighed / total), total**-0.5, noise, len(told))


def _own_variance(reckoned_mm: float) -> float:
    """The variance of the logarithm of used by reckoned for a stretch of such a length."""
    return STRETCH_SPREAD**2 + NEEDLEFUL_SPREAD**2 * NEEDLEFUL_MM / reckoned_mm


def _further_variance(stretch: Stretch, thread: ThreadName, kind: str) -> float:
    """What a stretch with another thread may be out for this one."""
    apart = KIND_SPREAD if stretch.kind == kind else OTHER_SPREAD
    return stretch.loose**2 + (0.0 if stretch.thread == thread else apart**2)


def _shared(told: list[Stretch], further: list[float]) -> list[float]:
    """The further variances, where several stretches of one thread are out by the same."""
    counts: dict[ThreadName, int] = {}
    for each in told:
        counts[each.thread] = counts.get(each.thread, 0) + 1
    return [more * counts[each.thread] for each, more in zip(told, further, strict=True)]


def _noise(values: list[float], own: list[float], further: list[float]) -> float:
    """How much more or less the stretches differ than estimated: a ratio of variances, near 1 at first."""
    variances = [mine + more for mine, more in zip(own, further, strict=True)]
    total = sum(1 / each for each in variances)
    middle = sum(value / each for value, each in zip(values, variances, strict=True)) / total
    scattered = sum((value - middle) ** 2 / each for value, each in zip(values, variances, strict=True))
    return (NOISE_WEIGHT + scattered) / (NOISE_WEIGHT + len(values) - 1)
