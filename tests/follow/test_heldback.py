"""Threads held back: left out of what is next until they are released, and listed for the end."""

from collections.abc import Callable, Collection
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.chart.stitches import Lines, Parts, Points
from stitchview.done.change import DONE
from stitchview.done.marks import Marks, change_to, noting
from stitchview.done.notebook import Notes
from stitchview.done.notes import HeldBack
from stitchview.done.shapes import Takes, rectangle
from stitchview.follow.blocks import Blocks, BlockState
from stitchview.follow.clothpitch import USUAL_PITCH
from stitchview.follow.course import Course
from stitchview.follow.heldback import StillHeld, held_numbers, holding_back, still_held, work_that_is_next
from stitchview.follow.nearest import following, nearest, preceding
from stitchview.follow.numbering import Numbering
from stitchview.follow.runs import Going, runs_left
from stitchview.follow.threadwork import ThreadWork

Busy = Callable[..., ThreadWork]
Drawn = Callable[[str], Chart]

seeds = st.integers(0, 2**31)
held = st.sets(st.integers(1, 4))
areas = st.builds(Area, st.integers(-2, 20), st.integers(-2, 18), st.integers(1, 20), st.integers(1, 20))
places = st.tuples(st.integers(0, 22), st.integers(0, 18))


def without(work: ThreadWork, numbers: Collection[int]) -> ThreadWork:
    """The work on a chart from which all stitches of some threads were taken out, and their marks."""
    chart, marks = work.chart, work.marks
    out = np.isin(chart.squares, list(numbers))
    kept = [~np.isin(each.keys, list(numbers)) for each in (chart.parts, chart.lines, chart.points)]
    parts, lines, points = chart.parts, chart.lines, chart.points
    part, line, point = kept
    bare = replace(
        chart,
        squares=np.where(out, np.uint16(0), chart.squares),
        parts=Parts(parts.columns[part], parts.rows[part], parts.shapes[part], parts.keys[part]),
        lines=Lines(
            lines.x1[line],
            lines.y1[line],
            lines.x2[line],
            lines.y2[line],
            lines.kinds[line],
            lines.keys[line],
        ),
        points=Points(points.x[point], points.y[point], points.kinds[point], points.keys[point]),
    )
    squares = np.where(out, np.uint8(0), marks.squares)
    return ThreadWork(Marks(bare, (squares, marks.parts[part], marks.lines[line], marks.points[point])))


@given(seeds, held, areas)
def test_what_is_left_is_as_if_they_were_not_there(
    busy_work: Busy, seed: int, numbers: set[int], area: Area
) -> None:
    """Counted in all, in areas and by thread, as on a chart without their stitches."""
    work = busy_work(23, 19, 4, seed)
    left_out, bare = work.leaving_out(numbers), without(work, numbers)
    assert left_out.left() == bare.left()
    assert left_out.left_in(area) == bare.left_in(area)
    assert np.array_equal(left_out.left_by_thread(area), bare.left_by_thread(area))
    assert np.array_equal(left_out.squares_left(area), bare.squares_left(area))
    assert left_out.numbers == tuple(number for number in range(1, 5) if number not in numbers)
    for number in range(1, 5):
        assert left_out.left_in(area, number) == work.left_in(area, number), "asked for by itself it is there"
        assert left_out.left(number) == work.left(number)
    assert work.left() == work.left_in(work.chart.area), "the work it was made from is as it was"


@given(seeds, held, places)
def test_nearest_and_next_pass_them_over(
    busy_work: Busy, seed: int, numbers: set[int], place: tuple[int, int]
) -> None:
    """Going to whatever is next goes where it would if they were not on the chart."""
    work = busy_work(23, 19, 4, seed, 0.9)
    left_out, bare = work.leaving_out(numbers), without(work, numbers)
    for going in (nearest, following, preceding):
        mine, theirs = going(left_out, None, place, USUAL_PITCH), going(bare, None, place, USUAL_PITCH)
        assert (mine is None) == (theirs is None)
        if mine is not None and theirs is not None:
            assert (mine.family, mine.column, mine.row, mine.mm) == (
                theirs.family,
                theirs.column,
                theirs.row,
                theirs.mm,
            )


@given(seeds, held, areas, st.sampled_from(Going), st.booleans())
def test_runs_are_called_without_them(
    busy_work: Busy, seed: int, numbers: set[int], area: Area, going: Going, down: bool
) -> None:
    """The call-out of all threads leaves them out; named, they are called."""
    work = busy_work(23, 19, 4, seed)
    left_out, bare = work.leaving_out(numbers), without(work, numbers)
    mine, theirs = (runs_left(each, area, None, going, Course(down)) for each in (left_out, bare))
    assert [mine[at] for at in range(len(mine))] == [theirs[at] for at in range(len(theirs))]
    for number in numbers:
        named, plain = (runs_left(each, area, [number], going, Course(down)) for each in (left_out, work))
        assert [named[at] for at in range(len(named))] == [plain[at] for at in range(len(plain))]


@given(seeds, held, st.sampled_from(Numbering), areas)
def test_blocks_are_finished_without_them(
    busy_work: Busy, seed: int, numbers: set[int], numbering: Numbering, area: Area
) -> None:
    """Blocks count, stand and need threads as on a chart without them, also after marking."""
    work = busy_work(23, 19, 4, seed)
    mine, theirs = Blocks(work.leaving_out(numbers), numbering), Blocks(without(work, numbers), numbering)
    change = change_to(work.marks, rectangle(work.chart, area, Takes()), DONE)
    for _ in range(2):
        assert np.array_equal(mine.left, theirs.left)
        assert np.array_equal(mine.stitches, theirs.stitches)
        assert np.array_equal(mine.states, theirs.states)
        every = [(across, down) for across in range(mine.grid.across) for down in range(mine.grid.down)]
        assert mine.threads_needed(every) == theirs.threads_needed(every)
        assert mine.nearest((5, 5), USUAL_PITCH) == theirs.nearest((5, 5), USUAL_PITCH)
        if change is not None:
            work.marks.apply(change)
            mine.changed(change)
            theirs = Blocks(without(work, numbers), numbering)


def test_a_block_of_held_back_stitches_only_is_bare(thread_chart: Drawn) -> None:
    """It is nothing to go to now; released, it is untouched."""
    work = ThreadWork(Marks(thread_chart("aaaaaaaaaabbbbbbbbbb")))
    blocks = Blocks(work.leaving_out([2]), Numbering.TOP_LEFT)
    assert blocks.states.tolist() == [[BlockState.UNTOUCHED, BlockState.BARE]]
    assert Blocks(work, Numbering.TOP_LEFT).states.tolist() == [[BlockState.UNTOUCHED] * 2]


def chart_with_metallic(thread_chart: Drawn) -> Chart:
    """A chart whose second thread the chart itself holds back."""
    chart = thread_chart("aab\nabb\nccd")
    key = (chart.key[0], replace(chart.key[1], held_back=True), *chart.key[2:])
    return replace(chart, key=key)


def test_her_choice_goes_before_the_charts(thread_chart: Drawn) -> None:
    """What the chart holds back she can release, and hold back what it does not."""
    chart, notes = chart_with_metallic(thread_chart), Notes()
    assert held_numbers(chart, notes) == {2}
    assert holding_back(chart, notes, 2, True) is None
    assert holding_back(chart, notes, 1, False) is None
    for number, is_held, expected in ((2, False, set[int]()), (4, True, {4}), (2, True, {2, 4})):
        change = holding_back(chart, notes, number, is_held)
        assert change is not None
        notes = notes.after(change)
        assert held_numbers(chart, notes) == expected
    assert notes.held_back == (HeldBack("b", True), HeldBack("d", True))
    with pytest.raises(ValueError, match="no entry"):
        holding_back(chart, notes, 5, True)


def test_a_choice_about_a_thread_that_the_key_lost_does_no_harm(thread_chart: Drawn) -> None:
    """It waits until the thread is back."""
    chart = chart_with_metallic(thread_chart)
    notes = Notes.of([HeldBack("q", True)])
    assert held_numbers(chart, notes) == {2}
    assert held_numbers(replace(chart, key=(replace(chart.key[0], code="q"), *chart.key[1:])), notes) == {
        1,
        2,
    }


def test_the_list_for_the_end(thread_chart: Drawn) -> None:
    """What is still held back, with how much is left of it; what is finished is not on the list."""
    chart = chart_with_metallic(thread_chart)
    marks = Marks(chart)
    work = ThreadWork(marks)
    assert [(each.number, each.left.total) for each in still_held(work)] == [(2, 3)]
    change = holding_back(chart, marks.notes, 3, True)
    assert change is not None
    marks.apply(noting(chart, change))
    assert [each.number for each in still_held(work)] == [2, 3]
    marked = change_to(marks, rectangle(chart, Area(1, 1, 2, 1), Takes()), DONE)
    assert marked is not None
    marks.apply(marked)
    assert still_held(work) == (StillHeld(2, work.left(2)), StillHeld(3, work.left(3)))
    assert work.left(2).squares == 1
    assert work_that_is_next(work).numbers == (1, 4)
    assert nearest(work_that_is_next(work), None, (2, 0), USUAL_PITCH) == nearest(
        work, 1, (2, 0), USUAL_PITCH
    )
    last = change_to(marks, rectangle(chart, chart.area, Takes()), DONE)
    assert last is not None
    marks.apply(last)
    assert still_held(work) == ()


def test_with_all_threads_held_back_nothing_is_next(thread_chart: Drawn) -> None:
    """There is nothing to go to, to call out or to have at hand until she releases one."""
    work = ThreadWork(Marks(thread_chart("ab\ncd"))).leaving_out([1, 2, 3, 4])
    assert work.left().total == 0
    assert work.numbers == ()
    assert nearest(work, None, (0, 0), USUAL_PITCH) is None
    assert len(runs_left(work, work.chart.area, None, Going.ON)) == 0
    assert Blocks(work, Numbering.CENTRE).nearest((0, 0), USUAL_PITCH) is None
    with pytest.raises(ValueError, match="no entry"):
        work.leaving_out([5])
    assert work.leaving_out([]).left().total == 4
