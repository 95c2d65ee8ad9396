"""The corner between the rulers: an arrow to the chart's top, and a cross as it is seen to lie."""

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPainterPath, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from stitchview.canvas.looks import Look
from stitchview.canvas.qtcolours import as_qt
from stitchview.chart.turning import UPRIGHT, Turn
from stitchview.follow.turnwords import top_seen, turn_words, upper_legs_rise

_DEGREES = {(0, -1): 0, (1, 0): 90, (0, 1): 180, (-1, 0): 270}
# Of the corner's smaller side.
_ARROW, _CROSS = 0.8, 0.56
_ALONE = QSize(58, 30)


class TopSign(QWidget):
    """Shows at all times where the chart's top is, and which leg of a cross lies above."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look, self._turn = Look(), UPRIGHT
        self._framed = False
        self.setAccessibleName("Top of the chart")
        self._tell()

    def set_look(self, look: Look) -> None:
        """Wear the colours of day or night."""
        if look.ground != self._look.ground:
            self.update()
        self._look = look

    def set_turn(self, turn: Turn) -> None:
        """Show where the top is once the chart is turned."""
        if turn != self._turn:
            self._turn = turn
            self._tell()
            self.update()

    def set_framed(self, framed: bool) -> None:
        """Stand on the chart by itself, with a rim; or between the rulers."""
        self._framed = framed
        if framed:
            self.resize(_ALONE)
        self.update()

    def sizeHint(self) -> QSize:
        """Take whatever the rulers leave."""
        return QSize(0, 0)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the ground, the arrow and the cross."""
        ground = self._look.ground
        painter = QPainter(self)
        painter.fillRect(self.rect(), as_qt(ground.desk))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        side = min(self.height(), self.width() / 2) - 2
        if side >= 8:
            middle = self.height() / 2
            self._paint_arrow(painter, QPointF(self.width() * 0.27, middle), side * _ARROW)
            self._paint_cross(painter, QPointF(self.width() * 0.73, middle), side * _CROSS)
        if self._framed:
            painter.setPen(QPen(as_qt(ground.border), 1))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5))
        painter.end()

    def _paint_arrow(self, painter: QPainter, middle: QPointF, side: float) -> None:
        painter.save()
        painter.translate(middle)
        painter.rotate(_DEGREES[top_seen(self._turn)])
        half = side / 2
        arrow = QPainterPath(QPointF(0, -half))
        for x, y in ((half * 0.75, 0), (half * 0.22, 0), (half * 0.22, half), (-half * 0.22, half),
                     (-half * 0.22, 0), (-half * 0.75, 0)):  # fmt: skip
            arrow.lineTo(x, y)
        arrow.closeSubpath()
        turned = not self._turn.upright
        painter.fillPath(arrow, as_qt(self._look.ground.edge if turned else self._look.ground.border))
        painter.restore()

    def _paint_cross(self, painter: QPainter, middle: QPointF, side: float) -> None:
        half, ground = side / 2, self._look.ground
        rising = QLineF(middle + QPointF(-half, half), middle + QPointF(half, -half))
        falling = QLineF(middle + QPointF(-half, -half), middle + QPointF(half, half))
        below, above = (falling, rising) if upper_legs_rise(self._turn) else (rising, falling)
        for leg, ink, width in (
            (below, ground.border, side * 0.17),
            (above, ground.desk, side * 0.55),
            (above, ground.border, side * 0.24),
        ):
            painter.setPen(QPen(as_qt(ink), width, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap))
            painter.drawLine(leg)

    def _tell(self) -> None:
        words = turn_words(self._turn)
        self.setToolTip(words)
        self.setAccessibleDescription(words)
