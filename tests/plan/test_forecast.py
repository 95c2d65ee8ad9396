"""Forecasts against worked examples, root finding, and pieces that were simulated to their end."""

import math
from collections.abc import Callable
from datetime import date

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import brentq
from scipy.stats import t

from stitchview.errors import CommandError
from stitchview.plan.forecast import by_calendar, by_sittings, day_totals, demand_of, spans_to_go

RATES = [120, 95, 140, 110, 130, 105, 125, 115]
TODAY = date(2026, 11, 25)


@pytest.mark.parametrize(("sure", "soonest", "latest"), [(0.95, 30.5303, 38.3611), (0.80, 31.8590, 36.5129)])
def test_a_worked_example(sure: float, soonest: float, latest: float) -> None:
    """4,000 stitches left after eight sittings, by root finding and closed form (checks.md, section 5)."""
    span = spans_to_go(RATES, 4000, sure)
    assert span is not None
    assert span.likely == pytest.approx(34.0426, abs=5e-5)
    assert span.soonest == pytest.approx(soonest, abs=5e-5)
    assert span.latest == pytest.approx(latest, abs=5e-5)


@given(
    st.lists(st.floats(1, 500), min_size=3, max_size=40), st.floats(1, 1e6), st.sampled_from([0.5, 0.8, 0.95])
)
def test_the_ends_solve_the_equation(past: list[float], left: float, sure: float) -> None:
    """At either end the interval for the sum just touches what is left, as scipy's root finder says."""
    assume(np.std(past) > 1e-3)
    span = spans_to_go(past, left, sure)
    assert span is not None
    mean, spread, count = np.mean(past), np.std(past, ddof=1), len(past)
    reach = t.ppf((1 + sure) / 2, count - 1) * spread

    def short(spans: float, sign: int) -> float:
        return float(mean * spans + sign * reach * math.sqrt(spans + spans * spans / count) - left)

    soonest = brentq(lambda spans: short(spans, 1), 0, left / mean + 1e-9, xtol=1e-12)
    assert span.soonest == pytest.approx(soonest, rel=1e-6, abs=1e-8)
    if math.isinf(span.latest):
        assert mean**2 <= reach**2 / count
    else:
        assert short(span.latest, -1) == pytest.approx(0, abs=1e-5 * left)
    assert span.soonest <= span.likely <= span.latest


def _even(random: np.random.Generator, size: int) -> np.ndarray:
    return random.normal(120, 25, size)


def _skewed(random: np.random.Generator, size: int) -> np.ndarray:
    return random.gamma(4, 30, size)


@pytest.mark.parametrize("rate", [_even, _skewed])
@pytest.mark.parametrize(("sittings", "left"), [(6, 1500), (12, 4000), (30, 8000)])
def test_eight_pieces_in_ten_end_within_the_interval(
    rate: Callable[[np.random.Generator, int], np.ndarray], sittings: int, left: int
) -> None:
    """Of 1,500 simulated pieces 75 to 85 in a hundred take as many sittings as were foretold."""
    random, held = np.random.default_rng(7), 0
    for _ in range(1500):
        past = rate(random, sittings)
        done = np.cumsum(rate(random, 400))
        needed = float(np.interp(left, np.append(0, done), np.arange(401)))
        span = spans_to_go(past.tolist(), left)
        assert span is not None
        held += span.soonest <= needed <= span.latest
    assert 0.75 <= held / 1500 <= 0.85


def test_eight_pieces_in_ten_end_on_the_days_foretold() -> None:
    """She stitches on two days in five: the calendar holds as well, days off counted."""
    random, held = np.random.default_rng(11), 0
    for _ in range(1000):
        days = np.where(random.random(900) < 0.4, random.gamma(4, 30, 900), 0.0)
        past, future = days[:60], days[60:]
        needed = 1 + int(np.searchsorted(np.cumsum(future), 6000))
        dates = by_calendar(past.tolist(), 6000, TODAY)
        assert dates is not None
        assert dates.latest is not None
        held += (dates.soonest - TODAY).days <= needed <= (dates.latest - TODAY).days
    assert 0.75 <= held / 1000 <= 0.86


def test_too_little_to_tell_tells_nothing() -> None:
    """Two sittings, no progress, or a single busy weekend are no ground for a date."""
    assert spans_to_go([100, 120], 500) is None
    assert spans_to_go([10, -10, -5], 500) is None
    assert by_calendar([200, 150, 180], 500, TODAY) is None
    assert by_calendar([200, 0, 0, 0, 0, 0, 0, 150], 500, TODAY) is None


def test_nothing_left_is_done_today() -> None:
    """A finished piece needs no more sittings, however few there were."""
    span = spans_to_go([], 0)
    assert span is not None
    assert (span.soonest, span.likely, span.latest) == (0, 0, 0)
    dates = by_sittings([], 0, 2, TODAY)
    assert dates is not None
    assert dates.latest == TODAY


def test_a_rate_that_may_be_nothing_has_no_latest_day() -> None:
    """Three sittings as unlike as can be: the soonest is told, the latest is not."""
    span = spans_to_go([300, 5, -40], 2000)
    assert span is not None
    assert math.isinf(span.latest)
    dates = by_sittings([300, 5, -40], 2000, 1, TODAY)
    assert dates is not None
    assert dates.latest is None


def test_sittings_a_week_make_dates() -> None:
    """35 sittings at two a week are a hundred and twenty days, give or take."""
    dates = by_sittings(RATES, 4000, 2, TODAY)
    assert dates is not None
    assert (dates.likely - TODAY).days == math.ceil(34.0426 * 3.5)
    for sittings in (0, -1, 1000, math.nan):
        with pytest.raises(CommandError, match="sittings a week"):
            by_sittings(RATES, 4000, sittings, TODAY)


def test_finishing_by_a_day_asks_its_share_of_every_week() -> None:
    """4,200 stitches in six weeks are 700 a week, 350 a sitting at two a week."""
    demand = demand_of(4200, date(2027, 1, 6), TODAY, 2)
    assert (demand.weeks, demand.a_week, demand.a_sitting) == (6, 700, 350)
    with pytest.raises(CommandError, match="not to come"):
        demand_of(4200, TODAY, TODAY, 2)


def test_days_without_stitches_count_as_none() -> None:
    """Two sittings of one day are added up, days off are 0, and a clock set wrong makes no future."""
    stitches = [(date(2026, 11, 20), 40.0), (date(2026, 11, 20), 2.0), (date(2026, 11, 23), 7.0)]
    assert day_totals([*stitches, (date(2027, 1, 1), 5.0)], TODAY) == [42, 0, 0, 7, 0, 0]
    assert day_totals([], TODAY) == []
