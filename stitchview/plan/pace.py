"""How the work went over the days: stitches by weekday, by week of the year, and by thread."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
"""Weekdays from Monday, as ISO 8601 counts them."""

Dayed = Sequence[tuple[date, float]]
"""Stitches, each with the day of its sitting."""


@dataclass(frozen=True, slots=True)
class Weekday:
    """All that was stitched on one weekday: in how many sittings, and the mean of one."""

    sittings: int
    stitches: float

    @property
    def mean(self) -> float:
        """Stitches of a sitting on that day; 0 where there was none."""
        return self.stitches / self.sittings if self.sittings else 0.0


def by_weekday(sittings: Dayed) -> tuple[Weekday, ...]:
    """The seven weekdays, Monday first."""
    counts, sums = [0] * 7, [0.0] * 7
    for day, stitches in sittings:
        counts[day.weekday()] += 1
        sums[day.weekday()] += stitches
    return tuple(Weekday(*each) for each in zip(counts, sums, strict=True))


def by_week(sittings: Dayed) -> tuple[tuple[str, date, float], ...]:
    """Stitches of every week from the first sitting's to the last one's, those without any too.

    Each with its name by ISO 8601 ("2026-W53") and its Monday.
    """
    if not sittings:
        return ()
    mondays = [monday_of(day) for day, _ in sittings]
    first, last = min(mondays), max(mondays)
    sums = [0.0] * ((last - first).days // 7 + 1)
    for monday, (_, stitches) in zip(mondays, sittings, strict=True):
        sums[(monday - first).days // 7] += stitches
    weeks = [first + timedelta(weeks=number) for number in range(len(sums))]
    return tuple((week_name(monday), monday, stitched) for monday, stitched in zip(weeks, sums, strict=True))


def monday_of(day: date) -> date:
    """The Monday of the week in which a day lies."""
    return day - timedelta(days=day.weekday())


def week_name(day: date) -> str:
    """The week of a day by ISO 8601: the year is that of its Thursday."""
    year, week, _ = day.isocalendar()
    return f"{year}-W{week:02}"


def most_threads(worked: NDArray[np.float64], most: int) -> tuple[tuple[int, float], ...]:
    """Of stitches by key number, the numbers with the most, at most so many, the most first."""
    order = np.argsort(-worked, kind="stable")[:most]
    return tuple((int(number), float(worked[number])) for number in order if worked[number] > 0)
