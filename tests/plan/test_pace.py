"""Weekdays, weeks and threads are told from the days of sittings, across years and changed clocks."""

import shutil
import subprocess
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.done.ids import compose
from stitchview.done.sittings import Sitting, day_of
from stitchview.plan.pace import by_week, by_weekday, monday_of, most_threads, week_name

DAYS = st.dates(date(1970, 1, 5), date(2099, 12, 31))


@pytest.mark.parametrize(
    ("day", "week"),
    [
        (date(2005, 1, 1), "2004-W53"),
        (date(2005, 1, 2), "2004-W53"),
        (date(2005, 12, 31), "2005-W52"),
        (date(2007, 1, 1), "2007-W01"),
        (date(2007, 12, 30), "2007-W52"),
        (date(2008, 12, 28), "2008-W52"),
        (date(2008, 12, 29), "2009-W01"),
        (date(2010, 1, 3), "2009-W53"),
        (date(2026, 12, 31), "2026-W53"),
        (date(2027, 1, 3), "2026-W53"),
    ],
)
def test_weeks_of_the_standard(day: date, week: str) -> None:
    """The well-known days around New Year (ISO 8601 week dates; the table from memory of the standard)."""
    assert week_name(day) == week


def test_weeks_agree_with_another_program() -> None:
    """GNU date counts the same weeks (%G-W%V) on four hundred days, also where clocks are changed."""
    program = shutil.which("date")
    if program is None:
        pytest.skip("there is no program called date here")
    days = [date(2024, 12, 1) + timedelta(days=number * 3) for number in range(400)]
    told = "".join(f"{day.isoformat()}\n" for day in days)
    # Some programs called date read no list of days.
    found = subprocess.run(
        [program, "-u", "-f", "-", "+%G-W%V"], input=told, capture_output=True, text=True, check=False
    )
    if found.returncode:
        pytest.skip("the program called date here reads no lists of days")
    assert [week_name(day) for day in days] == found.stdout.split()


@pytest.mark.parametrize(
    "zone", ["Europe/Amsterdam", "America/New_York", "Australia/Lord_Howe", "Asia/Kolkata"]
)
def test_a_sitting_counts_for_the_week_on_her_own_clock(zone: str) -> None:
    """Every hour of the two weeks around each change of the clock: day and week are those on the wall."""
    here = ZoneInfo(zone)
    for change in (datetime(2026, 3, 8), datetime(2026, 3, 29), datetime(2026, 4, 5), datetime(2026, 10, 25)):
        start = change.replace(tzinfo=UTC) - timedelta(days=7)
        for hour in range(14 * 24):
            ms = int((start + timedelta(hours=hour)).timestamp() * 1000)
            day = day_of(Sitting(compose(ms, 0), compose(ms, 0), 1, 0), here)
            wall = datetime.fromtimestamp(ms / 1000, UTC).astimezone(here)
            assert day == wall.date()
            assert week_name(day) == wall.strftime("%G-W%V")
            assert monday_of(day).strftime("%u") == "1"


@given(st.lists(st.tuples(DAYS, st.integers(-50, 500).map(float)), min_size=1, max_size=12))
def test_all_stitches_are_in_one_week_and_on_one_weekday(sittings: list[tuple[date, float]]) -> None:
    """By plain counting: no stitch is lost, weeks without any are there too, Mondays follow one another."""
    weeks, days = by_week(sittings), by_weekday(sittings)
    total = sum(stitches for _, stitches in sittings)
    assert sum(stitches for _, _, stitches in weeks) == total
    assert sum(each.stitches for each in days) == total
    assert sum(each.sittings for each in days) == len(sittings)
    assert {name for name, _, _ in weeks} >= {day.strftime("%G-W%V") for day, _ in sittings}
    assert len(weeks) == len({name for name, _, _ in weeks})
    for (_, one, _), (_, other, _) in pairwise(weeks):
        assert (other - one).days == 7
    for number, each in enumerate(days):
        assert each.stitches == sum(count for day, count in sittings if day.isoweekday() == number + 1)


def test_nothing_stitched_has_no_weeks() -> None:
    """No sitting, no week; seven weekdays without a stitch, and no mean of nothing."""
    assert by_week([]) == ()
    assert [each.mean for each in by_weekday([])] == [0.0] * 7


def test_the_threads_most_used_come_first() -> None:
    """Of equal ones the key's order counts; threads only unpicked are none."""
    assert most_threads(np.array([0.0, 5.5, -3, 9, 5.5]), 3) == ((3, 9.0), (1, 5.5), (4, 5.5))
    assert most_threads(np.array([0.0, -1]), 3) == ()
