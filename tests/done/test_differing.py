"""What differs on the cloth is kept in the layer: all that is on it goes along, and undo takes it back."""

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest

from stitchview.chart.area import Area
from stitchview.chart.fileformat import write_chart
from stitchview.chart.model import Chart
from stitchview.done.change import DONE, OPEN, Change
from stitchview.done.differences import Added, NotWorked, OtherThread, Shifted
from stitchview.done.differing import effect_of, held, recording, taking_back
from stitchview.done.layerfile import OpenedLayer
from stitchview.done.marks import noting
from stitchview.done.notes import Parked, Pin

if TYPE_CHECKING:
    from tests.done.conftest import Evening

BLOCK = Area(3, 2, 4, 3)
SHIFT = Shifted("01", 3, 2, 4, 3, 0, 2)


def do(evening: "Evening", opened: OpenedLayer, change: Change) -> OpenedLayer:
    """Make a change as a stroke, close the layer and open it again."""
    stroke = opened.history.record(change)
    opened.layer.put(stroke)
    opened.layer.commit()
    printed = opened.marks.chart.printed
    evening.close(opened)
    return evening.open(printed)


def test_marks_pins_and_parked_threads_go_with_a_block(
    evening: "Evening", small_chart: Callable[[], Chart]
) -> None:
    """In one stroke the block lies two rows down with all that is on it, and undo brings it back."""
    chart = small_chart()
    opened = evening.open(chart)
    evening.mark(opened, BLOCK)
    before = opened.marks.squares.copy()
    notes = opened.marks.notes.putting(Pin("p", 4, 3, "Mast"), Parked("a", 5, 2), Parked("a", 9, 2))
    assert notes is not None
    change = noting(chart, notes)
    opened.marks.apply(change)
    opened.layer.put(opened.history.record(change))
    opened.layer.commit()
    opened = do(evening, opened, recording(opened.marks, SHIFT))
    worked, marks = opened.marks.chart, opened.marks
    assert np.array_equal(worked.squares[4:7, 3:7], chart.squares[2:5, 3:7])
    assert np.array_equal(marks.squares[4:7, 3:7], before[2:5, 3:7])
    assert [(each.column, each.row) for each in marks.notes.pins] == [(4, 5)]
    assert [(each.column, each.row) for each in marks.notes.parked] == [(9, 2), (5, 4)]
    assert held(marks) == (SHIFT,)
    undone = opened.history.undo()
    assert undone is not None
    opened.layer.put(undone.stroke)
    opened.layer.commit()
    evening.close(opened)
    opened = evening.open(chart)
    assert opened.marks.chart.worked is None
    assert np.array_equal(opened.marks.squares, before)
    assert [(each.column, each.row) for each in opened.marks.notes.pins] == [(4, 3)]


def test_taken_back_is_as_it_was(evening: "Evening", small_chart: Callable[[], Chart]) -> None:
    """Taking a difference back, later, brings marks and parked threads home as undo would."""
    chart = small_chart()
    opened = evening.open(chart)
    evening.mark(opened, chart.area)
    before = opened.marks.squares.copy()
    opened = do(evening, opened, recording(opened.marks, SHIFT))
    assert effect_of(opened.marks, NotWorked("02", 8, 8, 3, 1, "", "")).lost > 0
    opened = do(evening, opened, taking_back(opened.marks, SHIFT))
    assert opened.marks.chart.worked is None
    assert np.array_equal(opened.marks.squares, before)


def test_added_stitches_are_done_and_gone_again(evening: "Evening", small_chart: Callable[[], Chart]) -> None:
    """What was added is on the cloth, so it counts as done, until the difference is undone."""
    chart = small_chart()
    opened = evening.open(chart)
    stitches = opened.tally.total().stitches
    opened = do(evening, opened, recording(opened.marks, Added("01", 0, 0, 2, 1, "a")))
    assert opened.marks.squares[0, :2].tolist() == [DONE, DONE]
    assert (opened.tally.total().stitches, opened.tally.total().done) == (stitches + 2, 2)
    opened = do(evening, opened, taking_back(opened.marks, held(opened.marks)[0]))
    assert opened.tally.total().stitches == stitches
    assert opened.tally.total().done == 0
    assert opened.marks.squares[0, :2].tolist() == [OPEN, OPEN]


def test_what_no_longer_fits_is_passed_over_and_said(
    evening: "Evening", small_chart: Callable[[], Chart]
) -> None:
    """The key lost a thread since: its difference is passed over with a notice, and stays in the file."""
    chart = small_chart()
    opened = evening.open(chart)
    opened = do(evening, opened, recording(opened.marks, OtherThread("01", 3, 2, 4, 3, "", "", "d")))
    assert opened.marks.chart.worked is not None
    evening.close(opened)
    other = replace(chart, key=tuple(replace(each, code=each.code.upper()) for each in chart.key))
    opened = evening.open(other)
    assert opened.marks.chart.worked is None
    assert any("passed over" in notice for notice in opened.notices)
    assert len(opened.marks.notes.differences) == 1


def test_only_the_printed_chart_is_written(evening: "Evening", small_chart: Callable[[], Chart]) -> None:
    """What differs on the cloth can never come into a chart file."""
    opened = evening.open(small_chart())
    opened = do(evening, opened, recording(opened.marks, SHIFT))
    with pytest.raises(ValueError, match="printed"):
        write_chart(opened.marks.chart, evening.chart_path)


def test_added_stitches_taken_back_are_not_done(evening: "Evening", small_chart: Callable[[], Chart]) -> None:
    """Once taken back, a stitch that the corrected chart gets there is still to be stitched."""
    chart = small_chart()
    opened = evening.open(chart)
    opened = do(evening, opened, recording(opened.marks, Added("01", 0, 0, 2, 1, "a")))
    evening.mark(opened, Area(1, 0, 1, 1), OPEN)
    opened = do(evening, opened, taking_back(opened.marks, held(opened.marks)[0]))
    evening.close(opened)
    squares = chart.squares.copy()
    squares[0, :2] = 1
    opened = evening.open(replace(chart, squares=squares))
    assert opened.marks.squares[0, :2].tolist() == [OPEN, OPEN]
    assert evening.undo(opened) is not None
    evening.close(opened)
    opened = evening.open(chart)
    assert opened.marks.squares[0, :2].tolist() == [DONE, OPEN]
