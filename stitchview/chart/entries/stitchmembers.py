"""Part stitches, lines, knots and beads in `chart.json`: from its objects to tables, and back.

Files give addresses (which keep when the chart grows), tables count from the top left square.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np

from stitchview.chart.entries import stitchrules
from stitchview.chart.entries.headmembers import Head
from stitchview.chart.entries.members import Members, with_unknown
from stitchview.chart.entries.places import addresses, placed
from stitchview.chart.entries.stitchcolumns import columns_of
from stitchview.chart.model import Squares
from stitchview.chart.stitches import LineKind, Lines, Parts, PartShape, PointKind, Points

_HALVES = {"rising": PartShape.HALF_RISING, "falling": PartShape.HALF_FALLING}
_QUARTERS = {
    "top-left": PartShape.QUARTER_TOP_LEFT,
    "top-right": PartShape.QUARTER_TOP_RIGHT,
    "bottom-left": PartShape.QUARTER_BOTTOM_LEFT,
    "bottom-right": PartShape.QUARTER_BOTTOM_RIGHT,
}
_THREE_QUARTERS = {
    "top-left": PartShape.THREE_QUARTER_TOP_LEFT,
    "top-right": PartShape.THREE_QUARTER_TOP_RIGHT,
    "bottom-left": PartShape.THREE_QUARTER_BOTTOM_LEFT,
    "bottom-right": PartShape.THREE_QUARTER_BOTTOM_RIGHT,
}
_WAYS = {
    "half": ("lean", "corner", _HALVES),
    "quarter": ("corner", "lean", _QUARTERS),
    "three-quarter": ("corner", "lean", _THREE_QUARTERS),
}
_LINE_KINDS = {"back": LineKind.BACK, "straight": LineKind.STRAIGHT}
_POINT_KINDS = {"knot": PointKind.KNOT, "bead": PointKind.BEAD}

_PART_MEMBERS = frozenset({"at", "stitch", "lean", "corner", "code"})
_LINE_MEMBERS = frozenset({"stitch", "from", "to", "code"})
_POINT_MEMBERS = frozenset({"stitch", "at", "code"})

_PART_FAULT = (
    "needs “stitch”: half with “lean” (rising, falling), or quarter or three-quarter with “corner”"
    " (top-left, top-right, bottom-left, bottom-right)"
)


def read_parts(top: Members, numbers: Mapping[str, int], head: Head, squares: Squares) -> Parts:
    """The part stitches; `numbers` gives the key number of a code, from 1."""
    rows = columns_of(top, "part_stitches", "part stitch")
    shapes = rows.numbers(_PART_FAULT, _shape_of)
    keys = rows.keys(numbers)
    at = rows.pairs("at")
    places = None if at is None else placed(rows, at, head, 1)
    if places is None or not (shapes.all() and keys.all()):
        return Parts()
    stitchrules.check_parts(rows, places, shapes, squares)
    columns, lines = places.T.astype(np.int32)
    return Parts(columns, lines, shapes.astype(np.uint8), keys.astype(np.uint16), rows.unknown(_PART_MEMBERS))


def read_lines(top: Members, numbers: Mapping[str, int], head: Head) -> Lines:
    """The back and straight stitch lines, in half squares."""
    rows = columns_of(top, "lines", "stitch line")
    kinds = rows.numbers("needs “stitch”: back or straight", lambda row: _kind_of(row, _LINE_KINDS))
    keys = rows.keys(numbers)
    ends = [
        None if place is None else placed(rows, place, head, 2) for place in map(rows.pairs, ("from", "to"))
    ]
    if ends[0] is None or ends[1] is None or not (kinds.all() and keys.all()):
        return Lines()
    stitchrules.check_lines(rows, np.hstack(ends), kinds, keys)  # type: ignore[arg-type]
    x1, y1 = ends[0].T.astype(np.int32)
    x2, y2 = ends[1].T.astype(np.int32)
    return Lines(x1, y1, x2, y2, kinds.astype(np.uint8), keys.astype(np.uint16), rows.unknown(_LINE_MEMBERS))


def read_points(top: Members, numbers: Mapping[str, int], head: Head) -> Points:
    """The knots and beads, in half squares."""
    rows = columns_of(top, "points", "knot or bead")
    kinds = rows.numbers("needs “stitch”: knot or bead", lambda row: _kind_of(row, _POINT_KINDS))
    keys = rows.keys(numbers)
    at = rows.pairs("at")
    places = None if at is None else placed(rows, at, head, 2)
    if places is None or not (kinds.all() and keys.all()):
        return Points()
    stitchrules.check_points(rows, places, kinds, keys)
    x, y = places.T.astype(np.int32)
    return Points(x, y, kinds.astype(np.uint8), keys.astype(np.uint16), rows.unknown(_POINT_MEMBERS))


def part_members(parts: Parts, codes: Sequence[str], origin: tuple[int, int]) -> Iterator[dict[str, Any]]:
    """One JSON object for each part stitch, in canonical order."""
    names = {
        shape: (stitch, way, name)
        for stitch, (way, _, shapes) in _WAYS.items()
        for name, shape in shapes.items()
    }
    at = addresses(parts.columns, parts.rows, origin, 1)
    for index, (place, shape, key) in enumerate(
        zip(at, parts.shapes.tolist(), parts.keys.tolist(), strict=True)
    ):
        stitch, way, name = names[PartShape(shape)]
        members = {"at": place, "stitch": stitch, way: name, "code": codes[key - 1]}
        yield with_unknown(members, parts.extra.get(index))


def line_members(lines: Lines, codes: Sequence[str], origin: tuple[int, int]) -> Iterator[dict[str, Any]]:
    """One JSON object for each line, in canonical order."""
    names = {kind: name for name, kind in _LINE_KINDS.items()}
    ends = zip(
        addresses(lines.x1, lines.y1, origin, 2), addresses(lines.x2, lines.y2, origin, 2), strict=True
    )
    for index, (places, kind, key) in enumerate(
        zip(ends, lines.kinds.tolist(), lines.keys.tolist(), strict=True)
    ):
        members = {
            "stitch": names[LineKind(kind)],
            "from": places[0],
            "to": places[1],
            "code": codes[key - 1],
        }
        yield with_unknown(members, lines.extra.get(index))


def point_members(points: Points, codes: Sequence[str], origin: tuple[int, int]) -> Iterator[dict[str, Any]]:
    """One JSON object for each knot or bead, in canonical order."""
    names = {kind: name for name, kind in _POINT_KINDS.items()}
    at = addresses(points.x, points.y, origin, 2)
    for index, (place, kind, key) in enumerate(
        zip(at, points.kinds.tolist(), points.keys.tolist(), strict=True)
    ):
        members = {"stitch": names[PointKind(kind)], "at": place, "code": codes[key - 1]}
        yield with_unknown(members, points.extra.get(index))


def _shape_of(row: dict[str, Any]) -> int:
    stitch = row.get("stitch")
    wanted, unwanted, shapes = _WAYS.get(stitch, ("", "", {})) if isinstance(stitch, str) else ("", "", {})
    name = row.get(wanted)
    return shapes.get(name, 0) if isinstance(name, str) and unwanted not in row else 0


def _kind_of(row: dict[str, Any], kinds: Mapping[str, int]) -> int:
    stitch = row.get("stitch")
    return kinds.get(stitch, 0) if isinstance(stitch, str) else 0
