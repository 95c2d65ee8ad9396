"""What lies around the squares: the desk, the chart's border and centre arrows, the edges of the band."""

from PySide6.QtCore import QPointF, QRect, Qt
from PySide6.QtGui import QColor, QPainter, QPolygonF

from stitchview.canvas.frame import rim
from stitchview.canvas.qtcolours import as_qt
from stitchview.canvas.sight import EDGE_WIDTH, Sight
from stitchview.canvas.strips import around
from stitchview.canvas.view import View
from stitchview.chart.area import Area

BORDER_WIDTH = 2
ARROW = 9


def fill_around(painter: QPainter, sight: Sight, exposed: QRect) -> None:
    """Fill the desk around the chart, as far as it is exposed."""
    chart = sight.room
    if chart.contains(exposed):
        return
    shown = Area(exposed.x(), exposed.y(), exposed.width(), exposed.height())
    covered = shown.clipped(Area(chart.x(), chart.y(), chart.width(), chart.height()))
    desk = as_qt(sight.showing.look.ground.desk)
    for piece in [shown] if covered.empty else around(shown, covered):
        painter.fillRect(piece.column, piece.row, piece.columns, piece.rows, desk)


def draw_frame(painter: QPainter, sight: Sight, exposed: QRect) -> None:
    """Draw the chart's border, its centre arrows and the edges of the band, where exposed."""
    chart, ground, room = sight.room, sight.showing.look.ground, sight.lit_room
    if not chart.contains(exposed):
        border = as_qt(ground.border)
        rim(painter, chart, BORDER_WIDTH, border)
        _centre_arrows(painter, sight.flat, border)
    # Within the band's own squares, or well away from them, no edge is to be seen.
    if room is not None and sight.edged.intersects(exposed) and not room.contains(exposed):
        _band_edges(painter, sight, as_qt(ground.edge), as_qt(ground.paper))


def _band_edges(painter: QPainter, sight: Sight, ink: QColor, paper: QColor) -> None:
    """Draw only those edges that lie inside the chart: a band of rows has no ends."""
    room, edges = sight.lit_room, sight.edges
    if room is None:
        return
    x, y, width, height = room.x(), room.y(), room.width(), room.height()
    # A light hair outside the line shows it on dark squares too.
    for wide, colour in ((EDGE_WIDTH, paper), (EDGE_WIDTH - 1, ink)):
        if edges.top:
            painter.fillRect(x, y - wide, width, wide, colour)
        if edges.bottom:
            painter.fillRect(x, y + height, width, wide, colour)
        if edges.left:
            painter.fillRect(x - wide, y, wide, height, colour)
        if edges.right:
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
