"""The last things: nothing that is left is missing from the list, and what hides comes first."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.ndimage import binary_fill_holes, label

from stitchview.chart.model import Chart, KeyEntry, Symbol
from stitchview.chart.stitches import PointKind
from stitchview.done.change import DONE, FIRST_LEG, LATER, MISTAKE, OPEN, STATES, Selection
from stitchview.done.leftout import CROSSES, POINTS, LeftOut
from stitchview.done.marks import Marks, change_to, noting
from stitchview.done.shapes import Takes, rectangle
from stitchview.follow.clothpitch import USUAL_PITCH
from stitchview.follow.hiddenholes import hidden_squares
from stitchview.follow.lastthings import MOST_LEFT, LastThing, LastThings, Step, last_things, leaving_out

CORNER = (0, 0)


def chart_of(squares: NDArray[np.uint16]) -> Chart:
    return Chart(squares, tuple(KeyEntry(code, Symbol(code), code) for code in "abcd"))


def marked(chart: Chart, squares: NDArray[np.uint8]) -> Marks:
    marks = Marks(chart)
    for state in range(1, STATES):
        change = change_to(marks, Selection(np.flatnonzero(squares == state)), state)
        if change is not None:
            marks.apply(change)
    return marks


def finish(marks: Marks, state: int = DONE) -> None:
    change = change_to(marks, rectangle(marks.chart, marks.chart.area, Takes()), state)
    if change is not None:
        marks.apply(change)


def seen(marks: Marks, place: tuple[int, int] = CORNER) -> LastThings:
    return last_things(marks, place, USUAL_PITCH)


def things_of(marks: Marks, place: tuple[int, int] = CORNER) -> tuple[LastThing, ...]:
    found = seen(marks, place)
    assert found.complete
    return found.things


def note(marks: Marks, *notes: LeftOut) -> None:
    marks.apply(noting(marks.chart, marks.notes.putting(*notes) or pytest.fail("nothing noted")))


@given(st.integers(0, 2**32), st.sampled_from([0.3, 0.6, 0.9, 0.97]))
def test_hidden_squares_are_those_that_scipy_fills(seed: int, share: float) -> None:
    """Empty squares shut in by worked ground are what `scipy.ndimage.binary_fill_holes` adds to it."""
    random = np.random.default_rng(seed)
    squares = random.integers(0, 4, (13, 17)).astype(np.uint16)
    states = np.where(random.random(squares.shape) < share, random.choice([DONE, FIRST_LEG, MISTAKE]), OPEN)
    marks = marked(chart_of(squares), (states * (squares > 0)).astype(np.uint8))
    worked = np.isin(marks.squares, (DONE, FIRST_LEG, MISTAKE))
    expected = binary_fill_holes(worked) & ~worked
    assert np.array_equal(hidden_squares(marks).reshape(squares.shape), expected)
    listed = {
        square for each in things_of(marks) if each.step is Step.HIDDEN for square in each.group.squares
    }
    holes = {(int(x), int(y)) for y, x in np.argwhere(expected & (squares > 0))}
    assert listed == holes


@given(st.integers(0, 2**32))
def test_everything_left_is_listed_once_in_joined_groups(seed: int) -> None:
    """All that is open, later, half or wrong is there, in the groups that `scipy.ndimage.label` finds."""
    random = np.random.default_rng(seed)
    squares = random.integers(0, 4, (11, 14)).astype(np.uint16)
    states = random.integers(0, STATES, squares.shape) * (squares > 0)
    marks = marked(chart_of(squares), states.astype(np.uint8))
    found = things_of(marks, (5, 5))
    listed = [square for each in found for square in each.group.squares]
    left = {(int(x), int(y)) for y, x in np.argwhere((squares > 0) & (marks.squares != DONE))}
    assert len(listed) == len(set(listed))
    assert set(listed) == left
    assert sum(each.group.stitches for each in found) == len(left) == seen(marks).left
    wrong = [each for each in found if each.step is Step.MISTAKES]
    assert sum(label((squares == number) & (marks.squares == MISTAKE))[1] for number in (1, 2, 3)) == len(
        wrong
    )
    for each in found:
        states_here = {int(marks.squares[row, column]) for column, row in each.group.squares}
        assert (states_here == {LATER}) == each.waits
        column, row = each.square
        assert each.mm == pytest.approx(np.hypot(column - 5, row - 5) * USUAL_PITCH.across_mm)
        assert all(
            np.hypot(x - 5, y - 5) >= np.hypot(column - 5, row - 5) - 1e-9 for x, y in each.group.squares
        )
    order = [(each.step, each.mm) for each in found]
    assert order == sorted(order)


def test_the_order_spares_what_rubs_off(small_chart: Callable[[], Chart]) -> None:
    """Crosses, back stitch, knots, metallics, beads: of a whole chart each step comes with all it has."""
    chart = small_chart()
    key = (*chart.key[:3], replace(chart.key[3], kind="metallic"))
    marks = Marks(replace(chart, key=key))
    found = seen(marks)
    steps = [each.step for each in found.things]
    assert steps == sorted(steps)
    assert {Step.CROSSES, Step.BACK_STITCH, Step.BEADS} <= set(steps)
    metallic = [each for each in found.things if each.number == 4 and each.step is not Step.BEADS]
    assert all(each.step is Step.METALLICS for each in metallic)
    assert sum(each.stitches for each in found.steps) == marks.tally.total().stitches
    finish(marks)
    told = seen(marks)
    assert told.finished
    assert told.things == ()
    assert [(each.done, each.left) for each in told.steps] == [(each.stitches, 0) for each in told.steps]


def test_what_is_left_out_is_listed_no_more_and_the_piece_is_finished(
    small_chart: Callable[[], Chart],
) -> None:
    """Thing by thing left out, each takes only itself; after the last it is finished; undo brings back."""
    marks = Marks(small_chart())
    finish(marks, LATER)
    found = things_of(marks)
    assert all(each.waits for each in found)
    total = seen(marks).left
    changes = []
    for number, thing in enumerate(found):
        assert not seen(marks).finished
        before = seen(marks).left
        notes = marks.notes.putting(*leaving_out(marks.chart, [thing]))
        assert notes is not None
        changes.append(noting(marks.chart, notes))
        marks.apply(changes[-1])
        after = seen(marks)
        assert before - after.left == thing.group.stitches
        assert len(after.things) == len(found) - number - 1
    told = seen(marks)
    assert told.finished
    assert sum(each.left_out for each in told.steps) == total
    for change in reversed(changes):
        marks.apply(change.inverse())
    assert seen(marks).left == total
    assert things_of(marks) == found


def test_beads_are_counted_by_what_is_wanted_of_them(small_chart: Callable[[], Chart]) -> None:
    """All, those of an area, or none: the count to buy is what is wanted without what is sewn on."""
    chart = small_chart()
    marks = Marks(chart)
    beads = np.flatnonzero(chart.points.kinds == PointKind.BEAD)
    numbers = np.unique(chart.points.keys[beads])
    for number in numbers.tolist():
        mine = int((chart.points.keys[beads] == number).sum())
        told = next(each for each in seen(marks).beads if each.number == number)
        assert (told.wanted, told.sewn_on, told.left_out, told.to_come) == (mine, 0, 0, mine)
    at = int(beads[0])
    number, code = int(chart.points.keys[at]), chart.key[int(chart.points.keys[at]) - 1].code
    home = int(chart.points.x[at]) // 2, int(chart.points.y[at]) // 2
    before = next(each for each in seen(marks).beads if each.number == number)
    note(marks, LeftOut(POINTS, code, *home, 1, 1))
    told = next(each for each in seen(marks).beads if each.number == number)
    assert told.left_out >= 1
    assert told.wanted + told.left_out == before.wanted
    note(marks, LeftOut(POINTS, code, 0, 0, chart.columns + 1, chart.rows + 1))
    none = next(each for each in seen(marks).beads if each.number == number)
    assert (none.wanted, none.to_come) == (0, 0)


def test_a_thread_that_the_key_has_lost_leaves_nothing_out(small_chart: Callable[[], Chart]) -> None:
    """Nor does an area off the chart."""
    marks = Marks(small_chart())
    total = seen(marks).left
    note(marks, LeftOut(CROSSES, "lost", 0, 0, 50, 50), LeftOut(CROSSES, "a", -60, -60, 50, 50))
    assert seen(marks).left == total


def test_much_is_no_last_thing() -> None:
    """With thousands to come only mistakes are listed; what is left out counts no more."""
    chart = chart_of(np.ones((100, 100), np.uint16))
    marks = Marks(chart)
    found = seen(marks)
    assert not found.complete
    assert found.things == ()
    assert found.left == 10_000 > MOST_LEFT
    assert found.steps[0].left == 10_000
    change = change_to(marks, Selection(np.array([7, 8, 9_000])), MISTAKE)
    assert change is not None
    marks.apply(change)
    wrong = seen(marks).things
    assert [(each.step, each.square) for each in wrong] == [(Step.MISTAKES, (7, 0)), (Step.MISTAKES, (0, 90))]
    marks.apply(change.inverse())
    note(marks, LeftOut(CROSSES, "a", 0, 0, 100, 60))
    again = seen(marks)
    assert again.complete
    assert (again.left, again.steps[0].left_out, len(again.things)) == (4_000, 6_000, 1)


def test_a_quarter_left_keeps_a_hole_open(small_chart: Callable[[], Chart]) -> None:
    """A square with part stitches is closed ground only when all of them are done."""
    chart = small_chart()
    marks = Marks(chart)
    finish(marks)
    assert not any(each.step is Step.HIDDEN for each in things_of(marks))
    change = change_to(marks, Selection(parts=np.array([0])), OPEN)
    assert change is not None
    marks.apply(change)
    (thing,) = things_of(marks)
    assert thing.group.stitches == 1
    assert thing.square == (int(chart.parts.columns[0]), int(chart.parts.rows[0]))


def test_first_legs_are_listed_by_themselves(thread_chart: Callable[[str], Chart]) -> None:
    """Beside what is open, as to be crossed; and since they can be seen they are no hidden holes."""
    marks = Marks(thread_chart("aaaaa aaaaa aaaaa"))
    finish(marks)
    for state, squares in ((OPEN, [7]), (FIRST_LEG, [6]), (OPEN, [14])):
        clear = change_to(marks, Selection(np.array(squares)), OPEN)
        assert clear is not None
        marks.apply(clear)
        if state != OPEN:
            change = change_to(marks, Selection(np.array(squares)), state)
            assert change is not None
            marks.apply(change)
    told = [(each.step, each.legs, each.group.squares) for each in things_of(marks)]
    assert told == [
        (Step.HIDDEN, False, ((2, 1),)),
        (Step.CROSSES, True, ((1, 1),)),
        (Step.CROSSES, False, ((4, 2),)),
    ]
