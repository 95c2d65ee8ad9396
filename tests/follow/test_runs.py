"""Runs and calling them out, against plain loops with the standard library's groupby, and in words."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import count, groupby, pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.model import Chart, Symbol
from stitchview.chart.stitches import Parts, PartShape
from stitchview.done.change import DONE, OPEN
from stitchview.done.marks import Marks, change_to
from stitchview.done.shapes import Takes, rectangle
from stitchview.follow.callout import CallOut
from stitchview.follow.course import Course
from stitchview.follow.numbering import Numbering
from stitchview.follow.runs import Going, Run, runs_left
from stitchview.follow.runwords import line_words, run_words
from stitchview.follow.threadnames import spoken_names
from stitchview.follow.threadwork import ThreadWork

Busy = Callable[..., ThreadWork]
Drawn = Callable[[str], Chart]
HalfDone = Callable[[Chart, float, int], Marks]

seeds = st.integers(0, 2**31)
areas = st.builds(Area, st.integers(-3, 14), st.integers(-3, 14), st.integers(0, 20), st.integers(0, 20))
threads = st.one_of(st.none(), st.lists(st.integers(1, 4), unique=True, max_size=4))


def left_of_line(work: ThreadWork, number: int, squares: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """Place along the line and shape of each stitch of a thread that is left, one after the other."""
    chart, marks = work.chart, work.marks
    found = []
    for at, (column, row) in enumerate(squares):
        if chart.squares[row, column] == number and marks.squares[row, column] != DONE:
            found.append((at, 0))
        here = (chart.parts.columns == column) & (chart.parts.rows == row) & (chart.parts.keys == number)
        found += [(at, int(chart.parts.shapes[n])) for n in np.flatnonzero(here & (marks.parts != DONE))]
    return sorted(found)


def runs_of_line(found: list[tuple[int, int]]) -> list[tuple[int, int, int]]:
    """First place, last place and shape of the runs: what keeps its distance from a plain count."""
    counter = count()
    grouped = groupby(found, key=lambda stitch: (stitch[0] - next(counter), stitch[1]))
    return [(group[0][0], group[-1][0], group[0][1]) for _, each in grouped for group in [list(each)]]


def by_loops(
    work: ThreadWork, area: Area, numbers: Sequence[int] | None, going: Going, down: bool
) -> list[Run]:
    """The runs as a person would write them down, thread by thread and line by line."""
    area = area.clipped(work.chart.area)
    told = []
    lines = range(area.column, area.right) if down else range(area.row, area.bottom)
    first, last = (area.row, area.bottom) if down else (area.column, area.right)
    for number in range(1, 5) if numbers is None else numbers:
        worked = 0
        for line in lines:
            squares = [(line, at) if down else (at, line) for at in range(first, last)]
            runs = runs_of_line(left_of_line(work, number, squares))
            if not runs:
                continue
            backwards = going is Going.BACK or (going is Going.THERE_AND_BACK and worked % 2 == 1)
            worked += 1
            gaps = [0, *(later[0] - earlier[1] - 1 for earlier, later in pairwise(runs))]
            if backwards:
                runs, gaps = runs[::-1], [0, *gaps[:0:-1]]
            for n, ((low, high, shape), gap) in enumerate(zip(runs, gaps, strict=True)):
                column, row = squares[high if backwards else low]
                kind = PartShape(shape) if shape else None
                told.append(Run(column, row, high - low + 1, number, kind, gap, n == 0, down, backwards))
    return told


@given(seeds, areas, threads, st.sampled_from(Going), st.booleans())
def test_runs_are_those_a_plain_loop_writes_down(
    busy_work: Busy, seed: int, area: Area, numbers: list[int] | None, going: Going, down: bool
) -> None:
    """Any band of any chart, any threads in any order, each way of going, along rows and down columns."""
    work = busy_work(15, 13, 4, seed, (0.2, 0.6, 0.95)[seed % 3])
    runs = runs_left(work, area, numbers, going, Course(down))
    assert [runs[n] for n in range(len(runs))] == by_loops(work, area, numbers, going, down)


@given(seeds, areas, threads, st.sampled_from(Going), st.booleans())
def test_the_runs_hold_all_that_is_left_once(
    busy_work: Busy, seed: int, area: Area, numbers: list[int] | None, going: Going, down: bool
) -> None:
    """Every stitch left of the threads in the band is in one run, and the run's squares are its stitches'."""
    work = busy_work(15, 13, 4, seed)
    runs = runs_left(work, area, numbers, going, Course(down))
    told = runs.selection(0, len(runs))
    left = [work.left_in(area, number) for number in (numbers if numbers is not None else range(1, 5))]
    assert len(told.squares) == sum(each.squares for each in left)
    assert len(told.parts) == sum(each.parts for each in left)
    assert int(runs.lengths.sum()) == told.count
    for n in range(len(runs)):
        run, mine = runs[n], runs.selection(n, n + 1)
        parts = work.chart.parts
        flat = {row * 15 + column for column, row in run.squares}
        if run.shape is None:
            assert set(mine.squares.tolist()) == flat
            assert {int(work.chart.squares.ravel()[at]) for at in flat} == {run.number}
        else:
            assert set((parts.rows[mine.parts] * 15 + parts.columns[mine.parts]).tolist()) == flat
            assert set(parts.shapes[mine.parts].tolist()) == {run.shape}
            assert set(parts.keys[mine.parts].tolist()) == {run.number}


def test_every_row_of_a_real_plate(plate: Chart, half_done: HalfDone) -> None:
    """The runs of all threads of a chart printed in 1886 fill each row, done squares left out."""
    work = ThreadWork(half_done(plate, 0.3, 5))
    for row in range(plate.rows):
        runs = runs_left(work, Area(0, row, plate.columns, 1), None, Going.ON)
        told = np.zeros(plate.columns, np.uint16)
        for n in range(len(runs)):
            for column, _ in runs[n].squares:
                assert told[column] == 0
                told[column] = runs[n].number
        assert np.array_equal(told, np.where(work.marks.squares[row] == DONE, 0, plate.squares[row]))


@given(seeds, st.sampled_from(Going), st.booleans())
def test_stepping_marks_everything_and_the_way_back_unpicks_it(
    busy_work: Busy, seed: int, going: Going, down: bool
) -> None:
    """Each step marks the run and goes on; back unpicks, until all is as it was at the beginning."""
    work = busy_work(9, 8, 3, seed)
    marks, area = work.marks, Area(1, 1, 7, 6)
    begun = [each.copy() for each in marks.families]
    call = CallOut(runs_left(work, area, None, going, Course(down)))
    assert call.before() == call
    while not call.finished:
        left = work.left_in(area).in_squares
        assert call.stitches_left == left
        change = change_to(marks, call.selection, DONE)
        assert change is not None
        assert call.current is not None
        marks.apply(change)
        assert work.left_in(area).in_squares == left - call.current.length
        call = call.after_step()
    assert call.current is None
    assert call.after_step() == call
    assert call.selection.empty
    assert work.left_in(area).in_squares == call.stitches_left == 0
    while call.position:
        call = call.before()
        change = change_to(marks, call.selection, OPEN)
        assert change is not None
        marks.apply(change)
    assert all(np.array_equal(now, then) for now, then in zip(marks.families, begun, strict=True))


def test_calling_begins_where_she_points(thread_chart: Drawn) -> None:
    """The run under the square, of the thread in hand first; else the next line with work."""
    work = ThreadWork(Marks(thread_chart("aab.a\n..b..\nbaa.b\n.....\na...a")))
    call = CallOut(runs_left(work, work.chart.area, None, Going.ON))
    assert call.at_square(4, 0).position == 1
    pointed = call.at_square(2, 1)
    assert pointed.current is not None
    assert (pointed.current.number, pointed.current.row) == (2, 1)
    after = call.at_square(0, 3)
    assert after.current is not None
    assert (after.current.number, after.current.row) == (1, 4)
    assert pointed.at_square(0, 4).current == after.current
    assert pointed.at_square(3, 3) == pointed
    nothing = CallOut(runs_left(work, Area(3, 3, 1, 1), None, Going.ON))
    assert nothing.finished
    assert nothing.at_square(0, 0) == nothing


def drawn_work(thread_chart: Drawn) -> ThreadWork:
    """Three rows, of which the second has two squares done; the last is shorter."""
    chart = thread_chart("bbaaaaaaabaaab\naaaabbaaaabbaa\n..a........a..")
    marks = Marks(chart)
    change = change_to(marks, rectangle(chart, Area(6, 1, 2, 1), Takes()), DONE)
    assert change is not None
    marks.apply(change)
    return ThreadWork(marks)


@pytest.mark.parametrize(
    ("numbering", "going", "lines"),
    [
        (Numbering.TOP_LEFT, Going.ON, [
            "row 1, from column 3: 7 slate blue, skip 1, 3 slate blue",
            "row 2, from column 1: 4 slate blue, skip 4, 2 slate blue, skip 2, 2 slate blue",
            "row 3, from column 3: 1 slate blue, skip 8, 1 slate blue",
        ]),
        (Numbering.BOTTOM_RIGHT, Going.THERE_AND_BACK, [
            "row 3, from column 12: 7 slate blue, skip 1, 3 slate blue",
            "row 2, leftwards from column 1: 2 slate blue, skip 2, 2 slate blue, skip 4, 4 slate blue",
            "row 1, from column 12: 1 slate blue, skip 8, 1 slate blue",
        ]),
        (Numbering.CENTRE, Going.BACK, [
            "row 1 up from the centre, leftwards from column 6 right of the centre: "
            "3 slate blue, skip 1, 7 slate blue",
            "the centre row, leftwards from column 7 right of the centre: "
            "2 slate blue, skip 2, 2 slate blue, skip 4, 4 slate blue",
            "row 1 down from the centre, leftwards from column 5 right of the centre: "
            "1 slate blue, skip 8, 1 slate blue",
        ]),
    ],
)  # fmt: skip
def test_lines_in_words(thread_chart: Drawn, numbering: Numbering, going: Going, lines: list[str]) -> None:
    """The sentence of the request, counted from each corner and the centre, there, back, and both."""
    work = drawn_work(thread_chart)
    chart, names = work.chart, spoken_names(work.chart.key)
    runs = runs_left(work, chart.area, [1], going)
    told = [line_words(runs, n, chart, numbering, names) for n in range(len(runs)) if runs[n].begins_line]
    assert told == lines
    last = len(runs) - 1
    assert line_words(runs, last, chart, numbering, names) == lines[-1]


def test_steps_in_words(thread_chart: Drawn) -> None:
    """A step says its line where one begins, and else only what to skip and what to stitch."""
    work = drawn_work(thread_chart)
    chart, names = work.chart, spoken_names(work.chart.key)
    runs = runs_left(work, chart.area, None, Going.ON)
    told = [run_words(runs[n], chart, Numbering.TOP_LEFT, names) for n in (0, 1, 7, 8, 9)]
    assert told == [
        "row 1, from column 3: 7 slate blue",
        "skip 1, 3 slate blue",
        "row 1, from column 1: 2 dusk rose",
        "skip 7, 1 dusk rose",
        "skip 3, 1 dusk rose",
    ]


def test_columns_and_part_stitches_in_words(thread_chart: Drawn) -> None:
    """Runs down a column and up again, with part stitches named by kind and how they lie."""
    chart = thread_chart("a.\na.\n.a\n.a")
    spots = np.array([(0, 2), (0, 2), (1, 0), (1, 1)], np.int32).T.copy()
    shapes = (PartShape.QUARTER_TOP_LEFT, PartShape.HALF_RISING, PartShape.HALF_RISING, PartShape.HALF_RISING)
    parts = Parts(spots[0], spots[1], np.array(shapes, np.uint8), np.ones(4, np.uint16))
    work = ThreadWork(Marks(replace(chart, parts=parts)))
    runs = runs_left(work, chart.area, [1], Going.THERE_AND_BACK, Course(down=True))
    names = spoken_names(chart.key)
    told = [line_words(runs, n, chart, Numbering.TOP_LEFT, names) for n in range(len(runs))]
    assert [line for line, _ in groupby(told)] == [
        "column 1, from row 1: 2 slate blue, 1 slate blue half stitch, rising, "
        "in the same square 1 slate blue quarter stitch, top left",
        "column 2, upwards from row 4: 2 slate blue, 2 slate blue half stitches, rising",
    ]


def test_short_names_never_mix_threads_up(thread_chart: Drawn) -> None:
    """The colour where it is the only one, else with the number, the whole name, or the symbol."""
    key = thread_chart("a").key
    names = [
        ("Sample cotton 1, slate blue", "1", "slate blue"),
        ("Sample cotton 2, brick red", "2", "brick red 2"),
        ("Sample silk 3, brick red", "3", "brick red 3"),
        ("Sample cotton 7, sand", "7", "Sample cotton 7, sand"),
        ("Sample wool 7, sand", "7", "Sample wool 7, sand"),
        ("Twine", "", "Twine, symbol T"),
        ("Twine", "", "Twine, symbol U"),
        ("", "", "thread of symbol V"),
        ("Thread, ", "9", "Thread, "),
    ]
    entries = [
        replace(key[0], name=name, number=number, symbol=Symbol(sign))
        for (name, number, _), sign in zip(names, "PQRSXTUVW", strict=True)
    ]
    assert spoken_names(entries) == tuple(short for _, _, short in names)
    assert spoken_names([]) == ()


def test_nothing_to_call(thread_chart: Drawn) -> None:
    """An empty chart, an area off the chart, no thread asked for, a number the key has not."""
    work = ThreadWork(Marks(thread_chart("ab\nba")))
    for down in (False, True):
        assert len(runs_left(work, Area(5, 5, 3, 3), None, Going.ON, Course(down))) == 0
        assert len(runs_left(work, work.chart.area, [], Going.BACK, Course(down))) == 0
        bare = ThreadWork(Marks(Chart(np.zeros((0, 0), np.uint16), work.chart.key)))
        assert len(runs_left(bare, bare.chart.area, None, Going.THERE_AND_BACK, Course(down))) == 0
    with pytest.raises(ValueError, match="no entry"):
        runs_left(work, work.chart.area, [5], Going.ON)
