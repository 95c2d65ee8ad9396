"""What is left of a thread, in all and in an area, against the marking shapes and plain counting."""

import json
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.codes import allot_codes
from stitchview.chart.csvkey import plain_entry
from stitchview.chart.model import Chart
from stitchview.done.change import DONE, FIRST_LEG, LATER, MISTAKE
from stitchview.done.marks import Marks, change_to
from stitchview.done.shapes import Takes, rectangle, thread_in
from stitchview.follow.threadwork import Left, ThreadWork

Busy = Callable[..., ThreadWork]
areas = st.builds(Area, st.integers(-5, 30), st.integers(-5, 30), st.integers(-1, 40), st.integers(-1, 40))
seeds = st.integers(0, 2**31)


@given(areas, seeds, st.integers(1, 4))
def test_what_is_left_in_an_area_is_what_marking_it_would_still_take(
    busy_work: Busy, area: Area, seed: int, number: int
) -> None:
    """Counted from the index by rows, and from the selection a marked rectangle makes."""
    work = busy_work(23, 19, 4, seed)
    marks = work.marks
    selection = thread_in(work.chart, area, number, Takes())
    states = (marks.squares.ravel(), *marks.families[1:])
    taken = [
        int((state[indices] != DONE).sum()) for state, indices in zip(states, selection.families, strict=True)
    ]
    assert work.left_in(area, number) == Left(*taken)
    by_thread = work.left_by_thread(area)
    assert by_thread[number].tolist() == taken
    assert by_thread[0].tolist() == [0, 0, 0, 0]
    assert by_thread.sum() == work.left_in(area).total


@given(areas, seeds, st.sampled_from([0.0, 0.5, 1.0]))
def test_counts_agree_with_counting_square_by_square(
    busy_work: Busy, area: Area, seed: int, share: float
) -> None:
    """Counted with the standard library's Counter, one square and one part stitch after the other."""
    work = busy_work(13, 11, 4, seed, share)
    chart, marks = work.chart, work.marks
    left: Counter[int] = Counter()
    there = 0
    for (row, column), number in np.ndenumerate(chart.squares):
        if number and area.holds(column, row):
            there += 1
            left[int(number)] += marks.squares[row, column] != DONE
    for n, number in enumerate(chart.parts.keys.tolist()):
        if area.holds(int(chart.parts.columns[n]), int(chart.parts.rows[n])):
            there += 1
            left[number] += marks.parts[n] != DONE
    assert work.left_by_thread(area)[:, :2].sum(axis=1).tolist() == [left[number] for number in range(5)]
    assert work.in_squares(area) == there


def test_counts_agree_with_the_verified_plate(shared: Path) -> None:
    """Per-sign counts of a real printed chart of 1886 against its verified truth file."""
    grid = json.loads((shared / "plates" / "plate-288.truth.json").read_text("utf-8"))["grid"]
    codes = sorted(set("".join(grid)))
    squares = np.array([[codes.index(code) + 1 for code in line] for line in grid], np.uint16)
    key = tuple(plain_entry(code, code) for code in allot_codes(len(codes)))
    work = ThreadWork(Marks(Chart(squares, key)))
    truth = Counter("".join(grid[10:20]))
    counted = work.left_by_thread(Area(0, 10, 72, 10))
    assert counted[:, 0].tolist() == [0, *(truth[code] for code in codes)]
    assert not counted[:, 1:].any()
    assert work.in_squares(Area(0, 10, 72, 10)) == truth.total()


@given(seeds, st.integers(1, 4))
def test_all_of_the_chart_is_the_largest_area(busy_work: Busy, seed: int, number: int) -> None:
    """In all is the same as in an area of everything."""
    work = busy_work(17, 21, 4, seed)
    assert work.left(number) == work.left_in(work.chart.area, number)
    assert work.left() == work.left_in(work.chart.area)
    assert work.left(number).total == work.marks.tally.of_key(number).left


@given(seeds, areas, st.integers(1, 4))
def test_squares_left_hold_part_stitches_too(busy_work: Busy, seed: int, area: Area, number: int) -> None:
    """A square with a part stitch left is a square with work left; counted one stitch at a time."""
    work = busy_work(13, 11, 4, seed)
    chart, marks = work.chart, work.marks
    there = set()
    for (row, column), key in np.ndenumerate(chart.squares):
        if key == number and marks.squares[row, column] != DONE:
            there.add((column, row))
    for n, key in enumerate(chart.parts.keys.tolist()):
        if key == number and marks.parts[n] != DONE:
            there.add((int(chart.parts.columns[n]), int(chart.parts.rows[n])))
    clipped = area.clipped(chart.area)
    rows, columns = np.nonzero(work.squares_left(area, number))
    squares = zip((columns + clipped.column).tolist(), (rows + clipped.row).tolist(), strict=True)
    assert set(squares) == {spot for spot in there if area.holds(*spot)}


def test_marking_is_seen_at_once(small_chart: Callable[[], Chart]) -> None:
    """The same work tells less after every mark, and nothing at the end."""
    marks = Marks(small_chart())
    work = ThreadWork(marks)
    before = work.left(1)
    assert before.squares
    assert before.parts
    change = change_to(marks, rectangle(marks.chart, Area(0, 0, 12, 4), Takes()), DONE)
    assert change is not None
    marks.apply(change)
    assert work.left(1) == work.left_in(Area(0, 0, 12, 10), 1) != before
    last = change_to(marks, rectangle(marks.chart, marks.chart.area, Takes()), DONE)
    assert last is not None
    marks.apply(last)
    assert work.left(1) == work.left() == Left()


def test_a_number_the_key_has_not_is_refused(small_chart: Callable[[], Chart]) -> None:
    """Key entries count from 1."""
    work = ThreadWork(Marks(small_chart()))
    for wrong in (0, -1, 5):
        with pytest.raises(ValueError, match="no entry"):
            work.left(wrong)
        with pytest.raises(ValueError, match="no entry"):
            work.left_in(work.chart.area, wrong)


@given(seeds, areas)
def test_what_waits_is_never_called_for(busy_work: Busy, seed: int, area: Area) -> None:
    """Later is left out of all that is next; first legs and mistakes are there to be worked."""
    work = busy_work(23, 19, 4, seed, 0.0)
    for state in (MISTAKE, FIRST_LEG, LATER):
        before = work.left_in(work.chart.area)
        change = change_to(work.marks, rectangle(work.chart, area, Takes()), state)
        if change is not None:
            work.marks.apply(change)
        waits = sum(int((states == LATER).sum()) for states in work.marks.families)
        assert work.left_in(work.chart.area).total == before.total - waits
        assert work.left().total == work.left_in(work.chart.area).total
        assert sum(work.left(number).total for number in work.numbers) == work.left().total
        assert not (work.crosses_left(work.chart.area) & (work.marks.squares == LATER)).any()
        for number in work.numbers:
            assert not (work.marks.squares.reshape(-1)[work.all_squares_left(number)] == LATER).any() or len(
                work.parts_left(work.chart.area, number)
            )


@given(areas, seeds)
def test_states_in_an_area_are_those_that_a_rectangle_would_take(
    busy_work: Busy, area: Area, seed: int
) -> None:
    """First legs, for later and mistakes, of every kind, against the selection of a marked rectangle."""
    work = busy_work(23, 19, 4, seed)
    marks, random = work.marks, np.random.default_rng(seed)
    for state in (FIRST_LEG, LATER, MISTAKE):
        some = Area(*random.integers(0, 12, 2).tolist(), *random.integers(1, 12, 2).tolist())
        change = change_to(marks, rectangle(work.chart, some.clipped(work.chart.area), Takes()), state)
        if change is not None:
            marks.apply(change)
    selection = rectangle(work.chart, area, Takes())
    flat = (marks.squares.ravel(), *marks.families[1:])
    taken = np.concatenate([each[at] for each, at in zip(flat, selection.families, strict=True)])
    told = work.states_in(area)
    seen = (told.stitches, told.done, told.first_legs, told.later, told.mistakes)
    assert seen == (len(taken), *(int((taken == each).sum()) for each in (DONE, FIRST_LEG, LATER, MISTAKE)))
