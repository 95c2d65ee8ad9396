"""What is unpicked loses its thread, and the thread that is left to buy tells so."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.change import DONE, LATER, OPEN
from stitchview.done.marks import Marks, change_to
from stitchview.done.notebook import Notes
from stitchview.done.shapes import Takes, rectangle
from stitchview.done.skeinnotes import LEFT, SkeinNote
from stitchview.errors import CommandError
from stitchview.follow.clothpitch import Pitch
from stitchview.plan.manner import Manner
from stitchview.plan.need import need
from stitchview.plan.unpicking import unpicking, with_lengths
from stitchview.plan.usednotes import holding_of

PITCH = Pitch(25.4 / 14, 25.4 / 14)


def test_only_what_is_worked_is_unpicked(small_chart: Callable[[], Chart]) -> None:
    """Stitches done in the area go back to open; what is open or for later stays as it is."""
    chart = small_chart()
    marks = Marks(chart)
    for area, state in ((Area(0, 0, 12, 4), DONE), (Area(0, 4, 12, 6), LATER)):
        change = change_to(marks, rectangle(chart, area, Takes()), state)
        assert change is not None
        marks.apply(change)
    done = marks.tally.total().done
    found = unpicking(marks, chart.area, None, PITCH, Manner())
    marks.apply(found.change)
    assert found.stitches == done
    assert marks.tally.total().done == 0
    assert (marks.squares[4:] == LATER).any()
    assert (marks.squares[:4] == OPEN).all()


def test_the_thread_lost_is_what_the_stitches_alone_would_need(small_chart: Callable[[], Chart]) -> None:
    """A whole chart unpicked loses what a chart of just these stitches needs, thread by thread."""
    chart = small_chart()
    marks = Marks(chart)
    change = change_to(marks, rectangle(chart, chart.area, Takes()), DONE)
    assert change is not None
    marks.apply(change)
    found = unpicking(marks, chart.area, None, PITCH, Manner())
    wanted = {
        each.name: each.all.reckoned_mm for each in need(chart, None, PITCH).threads if each.all.stitches
    }
    assert {each.name: each.lost_mm for each in found.notes} == pytest.approx(wanted)
    half = with_lengths(found, 0.5)
    assert half.lost_mm == pytest.approx(found.lost_mm / 2)


def test_nothing_worked_is_said(small_chart: Callable[[], Chart]) -> None:
    """Where nothing is stitched there is nothing to unpick."""
    with pytest.raises(CommandError, match="Nothing is marked"):
        unpicking(Marks(small_chart()), Area(0, 0, 5, 5), None, PITCH, Manner())


def test_lost_thread_is_missing_from_what_she_has(small_chart: Callable[[], Chart]) -> None:
    """What is unpicked after her last word on a thread is gone from it; before, she had counted it."""
    chart = replace(small_chart(), squares=np.ones((10, 12), np.uint16))
    marks = Marks(chart)
    change = change_to(marks, rectangle(chart, chart.area, Takes()), DONE)
    assert change is not None
    marks.apply(change)
    thread = need(chart, marks, PITCH).threads[0]
    found = unpicking(marks, chart.area, 1, PITCH, Manner())
    (note,) = found.notes
    for time, lost in ((0, note.lost_mm), (1 << 46, 0.0)):
        told = SkeinNote("s", thread.name, thread.number, LEFT, 2.0, "", 0.0, time)
        holding = holding_of(thread, Notes.of([told, note]))
        assert holding is not None
        assert holding.skeins == pytest.approx(2.0 - lost / thread.skein.strand_mm)
