"""Which of many dated copies are worth keeping: the last ones, then one a day, a week and a month."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Dated:
    """A copy as it counts for thinning: its `number` rises from one to the next, whatever the clock says."""

    number: int
    day: date
    bytes: int


@dataclass(frozen=True, slots=True)
class Measure:
    """How much is kept: the `last` copies, then the newest of so many days, ISO weeks and months.

    Above `bytes` in all the oldest go, but never the newest. The usual numbers are common practice.
    """

    last: int = 6
    days: int = 7
    weeks: int = 5
    months: int = 12
    bytes: int = 256 << 20

    @property
    def most(self) -> int:
        """How many copies are kept at most."""
        return self.last + self.days + self.weeks + self.months


def worth_keeping(copies: Sequence[Dated], measure: Measure | None = None) -> frozenset[int]:
    """The numbers of the copies to keep; the others may go. Weeks are those of ISO 8601."""
    limits = measure or Measure()
    newest_first = sorted(copies, key=lambda copy: copy.number, reverse=True)
    kept = {copy.number for copy in newest_first[: limits.last]}
    rest = newest_first[limits.last :]
    periods: tuple[tuple[int, Callable[[date], tuple[int, ...]]], ...] = (
        (limits.days, _day),
        (limits.weeks, _week),
        (limits.months, _month),
    )
    for count, period in periods:
        newest: dict[tuple[int, ...], int] = {}
        for copy in rest:
            newest.setdefault(period(copy.day), copy.number)
        kept.update(list(newest.values())[:count])
    return frozenset(_within_bytes([copy for copy in newest_first if copy.number in kept], limits.bytes))


def _within_bytes(newest_first: Sequence[Dated], most: int) -> list[int]:
    numbers: list[int] = []
    total = 0
    for copy in newest_first:
        total += copy.bytes
        if numbers and total > most:
            break
        numbers.append(copy.number)
    return numbers


def _day(day: date) -> tuple[int, ...]:
    return day.year, day.month, day.day


def _week(day: date) -> tuple[int, ...]:
    return tuple(day.isocalendar()[:2])


def _month(day: date) -> tuple[int, ...]:
    return day.year, day.month
