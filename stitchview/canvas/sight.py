"""What a view and what it shows come to in pixels: worked out once, not for every piece drawn anew."""

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from PySide6.QtCore import QRect

from stitchview.canvas.showing import Showing, turned_showing
from stitchview.canvas.view import View

# The band's edge and the light hair beside it.
EDGE_WIDTH = 4


class Edges(NamedTuple):
    """Which sides of the band have an edge: those that lie inside the chart."""

    left: bool
    top: bool
    right: bool
    bottom: bool


@dataclass(frozen=True)
class Sight:
    """A view, what is shown in it, and both as they lie once the chart is turned (`flat` and `seen`)."""

    view: View
    showing: Showing

    @cached_property
    def flat(self) -> View:
        """The view of the turned chart as if that stood upright."""
        return self.view.flat

    @cached_property
    def seen(self) -> Showing:
        """What is shown, with band and bold lines where they are seen."""
        return turned_showing(self.showing, self.view)

    @cached_property
    def room(self) -> QRect:
        """The pixels the whole chart lies on."""
        return QRect(-self.view.left, -self.view.top, self.view.chart_width, self.view.chart_height)

    @cached_property
    def lit_room(self) -> QRect | None:
        """The pixels of what is lit; None while all is, or nothing."""
        lit = self.seen.lit
        return None if lit is None or lit.empty else QRect(*self.flat.pixels_of(lit))

    @cached_property
    def edged(self) -> QRect:
        """The pixels of what is lit and of the edges around it."""
        room = self.lit_room or QRect()
        return room.adjusted(-EDGE_WIDTH, -EDGE_WIDTH, EDGE_WIDTH, EDGE_WIDTH)

    @cached_property
    def edges(self) -> Edges:
        """Which sides of what is lit have an edge."""
        lit, flat = self.seen.lit, self.flat
        if lit is None:
            return Edges(False, False, False, False)
        return Edges(lit.column > 0, lit.row > 0, lit.right < flat.columns, lit.bottom < flat.rows)

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
