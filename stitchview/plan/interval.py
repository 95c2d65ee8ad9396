"""A forecast as low, likely and high, and the steps by which intervals are added and made larger."""

import math
from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Interval:
    """The truth lies from `low` to `high` eight times in ten, and as often above `likely` as below."""

    low: float
    likely: float
    high: float

    def times(self, scale: float) -> "Interval":
        """The interval in another unit."""
        return Interval(self.low * scale, self.likely * scale, self.high * scale)

    def plus(self, other: "Interval") -> "Interval":
        """Both together, where what makes one long makes the other long too."""
        return Interval(self.low + other.low, self.likely + other.likely, self.high + other.high)

    def mapped(self, rule: Callable[[float], float]) -> "Interval":
        """What a rule that never falls makes of the three."""
        return Interval(rule(self.low), rule(self.likely), rule(self.high))


NOTHING = Interval(0.0, 0.0, 0.0)


def log_interval(middle: float, spread: float, reach: float) -> Interval:
    """The interval round `middle` of a value whose logarithm has the standard deviation `spread`.

    `reach` is how many of them to go either way (1.2816 for eight times in ten, normal law).
    """
    factor = math.exp(reach * spread)
    return Interval(middle / factor, middle, middle * factor)
