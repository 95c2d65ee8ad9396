"""Correct a chart by hand, a square, line, knot or bead at a time; what was decided stays decided."""

from collections.abc import Sequence
from dataclasses import fields, replace
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.model import Chart
from stitchview.chart.review import ByHand, Decided
from stitchview.chart.stitches import LineKind, Lines, PointKind, Points
from stitchview.sheets.correcting import decided
from stitchview.sheets.pencilparts import without_part, without_parts

Point = tuple[int, int]
Mask = NDArray[np.bool_]
Table = TypeVar("Table", Lines, Points)

REACH = 0.3
"""How near in squares a press must be to a line or knot to mean it, and not the square beside it."""


def with_squares(chart: Chart, squares: Sequence[Point], number: int) -> Chart:
    """The chart with squares (column, row) of entry ``number``, 0 for none, and no part stitches in them."""
    places = [row * chart.columns + column for column, row in squares if chart.area.holds(column, row)]
    if not places or number > len(chart.key):
        return chart
    parts = chart.parts
    gone = np.flatnonzero(np.isin(parts.rows.astype(np.intp) * chart.columns + parts.columns, places))
    bare = replace(chart, parts=without_parts(parts, gone)) if len(gone) else chart
    return decided(bare, np.unique(np.array(places, np.intp)), number)


def with_line(chart: Chart, start: Point, end: Point, number: int, kind: LineKind = LineKind.BACK) -> Chart:
    """The chart with a back or straight stitch between two points in half squares, of entry ``number``.

    One of that kind that lies there already is given the entry; it is not drawn twice.
    """
    if start == end or not number or not (_inside(chart, start) and _inside(chart, end)):
        return chart
    there = _same_line(chart.lines, start, end, kind)
    if there is not None and chart.lines.keys[there] == number:
        return chart
    lines = chart.lines if there is None else _without(chart.lines, there)
    longer = replace(
        lines,
        x1=_longer(lines.x1, start[0]),
        y1=_longer(lines.y1, start[1]),
        x2=_longer(lines.x2, end[0]),
        y2=_longer(lines.y2, end[1]),
        kinds=_longer(lines.kinds, kind),
        keys=_longer(lines.keys, number),
    )
    return replace(chart, lines=longer, by_hand=_noted(chart.by_hand, Decided.LINES, (*start, *end)))


def with_point(chart: Chart, place: Point, number: int) -> Chart:
    """The chart with a knot at a point in half squares, a bead where the entry is one; of ``number``."""
    if not number or not _inside(chart, place):
        return chart
    bead = chart.key[number - 1].kind == "bead"
    there = np.flatnonzero((chart.points.x == place[0]) & (chart.points.y == place[1]))
    if number in chart.points.keys[there]:
        return chart
    points = chart.points if not len(there) else _without(chart.points, int(there[0]))
    longer = replace(
        points,
        x=_longer(points.x, place[0]),
        y=_longer(points.y, place[1]),
        kinds=_longer(points.kinds, PointKind.BEAD if bead else PointKind.KNOT),
        keys=_longer(points.keys, number),
    )
    return replace(chart, points=longer, by_hand=_noted(chart.by_hand, Decided.POINTS, (*place, *place)))


def rubbed_out(chart: Chart, x: float, y: float) -> Chart:
    """The chart without the knot at a place in squares, else the line, the part stitch, the whole square."""
    # Knots sit on lines more often than not, and are the smaller of the two.
    point = _nearest_point(chart, x, y)
    if point is not None:
        return _without_point(chart, point)
    line = _nearest_line(chart, x, y)
    if line is not None:
        return _without_line(chart, line)
    fewer = without_part(chart, x, y)
    if fewer is not chart:
        return fewer
    square = int(np.floor(x)), int(np.floor(y))
    if not chart.area.holds(*square) or not chart.squares[square[1], square[0]]:
        return chart
    return with_squares(chart, [square], 0)


def _without_line(chart: Chart, at: int) -> Chart:
    lines = chart.lines
    way = int(lines.x1[at]), int(lines.y1[at]), int(lines.x2[at]), int(lines.y2[at])
    return replace(chart, lines=_without(lines, at), by_hand=_noted(chart.by_hand, Decided.LINES, way))


def _without_point(chart: Chart, at: int) -> Chart:
    points = chart.points
    place = int(points.x[at]), int(points.y[at])
    noted = _noted(chart.by_hand, Decided.POINTS, (*place, *place))
    return replace(chart, points=_without(points, at), by_hand=noted)


def _without(table: Table, at: int) -> Table:
    """A table of stitches without one of them."""
    left = np.arange(len(table)) != at
    arrays = {each.name: getattr(table, each.name)[left] for each in fields(table) if each.name != "extra"}
    return replace(table, **arrays, extra=_kept(table.extra, left))


def _same_line(lines: Lines, start: Point, end: Point, kind: LineKind) -> int | None:
    """The line of a kind that runs between two points, whichever way."""
    ends = np.stack([lines.x1, lines.y1, lines.x2, lines.y2], axis=1)
    both = (ends == (*start, *end)).all(axis=1) | (ends == (*end, *start)).all(axis=1)
    there = np.flatnonzero(both & (lines.kinds == kind))
    return int(there[0]) if len(there) else None


def _nearest_point(chart: Chart, x: float, y: float) -> int | None:
    far = np.hypot(chart.points.x / 2 - x, chart.points.y / 2 - y)
    return _within_reach(far)


def _nearest_line(chart: Chart, x: float, y: float) -> int | None:
    lines = chart.lines
    start = np.stack([lines.x1, lines.y1], axis=1) / 2
    way = np.stack([lines.x2, lines.y2], axis=1) / 2 - start
    to = np.array([x, y]) - start
    along = np.clip((to * way).sum(axis=1) / np.maximum((way * way).sum(axis=1), 1e-9), 0, 1)
    return _within_reach(np.hypot(*(to - along[:, None] * way).T) if len(lines) else np.zeros(0))


def _within_reach(far: NDArray[np.floating]) -> int | None:
    if not len(far):
        return None
    nearest = int(far.argmin())
    return nearest if far[nearest] <= REACH else None


def _inside(chart: Chart, place: Point) -> bool:
    return 0 <= place[0] <= 2 * chart.columns and 0 <= place[1] <= 2 * chart.rows


def _longer(array: NDArray[Any], value: int) -> NDArray[Any]:
    return np.append(array, np.array(value, array.dtype))


def _kept(extra: dict[int, dict[str, Any]], left: Mask) -> dict[int, dict[str, Any]]:
    return {place: extra[at] for place, at in enumerate(np.flatnonzero(left).tolist()) if at in extra}


def _noted(by_hand: ByHand, kind: Decided, box: tuple[int, int, int, int]) -> ByHand:
    return ByHand(
        _longer(by_hand.kinds, kind),
        _longer(by_hand.x1, box[0]),
        _longer(by_hand.y1, box[1]),
        _longer(by_hand.x2, box[2]),
        _longer(by_hand.y2, box[3]),
        by_hand.extra,
    )
