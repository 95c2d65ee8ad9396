"""Correct part stitches by hand: half, quarter and three-quarter ones, told by where they are pressed."""

from dataclasses import fields, replace
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.limits import MOST_PARTS_IN_SQUARE
from stitchview.chart.model import Chart
from stitchview.chart.stitches import CORNERS, HALVES, QUARTERS, THREE_QUARTERS, Parts, PartShape
from stitchview.sheets.correcting import decided

Square = tuple[int, int]
Table = NDArray[np.intp]


class PartKind(Enum):
    """A kind of part stitch: the shapes it has."""

    HALF = HALVES
    QUARTER = QUARTERS
    THREE_QUARTER = THREE_QUARTERS


def with_part(chart: Chart, x: float, y: float, kind: PartKind, number: int) -> Chart:
    """The chart with a part stitch of entry ``number`` in the square at a place in squares.

    The corner nearest to the place says which; right in the middle it is the next of its kind, so that keys
    come to each. A full cross there goes; a part of the same shape is replaced. Unchanged where the square
    holds as many parts as a square can.
    """
    column, row = int(np.floor(x)), int(np.floor(y))
    if not number or not chart.area.holds(column, row):
        return chart
    here = parts_in(chart.parts, (column, row))
    shape = _pressed(x - column, y - row, kind)
    if shape is None:
        mine = [at for at in here.tolist() if chart.parts.keys[at] == number]
        last = [at for at in mine if PartShape(int(chart.parts.shapes[at])) in kind.value]
        shape = _next(chart.parts, last[-1], kind) if last else kind.value[0]
        gone = here[(chart.parts.shapes[here] == shape) | np.isin(here, last[-1:])]
    else:
        gone = here[chart.parts.shapes[here] == shape]
    if len(here) - len(gone) >= MOST_PARTS_IN_SQUARE:
        return chart
    bare = _said(chart, (column, row))
    left = without_parts(chart.parts, gone)
    parts = replace(
        left,
        columns=np.append(left.columns, np.int32(column)),
        rows=np.append(left.rows, np.int32(row)),
        shapes=np.append(left.shapes, np.uint8(shape)),
        keys=np.append(left.keys, np.uint16(number)),
    )
    return replace(bare, parts=parts)


def without_part(chart: Chart, x: float, y: float) -> Chart:
    """The chart without that part stitch of the square at a place that is nearest to it."""
    column, row = int(np.floor(x)), int(np.floor(y))
    here = parts_in(chart.parts, (column, row))
    if not len(here):
        return chart
    far = [
        float(np.hypot(x - column - middle[0], y - row - middle[1]))
        for middle in (_middle(PartShape(int(shape))) for shape in chart.parts.shapes[here])
    ]
    gone = here[int(np.argmin(far))]
    return replace(_said(chart, (column, row)), parts=without_parts(chart.parts, np.array([gone])))


def parts_in(parts: Parts, square: Square) -> Table:
    """Which part stitches lie in a square."""
    return np.flatnonzero((parts.columns == square[0]) & (parts.rows == square[1]))


def without_parts(parts: Parts, gone: Table) -> Parts:
    """The part stitches without some of them."""
    left = np.ones(len(parts), np.bool_)
    left[gone] = False
    arrays = {each.name: getattr(parts, each.name)[left] for each in fields(parts) if each.name != "extra"}
    places = np.flatnonzero(left).tolist()
    extra = {place: parts.extra[at] for place, at in enumerate(places) if at in parts.extra}
    return replace(parts, **arrays, extra=extra)


def _said(chart: Chart, square: Square) -> Chart:
    """The chart with a person's word on a square, and no full cross in it."""
    return decided(chart, np.array([square[1] * chart.columns + square[0]], np.intp), 0)


def _pressed(across: float, down: float, kind: PartKind) -> PartShape | None:
    """Which shape a place within a square means, 0 to 1 each way; None right in its middle."""
    if across == down == 0.5:
        return None
    right, bottom = across >= 0.5, down >= 0.5
    if kind is PartKind.HALF:
        return PartShape.HALF_FALLING if right == bottom else PartShape.HALF_RISING
    shapes: tuple[PartShape, ...] = kind.value
    return next(shape for shape in shapes if CORNERS[shape] == (right, bottom))


def _next(parts: Parts, at: int, kind: PartKind) -> PartShape:
    shapes: tuple[PartShape, ...] = kind.value
    return shapes[(shapes.index(PartShape(int(parts.shapes[at]))) + 1) % len(shapes)]


def _middle(shape: PartShape) -> tuple[float, float]:
    """Where in its square, 0 to 1 each way, most of a part stitch lies."""
    if shape in HALVES:
        return 0.5, 0.5
    right, bottom = CORNERS[shape]
    return 0.25 + 0.5 * right, 0.25 + 0.5 * bottom
