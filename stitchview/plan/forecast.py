"""When the piece will be done: from her own sittings, as an interval; nothing while there is too little."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from stitchview.errors import CommandError
from stitchview.plan.student import t_quantile

FEWEST = 3
"""Fewer sittings than this tell nothing about the next ones."""
FEWEST_DAYS = 7
"""A calendar needs a whole week behind it, or a busy weekend would be taken for every day."""
SURE = 0.8
"""How often the truth should lie in the interval that is told."""
LONGEST_DAYS = 365 * 100


@dataclass(frozen=True, slots=True)
class Span:
    """From `soonest` over `likely` to `latest`, in sittings or days; `latest` may be infinite."""

    soonest: float
    likely: float
    latest: float

    def times(self, scale: float) -> "Span":
        """The same in another unit."""
        return Span(self.soonest * scale, self.likely * scale, self.latest * scale)


@dataclass(frozen=True, slots=True)
class Dates:
    """From the soonest over the likely to the latest day; None for a day beyond all telling."""

    soonest: date
    likely: date
    latest: date | None


@dataclass(frozen=True, slots=True)
class Demand:
    """What finishing by a day asks: stitches a week, and a sitting when there are so many a week."""

    weeks: float
    a_week: float
    a_sitting: float


def spans_to_go(past: Sequence[float], left: float, sure: float = SURE) -> Span | None:
    """How many more pieces of work like those of the `past` it takes to do `left` stitches.

    The past may hold pieces below 0, where more was unpicked than stitched. It is the prediction interval
    for the sum of R values to come from n that were seen, mean R * m, standard error s * sqrt(R + R*R / n),
    solved for R (a textbook result of the normal theory; worked example in the tests). None when the past
    holds fewer than three pieces or no progress.
    """
    if left <= 0:
        return Span(0.0, 0.0, 0.0)
    values = np.asarray(past, np.float64)
    if len(values) < FEWEST or values.mean() <= 0:
        return None
    mean, spread = float(values.mean()), float(values.std(ddof=1))
    reach = t_quantile((1 + sure) / 2, len(values) - 1) * spread
    likely = left / mean
    square = mean * mean - reach * reach / len(values)
    half = 2 * mean * left + reach * reach
    if square <= 0:
        # Even the rate itself may be nothing; then only the soon end can be told.
        return Span(_root(square, half, left, -1), likely, math.inf)
    return Span(_root(square, half, left, -1), likely, _root(square, half, left, 1))


def by_sittings(
    past: Sequence[float], left: float, a_week: float, today: date, sure: float = SURE
) -> Dates | None:
    """The days on which she is done with so many sittings a week; None while there is too little to tell.

    Raises `CommandError` for no sittings a week, or more than she can sit through.
    """
    if not 0 < a_week <= 70:
        raise CommandError(
            f"{a_week:g} sittings a week cannot be reckoned with.", "Give a number above 0 and up to 70."
        )
    span = spans_to_go(past, left, sure)
    return None if span is None else _dates(span.times(7 / a_week), today)


def by_calendar(days: Sequence[float], left: float, today: date, sure: float = SURE) -> Dates | None:
    """The days on which she is done if she goes on as so far.

    `days` holds the stitches of every day from the first sitting on, those without one as 0. None while
    there are fewer than seven days or three with stitches.
    """
    if len(days) < FEWEST_DAYS or sum(each != 0 for each in days) < FEWEST:
        return None
    span = spans_to_go(days, left, sure)
    return None if span is None else _dates(span, today)


def demand_of(left: float, by: date, today: date, a_week: float) -> Demand:
    """What finishing on the day `by` asks of her; raises `CommandError` for a day that is not to come."""
    if by <= today:
        raise CommandError(f"{by.isoformat()} is not to come.", "Give a day after today.")
    weeks = (by - today).days / 7
    return Demand(weeks, left / weeks, left / weeks / a_week if a_week > 0 else math.inf)


def day_totals(stitches: Sequence[tuple[date, float]], today: date) -> list[float]:
    """Stitches of every day from the first to today, 0 where there were none; the future is left out."""
    known = [each for each in stitches if each[0] <= today]
    if not known:
        return []
    first = min(day for day, _ in known)
    totals = [0.0] * ((today - first).days + 1)
    for day, count in known:
        totals[(day - first).days] += count
    return totals


def _root(square: float, half: float, left: float, sign: int) -> float:
    """The smaller or larger root of square * R*R - half * R + left*left = 0, without losing digits."""
    root = math.sqrt(max(0.0, half * half - 4 * square * left * left))
    return (half + root) / (2 * square) if sign > 0 else 2 * left * left / (half + root)


def _dates(days: Span, today: date) -> Dates:
    return Dates(_on(days.soonest, today), _on(days.likely, today), _last(days.latest, today))


def _on(days: float, today: date) -> date:
    return today + timedelta(days=math.ceil(min(days, LONGEST_DAYS)))


def _last(days: float, today: date) -> date | None:
    return _on(days, today) if days < LONGEST_DAYS else None
