"""Parked threads: which hang where, which lies nearest, and which are taken up by stitching on."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.change import DONE, OPEN, Change
from stitchview.done.marks import Marks, change_to
from stitchview.done.notebook import Notes
from stitchview.done.notes import Parked
from stitchview.done.shapes import Takes, rectangle
from stitchview.errors import CommandError
from stitchview.follow.clothpitch import Pitch
from stitchview.follow.parking import (
    has_stitch,
    number_of,
    parking,
    stray_words,
    strays,
    unparked_by,
)
from stitchview.follow.threadwork import ThreadWork

spatial = pytest.importorskip("scipy.spatial")

Busy = Callable[..., ThreadWork]
Drawn = Callable[[str], Chart]

seeds = st.integers(0, 2**31)
spots = st.tuples(st.integers(-2, 24), st.integers(-2, 20))
areas = st.builds(Area, st.integers(-2, 20), st.integers(-2, 18), st.integers(1, 9), st.integers(1, 9))
codes = st.sampled_from("abcdz")
hung = st.lists(st.builds(Parked, codes, st.integers(-2, 24), st.integers(-2, 20)), max_size=30)
pitches = st.builds(Pitch, st.floats(0.5, 3), st.floats(0.5, 3))

DRAWING = "aab.\nbaab\n..ab\nb..a"


def touched(x: int, y: int) -> set[tuple[int, int]]:
    """The squares (column, row) round a lattice point in half squares, worked out by stepping off it."""
    return {(int((x + i) // 2), int((y + j) // 2)) for i in (-0.5, 0.5) for j in (-0.5, 0.5)}


def stitches_at(chart: Chart, change: Change | None = None) -> set[tuple[str, int, int]]:
    """(code, column, row) of every stitch, one after the other, or of those that a change marks."""
    chosen = [
        range(count) if altered is None else altered.indices[altered.new == DONE].tolist()
        for count, altered in zip(
            (chart.squares.size, len(chart.parts), len(chart.lines), len(chart.points)),
            [None] * 4 if change is None else change.families,
            strict=True,
        )
    ]
    found: set[tuple[int, int, int]] = set()
    for flat in chosen[0]:
        found.add((int(chart.squares.flat[flat]), flat % chart.columns, flat // chart.columns))
    for at in chosen[1]:
        found.add((int(chart.parts.keys[at]), int(chart.parts.columns[at]), int(chart.parts.rows[at])))
    for at in chosen[2]:
        lines = chart.lines
        for x, y in ((lines.x1[at], lines.y1[at]), (lines.x2[at], lines.y2[at])):
            found |= {(int(lines.keys[at]), *square) for square in touched(int(x), int(y))}
    for at in chosen[3]:
        points = chart.points
        found |= {(int(points.keys[at]), *square) for square in touched(int(points.x[at]), int(points.y[at]))}
    return {(chart.key[number - 1].code, column, row) for number, column, row in found if number}


@given(seeds, hung, areas, st.sampled_from([DONE, DONE, OPEN]))
def test_stitching_on_takes_up_what_hangs_there(
    busy_work: Busy, seed: int, parked: list[Parked], area: Area, state: int
) -> None:
    """What is taken up is what a look at every stitch marked, and at the squares beside it, says."""
    work = busy_work(23, 19, 4, seed)
    chart, notes = work.chart, Notes.of(parked)
    change = change_to(work.marks, rectangle(chart, area, Takes()), state)
    if change is None:
        return
    marked = stitches_at(chart, change)
    expected = [
        each
        for each in notes.parked
        if chart.area.holds(each.column, each.row)
        and any(
            (each.code, each.column + right, each.row + down) in marked
            for right, down in ((0, 0), (1, 0), (-1, 0), (0, 1), (0, -1))
        )
    ]
    found = unparked_by(chart, notes, change)
    assert (found is None) == (not expected)
    if found is not None:
        assert notes.after(found).parked == tuple(each for each in notes.parked if each not in expected)
        assert notes.after(found).after(found.inverse()) == notes


@given(seeds, hung)
def test_a_thread_has_a_stitch_where_one_is_found(busy_work: Busy, seed: int, parked: list[Parked]) -> None:
    """In the square, or as an end of a line, a knot or a bead at it; looked for one by one."""
    chart = busy_work(23, 19, 4, seed).chart
    there = stitches_at(chart)
    notes = Notes.of(parked)
    for each in notes.parked:
        inside = chart.area.holds(each.column, each.row)
        assert has_stitch(chart, each) is (inside and (each.code, each.column, each.row) in there)
    assert strays(chart, notes) == tuple(each for each in notes.parked if not has_stitch(chart, each))


def test_parking_a_thread(thread_chart: Drawn) -> None:
    """A thread is parked where it goes on; hung there already, or with no stitch there, it is not."""
    chart, notes = thread_chart(DRAWING), Notes()
    change = parking(chart, notes, 2, 2, 0)
    assert change is not None
    notes = notes.after(change)
    assert notes.parked == (Parked("b", 2, 0),)
    assert parking(chart, notes, 2, 2, 0) is None
    assert number_of(chart, "b") == 2
    assert number_of(chart, "z") == 0
    for square in ((0, 0), (3, 0), (-1, 0), (2, 99)):
        with pytest.raises(CommandError, match="Dusk rose has no stitch at this square"):
            parking(chart, notes, 2, *square)
    with pytest.raises(ValueError, match="no entry"):
        parking(chart, notes, 9, 0, 0)


def test_going_on_beside_takes_it_up_and_elsewhere_does_not(thread_chart: Drawn) -> None:
    """The next square of the same thread counts, another thread's or one cornerwise does not."""
    chart = thread_chart(DRAWING)
    marks, notes = Marks(chart), Notes.of([Parked("a", 1, 1)])

    def taken_up(column: int, row: int) -> bool:
        change = change_to(marks, rectangle(chart, Area(column, row, 1, 1), Takes()), DONE)
        assert change is not None
        return unparked_by(chart, notes, change) is not None

    assert taken_up(1, 1)
    assert taken_up(1, 0)
    assert taken_up(2, 1)
    assert not taken_up(0, 1)
    assert not taken_up(0, 0)
    assert not taken_up(3, 3)


def test_unpicking_leaves_it_hanging(thread_chart: Drawn) -> None:
    """Taking stitches out beside a parked thread does not take it up."""
    chart = thread_chart(DRAWING)
    marks, notes = Marks(chart), Notes.of([Parked("a", 1, 1)])
    everything = rectangle(chart, chart.area, Takes())
    done = change_to(marks, everything, DONE)
    assert done is not None
    marks.apply(done)
    unpicked = change_to(marks, everything, OPEN)
    assert unpicked is not None
    assert unparked_by(chart, notes, unpicked) is None


def test_a_correction_that_takes_the_stitch_out_is_told(thread_chart: Drawn) -> None:
    """The thread stays parked, and is told to have no stitch any more, until the stitch is back."""
    chart = thread_chart(DRAWING)
    notes = Notes.of([Parked("b", 2, 0), Parked("a", 0, 0)])
    assert strays(chart, notes) == ()
    squares = chart.squares.copy()
    squares[0, 2] = 1
    corrected = replace(chart, squares=squares)
    assert strays(corrected, notes) == (Parked("b", 2, 0),)
    told = stray_words(corrected, Parked("b", 2, 0))
    assert told.startswith("Dusk rose is parked at a square where it has no stitch any more")
    shorter = replace(chart, key=chart.key[:1], squares=np.minimum(chart.squares, 1))
    assert strays(shorter, notes) == (Parked("b", 2, 0),)
    assert "The thread of symbol b is parked" in stray_words(shorter, Parked("b", 2, 0))
    smaller = replace(chart, squares=chart.squares[:, :2].copy())
    assert strays(smaller, notes) == (Parked("b", 2, 0),)


def test_on_an_empty_chart_nothing_hangs(thread_chart: Drawn) -> None:
    """A chart of no squares has nothing to park at."""
    chart = replace(thread_chart("a"), squares=np.zeros((0, 0), np.uint16))
    notes = Notes.of([Parked("a", 0, 0)])
    assert strays(chart, notes) == notes.parked
    assert unparked_by(chart, notes, Change(Area(0, 0, 0, 0))) is None
