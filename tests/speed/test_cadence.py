"""Both sides of a comparison get the same number of counted frames, in the order the cadence says."""

import pytest

from tests.speed.cadence import TURN, WARM, Cadence, Stopwatch


def frames_of(cadence: Cadence, count: int) -> str:
    """The frames in the order they came: F of the floor, r to get ready, m measured."""
    seen: list[str] = []
    watch = Stopwatch(cadence, lambda: seen.append("F"))
    numbers: list[int] = []

    def frame(number: int) -> None:
        seen.append("m")
        numbers.append(number)

    timing = watch.timing(frame, count, lambda: seen.append("r"))
    assert numbers == list(range(count))
    assert len(watch.floors) == count
    assert 0 <= timing.p50 <= timing.p95 <= timing.max
    return "".join(seen)


def test_steady_frames_come_back_to_back() -> None:
    """The floor runs warm before and after, and the frames that count follow those that get ready."""
    half = "F" * (WARM + 4)
    assert frames_of(Cadence.STEADY, 8) == half + "r" + "m" * 8 + half


@pytest.mark.parametrize(("cadence", "turn"), [(Cadence.EMPTIED, 1), (Cadence.TURNS, TURN)])
def test_frames_in_turn_alternate(cadence: Cadence, turn: int) -> None:
    """With emptied caches floor and canvas take turns frame by frame, else five by five."""
    assert frames_of(cadence, 10) == ("F" * turn + "m" * turn) * (10 // turn)
