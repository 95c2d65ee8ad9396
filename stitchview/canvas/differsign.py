"""Where the cloth differs from the chart: a rim and a badge of its own, and a hatching where nothing is."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from PySide6.QtCore import QPoint, QPointF, QRect, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen, QPixmap, QPolygonF

from stitchview.canvas.view import View
from stitchview.chart.area import Area
from stitchview.done.differences import Added, Difference, NotWorked, OtherThread, Shifted

BADGE = 15
"""Pixels of a badge's side, whatever the zoom."""
TILE = 64
"""Pixels of a tile of hatching, a multiple of those after which the patterns of Qt begin anew."""
SMALLEST_BADGED = 3
"""Below this many pixels a side an area has no badge, or badges would hide the chart."""


@dataclass(frozen=True)
class DifferSign:
    """One difference as it is drawn: the areas with stitches, those left bare, and the badge's shape.

    `shape` is "shift" with a direction (`across`, `down`), "thread", "less" or "more".
    """

    rims: tuple[Area, ...]
    bare: tuple[Area, ...]
    shape: str
    across: int = 0
    down: int = 0

    @cached_property
    def bounds(self) -> tuple[int, int, int, int]:
        """The first column and row of the squares it is drawn over, and those after the last."""
        reach = Area(0, 0, 0, 0)
        for each in (*self.rims, *self.bare):
            reach = reach.joined(each)
        return reach.column, reach.row, reach.right, reach.bottom


def signs_near(signs: Sequence[DifferSign], area: Area) -> list[DifferSign]:
    """Those drawn over squares of an area: asked in plain numbers, since there may be a thousand of them."""
    left, top, right, bottom = area.column, area.row, area.right, area.bottom
    mine = ((sign, sign.bounds) for sign in signs)
    return [sign for sign, at in mine if at[0] < right and left < at[2] and at[1] < bottom and top < at[3]]


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


def draw_differing(
    painter: QPainter, view: View, signs: Sequence[DifferSign], inks: tuple[QColor, QColor], hatch: QPixmap
) -> None:
    """Draw differences in an ink on paper; everything lies on whole pixels of the chart."""
    ink, paper = inks
    for sign in signs:
        for area in sign.bare:
            painter.drawTiledPixmap(QRect(*view.pixels_of(area)), hatch)
    rooms = [QRect(*view.pixels_of(area)) for sign in signs for area in sign.rims]
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    # Bars and no outlines: where Qt clips an outline, its corners are not those of the whole one.
    painter.setPen(Qt.PenStyle.NoPen)
    # All rims of one ink at once: one by one, forty of them would cost as much as the chart below.
    for outer, inner, colour in ((3, 0, ink), (2, 1, paper)):
        painter.setBrush(colour)
        painter.drawRects([bar for room in rooms for bar in _bars(room, outer, inner)])


def _bars(room: QRect, outer: int, inner: int) -> tuple[QRect, QRect, QRect, QRect]:
    """The four bars of a rim that begins `inner` pixels off a room and ends `outer` pixels off it."""
    x, y, wide, high, thick = room.x(), room.y(), room.width(), room.height(), outer - inner
    across, left, right = wide + 2 * outer, x - outer, x + wide + inner
    down = high + 2 * inner
    return (
        QRect(left, y - outer, across, thick),
        QRect(left, y + high + inner, across, thick),
        QRect(left, y - inner, thick, down),
        QRect(right, y - inner, thick, down),
    )


def draw_hatch(painter: QPainter, inks: tuple[QColor, QColor]) -> None:
    """Draw a tile of the hatching of bare squares, which goes on from tile to tile."""
    ink, paper = inks
    painter.fillRect(0, 0, TILE, TILE, QBrush(paper, Qt.BrushStyle.Dense4Pattern))
    painter.fillRect(0, 0, TILE, TILE, QBrush(ink, Qt.BrushStyle.BDiagPattern))


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
