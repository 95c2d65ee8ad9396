"""Where the cloth differs from the chart: a rim and a badge of its own, and a hatching where nothing is."""

from dataclasses import dataclass

from PySide6.QtCore import QPoint, QPointF, QRect, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen, QPolygonF

from stitchview.canvas.frame import rim
from stitchview.canvas.view import View
from stitchview.chart.area import Area
from stitchview.done.differences import Added, Difference, NotWorked, OtherThread, Shifted

BADGE = 15
"""Pixels of a badge's side, whatever the zoom."""
SMALLEST_BADGED = 3
"""Below this many pixels a side an area has no badge, or badges would hide the chart."""


@dataclass(frozen=True, slots=True)
class DifferSign:
    """One difference as it is drawn: the areas with stitches, those left bare, and the badge's shape.

    `shape` is "shift" with a direction (`across`, `down`), "thread", "less" or "more".
    """

    rims: tuple[Area, ...]
    bare: tuple[Area, ...]
    shape: str
    across: int = 0
    down: int = 0

    @property
    def reach(self) -> Area:
        """The squares it is drawn over."""
        reach = Area(0, 0, 0, 0)
        for each in (*self.rims, *self.bare):
            reach = reach.joined(each)
        return reach


def sign_of(difference: Difference) -> DifferSign:
    """How a difference is drawn."""
    match difference:
        case Shifted():
            way = (
                (difference.across > 0) - (difference.across < 0),
                (difference.down > 0) - (difference.down < 0),
            )
            bare = tuple(_without(difference.area, difference.target))
            return DifferSign((difference.target,), bare, "shift", *way)
        case OtherThread():
            return DifferSign((difference.area,), (), "thread")
        case NotWorked():
            return DifferSign((difference.area,), (difference.area,), "less")
        case Added():
            return DifferSign((difference.area,), (), "more")


def draw_differing(painter: QPainter, view: View, sign: DifferSign, inks: tuple[QColor, QColor]) -> None:
    """Draw one difference in an ink on paper; everything lies on whole pixels of the chart."""
    ink, paper = inks
    for area in sign.bare:
        room = QRect(*view.pixels_of(area))
        painter.setBrushOrigin(room.topLeft())
        painter.fillRect(room, QBrush(paper, Qt.BrushStyle.Dense4Pattern))
        painter.fillRect(room, QBrush(ink, Qt.BrushStyle.BDiagPattern))
    painter.setBrushOrigin(QPoint())
    for area in sign.rims:
        room = QRect(*view.pixels_of(area))
        rim(painter, room, 1, ink)
        rim(painter, room.adjusted(-1, -1, 1, 1), 1, paper)
        rim(painter, room.adjusted(-2, -2, 2, 2), 1, ink)


def badge_corner(view: View, sign: DifferSign) -> QPoint | None:
    """Where the badge's top left corner lies, off the area's own; None where there is no room."""
    room = QRect(*view.pixels_of(sign.rims[0]))
    if max(room.width(), room.height()) < SMALLEST_BADGED:
        return None
    return room.topLeft() - QPoint(BADGE, BADGE)


def draw_badge(
    painter: QPainter, sign: DifferSign, inks: tuple[QColor, QColor], turned: tuple[int, int]
) -> None:
    """Draw a badge into a square of `BADGE` pixels: its shape tells the kind; `turned` is the way it goes."""
    ink, paper = inks
    painter.fillRect(0, 0, BADGE, BADGE, paper)
    painter.fillRect(1, 1, BADGE - 2, BADGE - 2, ink)
    painter.setPen(QPen(paper, 2))
    middle = BADGE / 2
    reach = BADGE / 2 - 3.5
    if sign.shape == "shift":
        _arrow(painter, middle, reach, turned, paper)
        return
    painter.drawLine(QPointF(middle - reach, middle), QPointF(middle + reach, middle))
    if sign.shape == "more":
        painter.drawLine(QPointF(middle, middle - reach), QPointF(middle, middle + reach))
    if sign.shape == "thread":
        painter.fillRect(1, 1, BADGE - 2, BADGE - 2, ink)
        for row in (middle - 2.5, middle + 2.5):
            painter.drawLine(QPointF(middle - reach, row), QPointF(middle + reach, row))
        painter.drawLine(QPointF(middle - 2.5, middle + reach + 1), QPointF(middle + 2.5, middle - reach - 1))


def _arrow(painter: QPainter, middle: float, reach: float, way: tuple[int, int], paper: QColor) -> None:
    across, down = way
    tip = QPointF(middle + across * reach, middle + down * reach)
    tail = QPointF(middle - across * reach, middle - down * reach)
    painter.drawLine(tail, QPointF(middle, middle))
    painter.setBrush(paper)
    painter.setPen(Qt.PenStyle.NoPen)
    side = QPointF(-down * 3.5, across * 3.5)
    root = QPointF(middle - across * 0.5, middle - down * 0.5)
    painter.drawPolygon(QPolygonF([tip, root + side, root - side]))


def _without(area: Area, other: Area) -> list[Area]:
    """The rectangles of an area that are not in the other."""
    shared = area.clipped(other)
    if shared.empty:
        return [area]
    found = [
        Area(area.column, area.row, area.columns, shared.row - area.row),
        Area(area.column, shared.bottom, area.columns, area.bottom - shared.bottom),
        Area(area.column, shared.row, shared.column - area.column, shared.rows),
        Area(shared.right, shared.row, area.right - shared.right, shared.rows),
    ]
    return [each for each in found if not each.empty]
