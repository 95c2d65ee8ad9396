"""What is left in the band, and where the band steps when all of it is done."""

import json
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.change import DONE, OPEN
from stitchview.follow.band import (
    Band,
    band_of_columns,
    band_of_rows,
    every_line,
    frame_of,
    lines_of_tens,
)
from stitchview.follow.left import Work, all_in_band, left_in_band, left_map, step_when_done
from stitchview.follow.numbering import Numbering

RandomChart = Callable[[int, int, int, int], Chart]


def work_on(chart: Chart, share_done: float, seed: int) -> Work:
    """The chart with about `share_done` of its squares and part stitches done, spread at random."""
    random = np.random.default_rng(seed)
    return Work(
        chart.squares,
        (random.random(chart.squares.shape) < share_done).astype(np.uint8),
        chart.parts,
        (random.random(len(chart.parts)) < share_done).astype(np.uint8),
    )


def everything_done_but(columns: int, rows: int, *left: tuple[int, int]) -> Work:
    """A chart of one thread with every square done except those in `left`, (column, row)."""
    done = np.ones((rows, columns), np.uint8)
    for column, row in left:
        done[row, column] = OPEN
    return Work(np.ones((rows, columns), np.uint16), done)


areas = st.builds(Area, st.integers(-3, 14), st.integers(-3, 14), st.integers(0, 20), st.integers(0, 20))


@given(areas, st.integers(0, 2**32 - 1), st.sampled_from([0.0, 0.5, 1.0]))
def test_counts_agree_with_counting_square_by_square(
    small_chart: Callable[[], Chart], area: Area, seed: int, share: float
) -> None:
    """Counted with the standard library's Counter, one square and one part stitch after the other."""
    chart = small_chart()
    work = work_on(chart, share, seed)
    left: Counter[int] = Counter()
    there: Counter[int] = Counter()
    for (row, column), number in np.ndenumerate(chart.squares):
        if number and area.holds(column, row):
            there[int(number)] += 1
            left[int(number)] += not work.squares_states[row, column]
    for n, number in enumerate(chart.parts.keys.tolist()):
        if area.holds(int(chart.parts.columns[n]), int(chart.parts.rows[n])):
            there[number] += 1
            left[number] += not work.parts_states[n]
    assert left_in_band(work, area, 4).tolist() == [left[number] for number in range(5)]
    assert all_in_band(work, area, 4).tolist() == [there[number] for number in range(5)]


def test_counts_agree_with_the_verified_plate(shared: Path) -> None:
    """Per-sign counts of a real printed chart of 1886 against its verified truth file."""
    grid = json.loads((shared / "plates" / "plate-288.truth.json").read_text("utf-8"))["grid"]
    codes = sorted(set("".join(grid)))
    squares = np.array([[codes.index(code) + 1 for code in line] for line in grid], np.uint16)
    work = Work(squares, np.zeros(squares.shape, np.uint8))
    counted = left_in_band(work, Area(0, 10, 72, 10), len(codes))
    truth = Counter("".join(grid[10:20]))
    assert counted.tolist() == [0, *(truth[code] for code in codes)]


def test_the_band_stays_while_something_is_left() -> None:
    """One square left in the band keeps it where it is."""
    work = everything_done_but(30, 60, (3, 12))
    assert step_when_done(band_of_rows(10, 10), 1, work, every_line(30, 60)) == band_of_rows(10, 10)


def test_the_band_steps_over_rows_that_are_done() -> None:
    """Everything done except row 47: ten rows from 10 step to the ten that hold it."""
    work = everything_done_but(30, 60, (3, 47))
    assert step_when_done(band_of_rows(10, 10), 0, work, every_line(30, 60)) == band_of_rows(40, 10)


def test_the_band_comes_back_to_what_was_left_above() -> None:
    """Nothing left below, so the band goes to the square left near the top."""
    work = everything_done_but(30, 60, (3, 2))
    assert step_when_done(band_of_rows(25, 10), 0, work, every_line(30, 60)) == band_of_rows(0, 10)
    tens = lines_of_tens(30, 60, Numbering.TOP_LEFT)
    assert step_when_done(band_of_rows(20, 10), 0, work, tens) == band_of_rows(0, 10)


def test_the_last_step_stays_whole_on_the_chart() -> None:
    """Five rows are left below the band: it steps to the last ten."""
    work = everything_done_but(30, 65, (3, 63))
    assert step_when_done(band_of_rows(50, 10), 0, work, every_line(30, 65)) == band_of_rows(55, 10)


def test_a_finished_chart_leaves_the_band_where_it_is() -> None:
    """When nothing is left anywhere there is nowhere to step to."""
    work = everything_done_but(30, 60)
    for band in (band_of_rows(10, 10), band_of_columns(10, 10), frame_of(Area(10, 10, 10, 10))):
        assert step_when_done(band, 0, work, every_line(30, 60)) == band


def test_a_band_of_columns_steps_to_the_right() -> None:
    """Columns step rightwards by their own width."""
    work = everything_done_but(30, 60, (25, 3))
    assert step_when_done(band_of_columns(0, 10), 0, work, every_line(30, 60)) == band_of_columns(20, 10)


def test_a_frame_goes_on_as_one_reads() -> None:
    """A frame goes right along its rows first, then to the left end of the next rows."""
    lines = every_line(30, 60)
    frame = frame_of(Area(10, 10, 10, 10))
    right_and_below = everything_done_but(30, 60, (25, 15), (5, 25))
    assert step_when_done(frame, 0, right_and_below, lines) == frame_of(Area(20, 10, 10, 10))
    below_only = everything_done_but(30, 60, (5, 15), (5, 25), (25, 22))
    assert step_when_done(frame, 0, below_only, lines) == frame_of(Area(0, 20, 10, 10))
    before_only = everything_done_but(30, 60, (5, 15))
    assert step_when_done(frame, 0, before_only, lines) == frame_of(Area(0, 10, 10, 10))


def test_a_part_stitch_left_keeps_the_rows_from_being_passed_over(small_chart: Callable[[], Chart]) -> None:
    """Squares all done but one part stitch not: its row still has something left."""
    chart = small_chart()
    parts_done = np.ones(len(chart.parts), np.uint8)
    parts_done[10] = OPEN
    work = Work(chart.squares, np.ones(chart.squares.shape, np.uint8), chart.parts, parts_done)
    stepped = step_when_done(band_of_rows(0, 1), 0, work, every_line(12, 10))
    assert stepped == band_of_rows(int(chart.parts.rows[10]), 1)


@given(
    st.integers(1, 40), st.integers(1, 40), st.integers(1, 12), st.integers(1, 12), st.data(),
    st.sampled_from(["rows", "columns", "both"]),
)  # fmt: skip
def test_stepping_on_finds_whatever_is_left(
    columns: int, rows: int, wide: int, high: int, data: st.DataObject, kind: str
) -> None:
    """Wherever the one last square is and wherever the band lies, one step finds it."""
    square = data.draw(st.tuples(st.integers(0, columns - 1), st.integers(0, rows - 1)))
    place = data.draw(st.tuples(st.integers(0, columns - 1), st.integers(0, rows - 1)))
    lines = every_line(columns, rows)
    frame = frame_of(Area(place[0], place[1], wide, high)).fitted(lines)
    band = Band(frame.rows if kind != "columns" else None, frame.columns if kind != "rows" else None)
    work = everything_done_but(columns, rows, square)
    whole = Area(0, 0, columns, rows)
    left = int(left_in_band(work, band.inside(whole), 1).sum())
    assert step_when_done(band, left, work, lines).inside(whole).holds(*square)


def test_what_is_left_is_shown_square_by_square(random_chart: RandomChart) -> None:
    """The map of what is left agrees with chart and marks."""
    chart = random_chart(50, 40, 7, 3)
    work = work_on(chart, 0.5, 4)
    area = Area(10, 5, 20, 30)
    expected = (chart.squares[5:35, 10:30] > 0) & (work.squares_states[5:35, 10:30] != DONE)
    assert (left_map(work, area) == expected).all()


def test_marks_of_another_chart_are_refused() -> None:
    """Marks that do not have the chart's size cannot be counted with it."""
    with pytest.raises(ValueError, match="shape"):
        Work(np.ones((3, 4), np.uint16), np.zeros((4, 3), np.uint8))
