"""Where the band steps when all of it is done."""

from collections.abc import Callable

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.colour import Colour
from stitchview.chart.csvkey import plain_entry
from stitchview.chart.model import Chart
from stitchview.done.change import OPEN
from stitchview.done.marks import Marks
from stitchview.follow.band import (
    Band,
    band_of_columns,
    band_of_rows,
    every_line,
    frame_of,
    lines_of_tens,
)
from stitchview.follow.numbering import Numbering
from stitchview.follow.stepping import step_when_done
from stitchview.follow.threadwork import ThreadWork


def everything_done_but(columns: int, rows: int, *left: tuple[int, int]) -> ThreadWork:
    """A chart of one thread with every square done except those in `left`, (column, row)."""
    chart = Chart(np.ones((rows, columns), np.uint16), (plain_entry("a", "Sample", Colour(9, 9, 9)),))
    done = np.ones((rows, columns), np.uint8)
    for column, row in left:
        done[row, column] = OPEN
    none = np.zeros(0, np.uint8)
    return ThreadWork(Marks(chart, (done, none, none.copy(), none.copy())))


def test_the_band_stays_while_something_is_left() -> None:
    """One square left in the band keeps it where it is."""
    work = everything_done_but(30, 60, (3, 12))
    assert step_when_done(band_of_rows(10, 10), work, every_line(30, 60)) == band_of_rows(10, 10)


def test_the_band_steps_over_rows_that_are_done() -> None:
    """Everything done except row 47: ten rows from 10 step to the ten that hold it."""
    work = everything_done_but(30, 60, (3, 47))
    assert step_when_done(band_of_rows(10, 10), work, every_line(30, 60)) == band_of_rows(40, 10)


def test_the_band_comes_back_to_what_was_left_above() -> None:
    """Nothing left below, so the band goes to the square left near the top."""
    work = everything_done_but(30, 60, (3, 2))
    assert step_when_done(band_of_rows(25, 10), work, every_line(30, 60)) == band_of_rows(0, 10)
    tens = lines_of_tens(30, 60, Numbering.TOP_LEFT)
    assert step_when_done(band_of_rows(20, 10), work, tens) == band_of_rows(0, 10)


def test_the_last_step_stays_whole_on_the_chart() -> None:
    """Five rows are left below the band: it steps to the last ten."""
    work = everything_done_but(30, 65, (3, 63))
    assert step_when_done(band_of_rows(50, 10), work, every_line(30, 65)) == band_of_rows(55, 10)


def test_a_finished_chart_leaves_the_band_where_it_is() -> None:
    """When nothing is left anywhere there is nowhere to step to."""
    work = everything_done_but(30, 60)
    for band in (band_of_rows(10, 10), band_of_columns(10, 10), frame_of(Area(10, 10, 10, 10))):
        assert step_when_done(band, work, every_line(30, 60)) == band


def test_a_band_of_columns_steps_to_the_right() -> None:
    """Columns step rightwards by their own width."""
    work = everything_done_but(30, 60, (25, 3))
    assert step_when_done(band_of_columns(0, 10), work, every_line(30, 60)) == band_of_columns(20, 10)


def test_a_frame_goes_on_as_one_reads() -> None:
    """A frame goes right along its rows first, then to the left end of the next rows."""
    lines = every_line(30, 60)
    frame = frame_of(Area(10, 10, 10, 10))
    right_and_below = everything_done_but(30, 60, (25, 15), (5, 25))
    assert step_when_done(frame, right_and_below, lines) == frame_of(Area(20, 10, 10, 10))
    below_only = everything_done_but(30, 60, (5, 15), (5, 25), (25, 22))
    assert step_when_done(frame, below_only, lines) == frame_of(Area(0, 20, 10, 10))
    before_only = everything_done_but(30, 60, (5, 15))
    assert step_when_done(frame, before_only, lines) == frame_of(Area(0, 10, 10, 10))


def test_a_part_stitch_left_keeps_the_rows_from_being_passed_over(small_chart: Callable[[], Chart]) -> None:
    """Squares all done but one part stitch not: its row still has something left."""
    chart = small_chart()
    done, parts, lines, points = (
        np.ones(each, np.uint8)
        for each in (chart.squares.shape, len(chart.parts), len(chart.lines), len(chart.points))
    )
    parts[10] = OPEN
    work = ThreadWork(Marks(chart, (done, parts, lines, points)))
    stepped = step_when_done(band_of_rows(0, 1), work, every_line(12, 10))
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
    assert step_when_done(band, work, lines).inside(work.chart.area).holds(*square)
