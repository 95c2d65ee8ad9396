"""Where she stopped, as it is written down: in addresses and code letters, which outlive corrections."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from stitchview.canvas.hands import Tool
from stitchview.canvas.looks import Shown
from stitchview.canvas.touch import Shape
from stitchview.chart.model import Chart
from stitchview.chart.turning import UPRIGHT, Turn
from stitchview.done.change import DONE, FIRST_LEG, LATER, MISTAKE
from stitchview.follow.band import Band
from stitchview.follow.bandrecord import from_json as read_band
from stitchview.follow.bandrecord import to_json as write_band
from stitchview.follow.runs import Going
from stitchview.plan.piece import PIECE, Piece, piece_read, piece_written
from stitchview.ui.asidepanel import Aside
from stitchview.ui.calls import Calls, Follow
from stitchview.ui.going import Spectacles
from stitchview.ui.holding import Held
from stitchview.ui.overchart import OVER, OverChart, over_read, over_written

# Beyond this no square of any chart can lie, and whole numbers in JSON are not safe (RFC 8259, 6).
FARTHEST = 2**31
MARKED_AS = {DONE: "done", FIRST_LEG: "first leg", LATER: "later", MISTAKE: "mistake"}


@dataclass(frozen=True, slots=True)
class Stop:
    """All that is found again next evening; columns and rows count from 0 on the chart as it is now."""

    held: Held
    view: Spectacles | None = None
    band: Band | None = None
    cursor: tuple[int, int] | None = None
    paper: bool = False
    worked: bool = False
    shown: Shown | None = None
    turn: Turn = UPRIGHT
    follow: Follow = Follow()  # noqa: RUF009 (frozen, so one default can be shared)
    piece: Piece = Piece()  # noqa: RUF009 (as above)
    over: OverChart = OverChart()  # noqa: RUF009 (as above)


def to_json(stop: Stop, chart: Chart) -> dict[str, Any]:
    """The stop as a JSON object; squares are written by address, the thread by its code."""
    column, row = chart.origin
    held, view, cursor = stop.held, stop.view, stop.cursor
    return {
        "view": view and {"column": view.column + column, "row": view.row + row, "pitch": view.pitch},
        "band": stop.band and write_band(stop.band, chart.origin),
        "pointer": cursor and {"column": cursor[0] + column, "row": cursor[1] + row},
        "calls": _calls_written(stop.follow.calls, chart.origin),
        "aside": {"on": stop.follow.listed, "list": stop.follow.aside.value},
        "thread": chart.key[held.thread - 1].code if held.thread else None,
        "looks": {"paper": stop.paper, "worked": stop.worked}
        | ({"shown": stop.shown.value} if stop.shown is not None else {}),
        "turn": {"quarters": stop.turn.quarters, "mirrored": stop.turn.mirrored},
        "tool": held.tool.value,
        "marks_as": MARKED_AS[held.state],
        "shape": held.shape.value,
        "takes": {
            "crosses": held.crosses,
            "lines": held.lines,
            "points": held.points,
            "only": held.only,
        },
        PIECE: piece_written(stop.piece),
        OVER: over_written(stop.over, chart),
    }


def from_json(record: Mapping[str, Any], chart: Chart) -> Stop:
    """The stop that was written down; whatever in it makes no sense is as at a first opening.

    Places beyond a chart that has lost a sheet since are brought back by whoever uses them.
    """
    looks = _members(record, "looks")
    return Stop(
        held=_held(record, chart),
        view=_view(_members(record, "view"), chart.origin),
        band=read_band(record.get("band"), chart.area, chart.origin),
        cursor=_square(_members(record, "pointer"), chart),
        paper=_switch(looks, "paper", False),
        worked=_switch(looks, "worked", False),
        shown=next((each for each in Shown if each == looks.get("shown")), None),
        turn=_turn(_members(record, "turn")),
        follow=_follow(record, chart),
        piece=piece_read(_members(record, PIECE)),
        over=over_read(_members(record, OVER), chart),
    )


def _held(record: Mapping[str, Any], chart: Chart) -> Held:
    takes = _members(record, "takes")
    tool, shape, code = record.get("tool"), record.get("shape"), record.get("thread")
    crosses, lines, points = (_switch(takes, name, True) for name in ("crosses", "lines", "points"))
    something = crosses or lines or points
    codes = {entry.code: number for number, entry in enumerate(chart.key, start=1)}
    return Held(
        tool=Tool(tool) if tool in (Tool.LOOK, Tool.MARK, Tool.UNPICK) else Tool.LOOK,
        shape=Shape(shape) if shape in tuple(Shape) else Shape.SWEEP,
        crosses=crosses or not something,
        lines=lines or not something,
        points=points or not something,
        only=_switch(takes, "only", False),
        thread=codes.get(code, 0) if isinstance(code, str) else 0,
        state=next((each for each, name in MARKED_AS.items() if name == record.get("marks_as")), DONE),
    )


def _calls_written(calls: Calls, origin: tuple[int, int]) -> dict[str, Any]:
    at = calls.at
    return {
        "on": calls.on,
        "going": calls.going.value,
        "all_threads": calls.all_threads,
        "at": at and {"column": at[0] + origin[0], "row": at[1] + origin[1]},
    }


def _follow(record: Mapping[str, Any], chart: Chart) -> Follow:
    aside = _members(record, "aside")
    kind = aside.get("list")
    return Follow(
        _calls(_members(record, "calls"), chart),
        Aside(kind) if kind in tuple(Aside) else Aside.NEAREST,
        _switch(aside, "on", False),
    )


def _calls(record: Mapping[str, Any], chart: Chart) -> Calls:
    going = record.get("going")
    return Calls(
        on=_switch(record, "on", False),
        going=Going(going) if going in tuple(Going) else Going.ON,
        all_threads=_switch(record, "all_threads", False),
        at=_square(_members(record, "at"), chart),
    )


def _view(record: Mapping[str, Any], origin: tuple[int, int]) -> Spectacles | None:
    column, row, pitch = (_number(record.get(name)) for name in ("column", "row", "pitch"))
    if column is None or row is None or pitch is None or not pitch > 0:
        return None
    return Spectacles(column - origin[0], row - origin[1], pitch)


def _turn(record: Mapping[str, Any]) -> Turn:
    quarters = record.get("quarters")
    # A bool is an int in Python, though not in JSON; so the exact type is asked for.
    known = quarters if type(quarters) is int and quarters in range(4) else 0
    return Turn(known, _switch(record, "mirrored", False))


def _square(record: Mapping[str, Any], chart: Chart) -> tuple[int, int] | None:
    column, row = record.get("column"), record.get("row")
    # A bool is an int in Python, though not in JSON; so the exact type is asked for.
    if type(column) is not int or type(row) is not int:
        return None
    square = column - chart.origin[0], row - chart.origin[1]
    return square if chart.area.holds(*square) else None


def _members(record: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    found = record.get(name)
    return found if isinstance(found, dict) else {}


def _switch(record: Mapping[str, Any], name: str, otherwise: bool) -> bool:
    found = record.get(name)
    return found if isinstance(found, bool) else otherwise


def _number(value: object) -> float | None:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    # Comparing comes before converting: a whole number may be too long for a float.
    return float(value) if abs(value) < FARTHEST and math.isfinite(value) else None
