"""Ids of strokes are time-ordered UUIDs and never run backwards."""

import uuid

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.done.ids import LATEST_MS, Ids, compose, is_stroke_id, time_of
from stitchview.errors import LayerError

# RFC 9562, appendix A.6: the example of a version 7 UUID and the fields it is made of.
RFC_UUID = uuid.UUID("017F22E2-79B0-7CC3-98C4-DC0C0C07398F")
RFC_MS = 0x017F22E279B0
RFC_RAND_A = 0xCC3
RFC_RAND_B = 0b01 << 60 | 0x8C4DC0C0C07398F


def test_the_example_of_the_standard() -> None:
    """The fields of RFC 9562, appendix A.6, give its UUID."""
    made = compose(RFC_MS, RFC_RAND_A << 62 | RFC_RAND_B)
    assert uuid.UUID(bytes=made) == RFC_UUID
    assert time_of(RFC_UUID.bytes) == RFC_MS
    assert is_stroke_id(RFC_UUID.bytes)


@given(st.lists(st.integers(0, 2**45), min_size=1, max_size=60))
def test_ids_rise_whatever_the_clock_does(times: list[int]) -> None:
    """The clock may stand still, jump or be set back: every id is above the one before."""
    clock = iter(times)
    ids = Ids(clock=lambda: next(clock))
    made = [ids.next() for _ in times]
    assert made == sorted(set(made))
    assert all(uuid.UUID(bytes=each).version == 7 for each in made)
    assert all(uuid.UUID(bytes=each).variant == uuid.RFC_4122 for each in made)
    assert all(is_stroke_id(each) for each in made)


@given(st.integers(0, 2**46), st.integers(0, 2**74 - 1), st.integers(0, 2**46))
def test_ids_stand_above_those_in_the_file(ms: int, tail: int, now: int) -> None:
    """After the clock was set back between two evenings, new strokes still come after the old ones."""
    last = compose(ms, tail)
    ids = Ids(after=last, clock=lambda: now)
    made = [ids.next() for _ in range(3)]
    assert [last, *made] == sorted({last, *made})


def test_an_overflowing_tail_goes_on_with_the_next_millisecond() -> None:
    """When a millisecond has no ids left above the last one, the next millisecond is taken."""
    last = compose(1000, 2**74 - 1)
    assert time_of(Ids(after=last, clock=lambda: 1000).next()) == 1001


def test_times_of_the_clock_are_in_the_id() -> None:
    """An id tells when the stroke was made."""
    assert time_of(Ids(clock=lambda: 1_700_000_000_123).next()) == 1_700_000_000_123


def test_a_clock_wrong_by_millennia_is_refused() -> None:
    """A clock that no id can hold gets a sentence."""
    with pytest.raises(LayerError, match="clock"):
        Ids(clock=lambda: LATEST_MS).next()


@pytest.mark.parametrize(
    "value",
    [None, 5, "text", b"", bytes(16), b"\xff" * 16, uuid.UUID(int=4 << 76 | 2 << 62).bytes, bytes(17)],
)
def test_other_things_are_no_ids(value: object) -> None:
    """Random bytes, other UUIDs and other types are not taken for ids of strokes."""
    assert not is_stroke_id(value)
