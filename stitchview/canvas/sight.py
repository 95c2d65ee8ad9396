"""What a view and what it shows come to in pixels: worked out once, not for every piece drawn anew."""

from collections.abc import Iterator
from typing import NamedTuple

from PySide6.QtCore import QRect

from stitchview.canvas.showing import Showing, turned_showing
from stitchview.canvas.strips import around
from stitchview.canvas.view import View
from stitchview.chart.area import Area

# The band's edge and the light hair beside it.
EDGE_WIDTH = 4


class Edges(NamedTuple):
    """Which sides of the band have an edge: those that lie inside the chart."""

    left: bool
    top: bool
    right: bool
    bottom: bool


class Sight:
    """A view, what is shown in it, and both as they lie once the chart is turned (`flat` and `seen`).

    `room` is the pixels the whole chart lies on, `lit_room` those of what is lit (None while all is, or
    nothing), `edged` those with the edges around them. Nothing of it is ever altered.
    """

    __slots__ = ("edged", "edges", "flat", "lit_room", "room", "seen", "showing", "view")

    def __init__(self, view: View, showing: Showing) -> None:
        self.view, self.showing = view, showing
        self.flat, self.seen = view.flat, turned_showing(showing, view)
        self.room = QRect(-view.left, -view.top, view.chart_width, view.chart_height)
        self.lit_room: QRect | None = None
        self.edged, self.edges = QRect(), Edges(False, False, False, False)
        lit, flat = self.seen.lit, self.flat
        if lit is not None and not lit.empty:
            self.lit_room = room = QRect(*flat.pixels_of(lit))
            self.edged = room.adjusted(-EDGE_WIDTH, -EDGE_WIDTH, EDGE_WIDTH, EDGE_WIDTH)
            self.edges = Edges(lit.column > 0, lit.row > 0, lit.right < flat.columns, lit.bottom < flat.rows)

    def beside_edges(self, exposed: QRect) -> QRect:
        """Give what of some exposed pixels the band's edges leave to be seen: they hide what they lie on."""
        room, edges = self.lit_room, self.edges
        if room is None or room.contains(exposed) or not self.edged.intersects(exposed):
            return exposed
        left, top, right, bottom = exposed.left(), exposed.top(), exposed.right(), exposed.bottom()
        if room.left() <= left and right <= room.right():
            top, bottom = _beside(top, bottom, (room.top(), room.bottom()), (edges.top, edges.bottom))
        if room.top() <= top and bottom <= room.bottom():
            left, right = _beside(left, right, (room.left(), room.right()), (edges.left, edges.right))
        return QRect(left, top, right - left + 1, bottom - top + 1)


def _beside(first: int, last: int, room: tuple[int, int], edges: tuple[bool, bool]) -> tuple[int, int]:
    """Cut off the start and the end of a stretch of pixels where an edge before or after `room` hides it."""
    low, high = room
    for there, begin, end in zip(
        edges, (low - EDGE_WIDTH, high + 1), (low - 1, high + EDGE_WIDTH), strict=True
    ):
        if there and begin <= first <= end:
            first = end + 1
        if there and begin <= last <= end:
            last = begin - 1
    return first, last


def altered_rooms(view: View, old: Area, lit: Area) -> Iterator[QRect]:
    """Give the pixels that look otherwise once `lit` is lit instead of `old`, edges included.

    The edges lie outside, so where both are lit nothing alters.
    """
    common = old.clipped(lit)
    kept = QRect() if common.empty else QRect(*view.pixels_of(common))
    window = QRect(0, 0, view.width, view.height)
    for area in (old, lit):
        for piece in [area] if common.empty else around(area, common):
            # Cut to the window first: beyond its sides, what is kept would not reach as far.
            room = QRect(*view.pixels_of(piece)).adjusted(-EDGE_WIDTH, -EDGE_WIDTH, EDGE_WIDTH, EDGE_WIDTH)
            yield _without(room.intersected(window), kept)


def _without(room: QRect, kept: QRect) -> QRect:
    """Give the smallest rectangle that holds what of `room` is not in `kept`."""
    left, top, right, bottom = room.left(), room.top(), room.right(), room.bottom()
    if kept.left() <= left and right <= kept.right():
        if kept.top() <= top <= kept.bottom():
            top = kept.bottom() + 1
        if kept.top() <= bottom <= kept.bottom():
            bottom = kept.top() - 1
    elif kept.top() <= top and bottom <= kept.bottom():
        if kept.left() <= left <= kept.right():
            left = kept.right() + 1
        if kept.left() <= right <= kept.right():
            right = kept.left() - 1
    return QRect(left, top, right - left + 1, bottom - top + 1)
