"""Numbers on the rulers: counted as she counts, at the bold lines, and never one over another."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.canvas.rulermarks import counts_at_lines, labels, ticks
from stitchview.follow.numbering import Way, tens_lines

SIZES = st.integers(1, 4096)
WAYS = st.sampled_from(Way)


@given(SIZES, WAYS)
def test_every_line_has_its_count(size: int, way: Way) -> None:
    """Going along the ruler the count changes by one a square, except over a centre square."""
    counts = counts_at_lines(size, way).tolist()
    assert len(counts) == size + 1
    steps = [after - before for before, after in itertools.pairwise(counts)]
    wanted = {Way.ON: [1] * size, Way.BACK: [-1] * size}
    half = size // 2
    assert steps == wanted.get(way, [-1] * half + [0] * (size % 2) + [1] * half)
    assert min(counts) == 0


@given(SIZES, WAYS, st.floats(1 / 64, 160), st.floats(5, 90))
def test_numbers_never_touch(size: int, way: Way, pitch: float, room: float) -> None:
    """At any zoom two numbers stand at least their own length apart, and each is the count there.

    One at the chart's end is drawn half its length further in, and needs that much more.
    """
    shown = labels(size, way, pitch, room)
    counts = counts_at_lines(size, way)
    for one, other in itertools.pairwise(shown):
        ends = (one.line == 0) + (other.line == size)
        assert (other.line - one.line) * pitch >= room * (1 + ends / 2)
    for label in shown:
        assert label.number == counts[label.line] > 0
        assert label.number % 10 == 0 or label.line in (0, size)


@given(SIZES, WAYS, st.integers(1, 160))
def test_numbers_stand_at_the_lines_between_tens(size: int, way: Way, pitch: int) -> None:
    """Every number stands at a bold line or at the chart's end; where there is room, at each."""
    lines = set(tens_lines(size, way))
    shown = labels(size, way, pitch, 6)
    assert {label.line for label in shown} <= lines
    counts = counts_at_lines(size, way)
    inner = {line for line in lines - {0, size} if counts[line]}
    assert inner <= {label.line for label in shown}


def test_the_last_number_does_not_touch_the_one_before_it() -> None:
    """600 columns at 1 pixel each, numbers of 18 pixels: 580 makes room for 600."""
    assert [label.number for label in labels(600, Way.ON, 1, 18)][-2:] == [560, 600]


def test_both_ends_need_room_for_two_halves() -> None:
    """Counted from the centre, a tiny chart has one number where two would touch."""
    assert len(labels(9, Way.OUT, 1, 5)) == 1
    assert len(labels(9, Way.OUT, 1, 4.5)) == 2


@pytest.mark.parametrize(
    ("size", "way", "numbers"),
    [
        (45, Way.ON, {10: 10, 20: 20, 30: 30, 40: 40, 45: 45}),
        (45, Way.BACK, {0: 45, 5: 40, 15: 30, 25: 20, 35: 10}),
        (40, Way.OUT, {0: 20, 10: 10, 30: 10, 40: 20}),
        (43, Way.OUT, {1: 20, 11: 10, 32: 10, 42: 20}),
    ],
)
def test_small_charts_by_hand(size: int, way: Way, numbers: dict[int, int]) -> None:
    """The rulers of small charts, written out by hand; ends have a number where it finds room."""
    assert {label.line: label.number for label in labels(size, way, 10, 20)} == numbers


@given(SIZES, WAYS, st.floats(1 / 64, 160), st.data())
def test_ticks_are_never_too_close(size: int, way: Way, pitch: float, data: st.DataObject) -> None:
    """Ticks of single squares come when squares are large, those of fives and tens before."""
    first = data.draw(st.integers(0, size))
    last = data.draw(st.integers(first, size))
    counts = counts_at_lines(size, way)
    tens, fives, ones = (kind.tolist() for kind in ticks(counts, first, last, pitch, 5))
    assert set(tens) <= {line for line in range(first, last + 1) if counts[line] % 10 == 0}
    if 10 * pitch >= 5:
        assert tens == [line for line in range(first, last + 1) if counts[line] % 10 == 0]
    assert bool(fives) <= (5 * pitch >= 5)
    assert bool(ones) <= (pitch >= 5)
    assert not set(tens) & set(fives) | set(fives) & set(ones)
