"""Where she stopped is written down and read back, whatever somebody has done to what was written."""

import json
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.canvas.hands import Tool
from stitchview.canvas.looks import Shown
from stitchview.canvas.touch import Shape
from stitchview.chart.model import Chart
from stitchview.chart.turning import Turn
from stitchview.done.change import FIRST_LEG
from stitchview.follow.band import Band
from stitchview.follow.habits import Habits
from stitchview.follow.keptpath import KeptPath
from stitchview.follow.span import Span
from stitchview.plan.clothcount import ClothCount
from stitchview.plan.clothmeasure import Measured, MeasuredCloth
from stitchview.plan.clothsize import Making, Margin, Opening
from stitchview.plan.piece import Piece
from stitchview.plan.reserve import Reserve
from stitchview.ui.going import Spectacles
from stitchview.ui.holding import Held
from stitchview.ui.overchart import OverChart
from stitchview.ui.resume import Stop, from_json, to_json

FULL = Stop(
    held=Held(Tool.UNPICK, Shape.PATCH, crosses=False, points=False, only=True, thread=3, state=FIRST_LEG),
    view=Spectacles(5.25, 3.5, 17.0),
    band=Band(Span(2, 4), Span(1, 3)),
    cursor=(4, 9),
    paper=True,
    worked=True,
    shown=Shown.BOTH,
    turn=Turn(3, mirrored=True),
    piece=Piece(
        ClothCount(14, 13.5, over=2),
        MeasuredCloth(Measured((55, 56)), Measured((53,))),
        Making.CUSHION,
        Margin(40, 10),
        Opening(300, 400),
        Habits(length_mm=300, at_once=True),
        Reserve(3, 1, (("silk", 0.25), ("wool", 0.5))),
    ),
    over=OverChart(
        ((1, 2), (11, 9)),
        KeptPath(3, (4, 9), ((4, 9, 0), (5, 9, 0), (7, 4, 8)), (2, 1)),
        "".join(["a.?cccb\n", *["???????\n"] * 6]),
    ),
)

numbers = st.integers() | st.floats(allow_nan=True, allow_infinity=True)
scraps = st.recursive(
    st.none() | st.booleans() | numbers | st.text(max_size=6),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3),
    max_leaves=8,
)
NAMES = ("turn", "over", "piece", "view", "band", "pointer", "thread", "looks", "tool", "shape", "takes")
INNER = (
    *("column", "row", "pitch", "rows", "columns", "first", "count", "paper", "shown", "only", "crosses"),
    *("quarters", "mirrored", "tape", "needleful", "patch", "code", "stitches", "together"),
    *("cloth", "counted", "across", "down", "over", "making", "margin", "opening", "habits", "length_mm"),
    *("reserve", "strands", "back_strands", "shares", "silk"),
)


def test_a_stop_is_read_back_as_it_was_written(small_chart: Callable[[], Chart]) -> None:
    """Through the file and back, nothing of it is lost or rounded."""
    chart = replace(small_chart(), origin=(-7, 40))
    for stop in (FULL, Stop(Held())):
        assert from_json(json.loads(json.dumps(to_json(stop, chart), allow_nan=False)), chart) == stop


def test_a_stop_holds_by_address_and_by_code(small_chart: Callable[[], Chart]) -> None:
    """A chart that has grown at the left and whose key was put in another order is at the same squares."""
    old = small_chart()
    written = to_json(FULL, old)
    squares = np.pad(old.squares, ((1, 0), (5, 0)))
    grown = Chart(squares, tuple(reversed(old.key)), origin=(-5, -1))
    stop = from_json(written, grown)
    assert stop.view == Spectacles(10.25, 4.5, 17.0)
    assert stop.band == Band(Span(3, 4), Span(6, 3))
    assert stop.cursor == (9, 10)
    assert stop.over.tape == ((6, 3), (16, 10))
    assert stop.over.path is not None
    assert grown.key[stop.over.path.number - 1].code == old.key[2].code
    assert stop.over.path.stitches[-1] == (12, 5, 8)
    assert stop.over.patch == FULL.over.patch
    assert grown.key[stop.held.thread - 1].code == old.key[2].code


def test_a_thread_or_square_that_has_gone_is_let_go(small_chart: Callable[[], Chart]) -> None:
    """A key that lost the thread, a chart that lost the square: the rest is still found."""
    chart = small_chart()
    smaller = Chart(chart.squares[:5, :4].copy(), chart.key[:2])
    stop = from_json(to_json(FULL, chart), smaller)
    assert stop.held.thread == 0
    assert stop.cursor is None
    assert stop.over == OverChart()
    assert stop.held.shape is Shape.PATCH


@given(st.dictionaries(st.sampled_from(NAMES), scraps | st.dictionaries(st.sampled_from(INNER), scraps)))
def test_whatever_stands_in_the_file_is_no_danger(
    small_chart: Callable[[], Chart], record: dict[str, Any]
) -> None:
    """Members of any type and size give a stop that can be used, and be written down again."""
    chart = small_chart()
    stop = from_json(record, chart)
    assert 0 <= stop.held.thread <= len(chart.key)
    assert stop.held.crosses or stop.held.lines or stop.held.points
    assert stop.held.tool is not Tool.REGION
    assert stop.view is None or stop.view.pitch > 0
    assert stop.cursor is None or chart.area.holds(*stop.cursor)
    assert stop.band is None or not stop.band.inside(chart.area).empty
    assert from_json(json.loads(json.dumps(to_json(stop, chart), allow_nan=False)), chart) == stop


@pytest.mark.parametrize("pitch", [0, -3, "9", None, True, float("nan"), float("inf"), 10**400])
def test_a_view_without_a_size_is_no_view(small_chart: Callable[[], Chart], pitch: object) -> None:
    """Then the chart opens as it does for the first time."""
    record = {"view": {"column": 3.0, "row": 4.0, "pitch": pitch}}
    assert from_json(record, small_chart()).view is None
