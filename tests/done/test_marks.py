"""Marks alter through one door, and exactly as asked."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.change import (
    DONE,
    FAMILIES,
    FIRST_LEG,
    LATER,
    MISTAKE,
    OPEN,
    STATES,
    Change,
    Selection,
)
from stitchview.done.marks import Marks, area_of, change_to


def everything(chart: Chart) -> Selection:
    """Every square, also those without a stitch, and all other stitches."""
    counts = (chart.squares.size, len(chart.parts), len(chart.lines), len(chart.points))
    return Selection(*(np.arange(count) for count in counts))


def test_nothing_is_done_on_a_new_chart(small_chart: Callable[[], Chart]) -> None:
    """A fresh piece has all its stitches before it."""
    marks = Marks(small_chart())
    assert all((states == OPEN).all() for states in marks.families)
    assert marks.tally.total().done == 0


def test_a_square_without_a_stitch_cannot_be_marked(small_chart: Callable[[], Chart]) -> None:
    """Marking the whole chart leaves its empty squares empty."""
    chart = small_chart()
    marks = Marks(chart)
    change = change_to(marks, everything(chart), DONE)
    assert change is not None
    marks.apply(change)
    assert np.array_equal(marks.squares == DONE, chart.squares != 0)
    assert marks.tally.total().left == 0
    bare = Selection(np.flatnonzero(chart.squares.ravel() == 0))
    assert change_to(marks, bare, DONE) is None
    assert change_to(marks, bare, OPEN) is None


def test_what_is_done_already_is_no_part_of_a_change(small_chart: Callable[[], Chart]) -> None:
    """Sweeping over stitches that are done makes no stroke of them."""
    chart = small_chart()
    marks = Marks(chart)
    first, both = (np.flatnonzero(chart.squares.ravel())[:count] for count in (3, 5))
    marks.apply(change_to(marks, Selection(first), DONE) or pytest.fail("nothing altered"))
    change = change_to(marks, Selection(both), DONE)
    assert change is not None
    assert change.squares.indices.tolist() == both[3:].tolist()
    assert change.squares.old.tolist() == [OPEN, OPEN]
    assert change.squares.new.tolist() == [DONE, DONE]
    assert change_to(marks, Selection(first), DONE) is None


def test_nobody_else_can_alter_the_marks(small_chart: Callable[[], Chart]) -> None:
    """The arrays that everybody may read cannot be written."""
    marks = Marks(small_chart())
    for states in marks.families:
        with pytest.raises(ValueError, match="read-only"):
            states[...] = DONE


@given(st.data())
def test_a_change_and_its_inverse_are_nothing(small_chart: Callable[[], Chart], data: st.DataObject) -> None:
    """Whatever was marked and unpicked before, the way back from a change leads where it came from."""
    chart = small_chart()
    marks = Marks(chart)
    whole = everything(chart)
    for _ in range(data.draw(st.integers(1, 4))):
        chosen = [
            np.array(sorted(data.draw(st.sets(st.sampled_from(range(len(family)))))), np.int64)
            for family in whole.families
        ]
        change = change_to(marks, Selection(*chosen), data.draw(st.integers(0, STATES - 1)))
        if change is None:
            continue
        before, counted = [states.copy() for states in marks.families], marks.tally.counts.copy()
        marks.apply(change)
        assert any((a != b).any() for a, b in zip(before, marks.families, strict=True))
        marks.apply(change.inverse())
        assert all(np.array_equal(a, b) for a, b in zip(before, marks.families, strict=True))
        assert np.array_equal(marks.tally.counts, counted)
        marks.apply(change)


def test_the_area_of_a_change_bounds_what_it_touches(small_chart: Callable[[], Chart]) -> None:
    """A line along the edge between squares touches the squares on both of its sides."""
    chart = small_chart()
    assert area_of(chart, Selection()).empty
    assert area_of(chart, Selection(squares=np.array([1 * 12 + 3, 4 * 12 + 1]))) == Area(1, 1, 3, 4)
    # Line 0 runs from (2, 2) to (22, 2) half squares: along the upper edge of row 1.
    assert area_of(chart, Selection(lines=np.array([0]))) == Area(0, 0, 12, 2)
    # Line 2 runs from (7, 7) to (12, 9): from the middle of square (3, 3) to an edge of row 4.
    assert area_of(chart, Selection(lines=np.array([2]))) == Area(3, 3, 4, 2)
    # Point 0 sits on the edge above the middle of a square; point 2 on the chart's last corner.
    assert area_of(chart, Selection(points=np.array([0]))) == Area(5, 5, 1, 2)
    assert area_of(chart, Selection(points=np.array([2]))) == Area(11, 9, 1, 1)
    assert area_of(chart, Selection(parts=np.array([0, 11]))) == Area(2, 2, 4, 4)


def test_selections_join_and_sort(small_chart: Callable[[], Chart]) -> None:
    """Two selections together hold each stitch once, in order."""
    one = Selection.of(squares=np.array([7, 3, 3]), lines=np.array([1]))
    both = one.joined(Selection.of(squares=np.array([5, 7])))
    assert both.squares.tolist() == [3, 5, 7]
    assert both.lines.tolist() == [1]
    assert (both.count, both.empty, Selection().empty) == (4, False, True)
    assert len(both.families) == len(FAMILIES)


def test_only_whole_crosses_have_a_first_leg(small_chart: Callable[[], Chart]) -> None:
    """Of everything swept over, only the squares become first legs; the counts tell each state by itself."""
    chart = small_chart()
    marks = Marks(chart)
    change = change_to(marks, everything(chart), FIRST_LEG)
    assert change is not None
    marks.apply(change)
    crosses = int((chart.squares != 0).sum())
    assert (marks.squares[chart.squares != 0] == FIRST_LEG).all()
    assert not any(states.any() for states in marks.families[1:])
    assert marks.tally.total().first_legs == crosses
    assert marks.tally.total().worked == crosses / 2
    assert change_to(marks, Selection(lines=np.array([0])), FIRST_LEG) is None


@pytest.mark.parametrize(
    ("hand", "kept"),
    [
        (OPEN, ()),
        (DONE, ()),
        (MISTAKE, ()),
        (FIRST_LEG, (DONE,)),
        (LATER, (DONE, FIRST_LEG, MISTAKE)),
    ],
)
def test_what_a_hand_leaves_as_it_is(
    small_chart: Callable[[], Chart], hand: int, kept: tuple[int, ...]
) -> None:
    """First legs make no halves of whole crosses, and only what is open is left for later."""
    chart = small_chart()
    marks = Marks(chart)
    stitched = np.flatnonzero(chart.squares)[:STATES]
    for at, state in zip(stitched, range(STATES), strict=True):
        marks.apply(change_to(marks, Selection(np.array([at])), state) or Change(chart.area))
    assert marks.squares.reshape(-1)[stitched].tolist() == list(range(STATES))
    change = change_to(marks, Selection(stitched), hand)
    assert change is not None
    marks.apply(change)
    expected = [state if state in kept else hand for state in range(STATES)]
    assert marks.squares.reshape(-1)[stitched].tolist() == expected
    marks.apply(change.inverse())
    assert marks.squares.reshape(-1)[stitched].tolist() == list(range(STATES))
