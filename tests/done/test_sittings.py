"""Sittings told from strokes: gaps end them, pauses are taken out, midnight does not split them."""

from datetime import UTC, date, datetime
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.done.ids import compose
from stitchview.done.sittings import MINUTE_MS, Pauses, day_of, moment, sittings_of
from stitchview.errors import CommandError

EVENING = int(datetime(2026, 11, 20, 20, 0, tzinfo=UTC).timestamp() * 1000)


def at(*minutes: float) -> list[bytes]:
    """Ids of strokes made so many minutes after eight in the evening."""
    return [compose(EVENING + round(each * MINUTE_MS), number) for number, each in enumerate(minutes)]


def test_a_long_gap_ends_a_sitting() -> None:
    """Two evenings are two sittings, an hour's supper ends one too, and twenty minutes do not."""
    found = sittings_of(at(0, 1, 3, 23, 24, 90, 91, 24 * 60))
    assert [each.strokes for each in found] == [5, 2, 1]
    assert [round(each.minutes, 6) for each in found] == [4, 1, 0]
    assert (found[0].began_ms, found[0].ended_ms) == (EVENING, EVENING + 24 * MINUTE_MS)


def test_the_pauses_are_hers_to_set() -> None:
    """With other minutes the same strokes are other sittings."""
    strokes = at(0, 4, 14, 30)
    assert [each.strokes for each in sittings_of(strokes, Pauses(gap=10, idle=5))] == [3, 1]
    assert [each.minutes for each in sittings_of(strokes, Pauses(gap=60, idle=30))] == [30]


@pytest.mark.parametrize(("gap", "idle"), [(0, 0), (5, 6), (-1, -2), (10, 0), (2000, 5), (float("nan"), 5)])
def test_pauses_that_make_no_sense_are_refused(gap: float, idle: float) -> None:
    """One sentence says what they can be."""
    with pytest.raises(CommandError, match="A sitting cannot end after"):
        Pauses(gap, idle)


@given(st.lists(st.integers(0, 3_000_000), max_size=60))
def test_every_stroke_lies_in_one_sitting(quiet: list[int]) -> None:
    """Counted by hand: strokes, gaps and work of all sittings are those of the evening."""
    ms, ids = EVENING, []
    for number, each in enumerate(quiet):
        ms += each
        ids.append(compose(ms, number))
    pauses = Pauses(gap=20, idle=5)
    found = sittings_of(ids, pauses)
    assert sum(each.strokes for each in found) == len(ids)
    assert len(found) == (1 + sum(each > 20 * MINUTE_MS for each in quiet[1:]) if quiet else 0)
    assert sum(each.work_ms for each in found) == sum(each for each in quiet[1:] if each <= 5 * MINUTE_MS)
    assert [each.first for each in found] == sorted(each.first for each in found)
    assert all(one.ended_ms < other.began_ms for one, other in pairwise(found))


def test_a_sitting_past_midnight_belongs_to_the_day_it_began() -> None:
    """Begun at 23:50 in Amsterdam, it is the 20th's, whatever day it is in London or at its end."""
    zone = ZoneInfo("Europe/Amsterdam")
    began = int(datetime(2026, 11, 20, 23, 50, tzinfo=zone).timestamp() * 1000)
    (sitting,) = sittings_of([compose(began, 0), compose(began + 30 * MINUTE_MS, 1)])
    assert day_of(sitting, zone) == date(2026, 11, 20)
    assert moment(sitting.ended_ms, zone).date() == date(2026, 11, 21)


@pytest.mark.parametrize(("day", "hours"), [(date(2026, 3, 29), 23), (date(2026, 10, 25), 25)])
def test_the_nights_when_the_clock_is_changed(day: date, hours: int) -> None:
    """Summer time begins and ends in midst of a sitting: its minutes are those that went by (zoneinfo)."""
    zone = ZoneInfo("Europe/Amsterdam")
    midnight = datetime(day.year, day.month, day.day, tzinfo=zone)
    next_midnight = datetime(day.year, day.month, day.day + 1, tzinfo=zone)
    begin, end = (int(each.timestamp() * 1000) for each in (midnight, next_midnight))
    assert end - begin == hours * 60 * MINUTE_MS
    strokes = [compose(ms, number) for number, ms in enumerate(range(begin, end, 4 * MINUTE_MS))]
    (sitting,) = sittings_of(strokes)
    assert sitting.minutes == hours * 60 - 4
    assert day_of(sitting, zone) == day
