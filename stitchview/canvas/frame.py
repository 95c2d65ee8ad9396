"""The lines around things: the chart's border and centre arrows, the band's edges, the pointers."""

from dataclasses import dataclass, replace

from PySide6.QtCore import QPointF, QRect, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from stitchview.canvas.looks import Ground
from stitchview.canvas.qtcolours import as_qt
from stitchview.canvas.strips import around
from stitchview.canvas.touch import Preview
from stitchview.canvas.view import View
from stitchview.chart.area import Area

# The band's edge and the light hair beside it.
EDGE_WIDTH = 4
BORDER_WIDTH = 2
ARROW = 9


@dataclass(frozen=True, slots=True)
class Pointers:
    """What is pointed at: the square under the keyboard, what a gesture would take, the last marks made.

    `called` is the run that is called out to be worked now.
    """

    cursor: tuple[int, int] | None = None
    stretched: Area | None = None
    swept: tuple[tuple[int, int], ...] = ()
    recalled: Area | None = None
    called: Area | None = None

    @property
    def areas(self) -> list[Area]:
        """Everything that is pointed at."""
        areas = [area for area in (self.stretched, self.recalled, self.called) if area is not None]
        if self.cursor is not None:
            areas.append(Area(*self.cursor, 1, 1))
        return areas + [Area(column, row, 1, 1) for column, row in self.swept]


NOTHING_POINTED_AT = Pointers()


def with_preview(pointers: Pointers, preview: Preview) -> Pointers:
    """Give the pointers with what a gesture would take now in place of what it would have taken."""
    return replace(pointers, stretched=preview.area, swept=preview.path)


def chart_room(view: View) -> QRect:
    """Give the pixels the whole chart lies on."""
    return QRect(-view.left, -view.top, view.chart_width, view.chart_height)


def fill_around(painter: QPainter, view: View, ground: Ground, exposed: QRect) -> None:
    """Fill the desk around the chart, as far as it is exposed."""
    chart = chart_room(view)
    if chart.contains(exposed):
        return
    shown = Area(exposed.x(), exposed.y(), exposed.width(), exposed.height())
    covered = shown.clipped(Area(chart.x(), chart.y(), chart.width(), chart.height()))
    desk = as_qt(ground.desk)
    for piece in [shown] if covered.empty else around(shown, covered):
        painter.fillRect(piece.column, piece.row, piece.columns, piece.rows, desk)


def draw_frame(painter: QPainter, view: View, lit: Area | None, ground: Ground, exposed: QRect) -> None:
    """Draw the chart's border, its centre arrows and the edges of the band around `lit`, where exposed."""
    if lit is not None:
        lit = view.turn.area(lit, view.columns, view.rows)
    view = view.flat
    chart = chart_room(view)
    if not chart.contains(exposed):
        border = as_qt(ground.border)
        _rim(painter, chart, BORDER_WIDTH, border)
        _centre_arrows(painter, view, border)
    if lit is not None and not lit.empty:
        room = QRect(*view.pixels_of(lit))
        # Within the band's own squares, or well away from them, no edge is to be seen.
        seen = room.adjusted(-EDGE_WIDTH, -EDGE_WIDTH, EDGE_WIDTH, EDGE_WIDTH).intersects(exposed)
        if seen and not room.contains(exposed):
            _band_edges(painter, view, lit, as_qt(ground.edge), as_qt(ground.paper))


def draw_pointers(painter: QPainter, view: View, pointers: Pointers, ground: Ground) -> None:
    """Draw the pointers: rims outside their squares, so that no symbol is hidden."""
    if pointers == NOTHING_POINTED_AT:
        return
    ink, paper = as_qt(ground.pointer), as_qt(ground.paper)
    if pointers.recalled is not None:
        room = QRect(*view.pixels_of(pointers.recalled))
        _rim(painter, room, 4, ink)
        _rim(painter, room.adjusted(-4, -4, 4, 4), 2, paper)
    if pointers.called is not None:
        room = QRect(*view.pixels_of(pointers.called))
        _rim(painter, room, 3, as_qt(ground.edge))
        _rim(painter, room.adjusted(-3, -3, 3, 3), 2, paper)
    if pointers.stretched is not None:
        _stretched(painter, QRect(*view.pixels_of(pointers.stretched)), ink, paper)
    if pointers.swept:
        _swept(painter, view, pointers.swept, ink, paper)
    if pointers.cursor is not None:
        room = QRect(*view.pixels_of(Area(*pointers.cursor, 1, 1)))
        _rim(painter, room, 2, ink)
        _rim(painter, room.adjusted(-2, -2, 2, 2), 1, paper)


def reach_of_pointers() -> int:
    """Give how many pixels beyond its squares a pointer or an edge is drawn, at most."""
    return 8


def _band_edges(painter: QPainter, view: View, lit: Area, ink: QColor, paper: QColor) -> None:
    """Draw only those edges that lie inside the chart: a band of rows has no ends."""
    room = QRect(*view.pixels_of(lit))
    x, y, width, height = room.x(), room.y(), room.width(), room.height()
    # A light hair outside the line shows it on dark squares too.
    for wide, colour in ((EDGE_WIDTH, paper), (EDGE_WIDTH - 1, ink)):
        if lit.row > 0:
            painter.fillRect(x, y - wide, width, wide, colour)
        if lit.bottom < view.rows:
            painter.fillRect(x, y + height, width, wide, colour)
        if lit.column > 0:
            painter.fillRect(x - wide, y, wide, height, colour)
        if lit.right < view.columns:
            painter.fillRect(x + width, y, wide, height, colour)


def _centre_arrows(painter: QPainter, view: View, ink: QColor) -> None:
    """Draw an arrow outside each side of the chart, pointing at its middle."""
    left, top = -view.left, -view.top
    right, bottom = left + view.chart_width, top + view.chart_height
    across, down = left + view.chart_width / 2, top + view.chart_height / 2
    painter.save()
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(ink)
    half = ARROW * 0.6
    for tip, first, second in (
        ((across, top - 4), (-half, -ARROW), (half, -ARROW)),
        ((across, bottom + 4), (-half, ARROW), (half, ARROW)),
        ((left - 4, down), (-ARROW, -half), (-ARROW, half)),
        ((right + 4, down), (ARROW, -half), (ARROW, half)),
    ):
        point = QPointF(*tip)
        painter.drawPolygon(QPolygonF([point, point + QPointF(*first), point + QPointF(*second)]))
    painter.restore()


def _stretched(painter: QPainter, room: QRect, ink: QColor, paper: QColor) -> None:
    wash = QColor(ink)
    wash.setAlpha(40)
    painter.fillRect(room, wash)
    # No dashes: Qt begins them where its clipping does, so a piece drawn anew would not fit.
    _rim(painter, room, 2, ink)
    _rim(painter, room.adjusted(-2, -2, 2, 2), 1, paper)


def _swept(
    painter: QPainter, view: View, squares: tuple[tuple[int, int], ...], ink: QColor, paper: QColor
) -> None:
    shown = view.area.grown(1)
    for column, row in squares:
        if shown.holds(column, row):
            room = QRect(*view.pixels_of(Area(column, row, 1, 1)))
            painter.setPen(QPen(paper, 3))
            painter.drawRect(room.adjusted(1, 1, -2, -2))
            painter.setPen(QPen(ink, 1))
            painter.drawRect(room.adjusted(1, 1, -2, -2))


def _rim(painter: QPainter, room: QRect, width: int, ink: QColor) -> None:
    """Draw a rim of `width` pixels around a rectangle, outside it."""
    x, y, wide, high = room.x(), room.y(), room.width(), room.height()
    painter.fillRect(x - width, y - width, wide + 2 * width, width, ink)
    painter.fillRect(x - width, y + high, wide + 2 * width, width, ink)
    painter.fillRect(x - width, y, width, high, ink)
    painter.fillRect(x + wide, y, width, high, ink)
