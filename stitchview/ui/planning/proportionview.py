"""The chart with its real proportions, on the cloth as it lies and turned a quarter, both at one scale."""

from PySide6.QtCore import QRect, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetrics, QImage, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from stitchview.canvas.proportions import Outline, outline_in, square_picture, stretched
from stitchview.canvas.qtcolours import as_qt
from stitchview.chart.model import Chart
from stitchview.follow.clothpitch import Pitch
from stitchview.plan.clothcount import ClothCount, off_true
from stitchview.ui.theme import shades_of

SOURCE_PIXELS = 700
GAP = 16


class ProportionView(QWidget):
    """Draws the chart once, and lays it out anew for every count."""

    def __init__(self, chart: Chart) -> None:
        super().__init__()
        self._chart, self._count = chart, ClothCount()
        self._source: QImage | None = None
        self._drawn: dict[tuple[int, int], QImage] = {}
        self.setMinimumSize(220, 140)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName("The chart with its real proportions")

    def show_count(self, count: ClothCount) -> None:
        """Show the chart on other cloth."""
        if count != self._count:
            self._count = count
            self._drawn.clear()
            self.update()
        self.setAccessibleDescription(f"As the cloth lies: {off_true(count).words}.")

    def sizeHint(self) -> QSize:
        """Ask for room for two charts beside each other."""
        return QSize(420, 220)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw one chart, or two on cloth that is uneven."""
        counts = [self._count] if self._count.even else [self._count, self._count.turned]
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        line = QFontMetrics(self.font()).height() + 4
        room = QSize((self.width() - GAP * (len(counts) - 1)) // len(counts), self.height() - line)
        scale = min(self._scale(count, room) for count in counts)
        for at, count in enumerate(counts):
            place = QRect(at * (room.width() + GAP), 0, room.width(), room.height())
            self._draw_one(painter, place, count, scale)
            words = ("As the cloth lies", "Turned a quarter")[at] if len(counts) > 1 else ""
            below = QRect(place.x(), self.height() - line, place.width(), line)
            painter.setPen(as_qt(shades_of(self.palette()).quiet))
            painter.drawText(below, Qt.AlignmentFlag.AlignCenter, words)
        painter.end()

    def _scale(self, count: ClothCount, room: QSize) -> float:
        """Pixels to a millimetre, so that the chart and its true outline both lie in the room."""
        chart, true = self._chart, true_pitch(count.pitch)
        wide = chart.columns * max(count.pitch.across_mm, true.across_mm)
        high = chart.rows * max(count.pitch.down_mm, true.down_mm)
        return min((room.width() - 4) / wide, (room.height() - 4) / high)

    def _draw_one(self, painter: QPainter, place: QRect, count: ClothCount, scale: float) -> None:
        chart, shades = self._chart, shades_of(self.palette())
        outline = _outline(chart, count.pitch, scale)
        x = place.x() + (place.width() - outline.width) // 2
        y = place.y() + (place.height() - outline.height) // 2
        painter.drawImage(QRect(x, y, outline.width, outline.height), self._picture(outline))
        painter.setPen(QPen(as_qt(shades.edge), 1))
        painter.drawRect(QRectF(x - 0.5, y - 0.5, outline.width + 1, outline.height + 1))
        if count.even:
            return
        true = _outline(chart, true_pitch(count.pitch), scale)
        pen = QPen(as_qt(shades.pointer), 2, Qt.PenStyle.DashLine)
        painter.setPen(pen)
        middle = x + outline.width / 2, y + outline.height / 2
        painter.drawRect(
            QRectF(middle[0] - true.width / 2, middle[1] - true.height / 2, true.width, true.height)
        )

    def _picture(self, outline: Outline) -> QImage:
        ratio = self.devicePixelRatioF()
        wide, high = round(outline.width * ratio), round(outline.height * ratio)
        found = self._drawn.get((wide, high))
        if found is None:
            if self._source is None:
                self._source = square_picture(self._chart, SOURCE_PIXELS)
            if len(self._drawn) > 4:
                self._drawn.clear()
            found = self._drawn[wide, high] = stretched(self._source, Outline(wide, high))
        return found


def true_pitch(pitch: Pitch) -> Pitch:
    """Square squares that take as much cloth."""
    side = (pitch.across_mm * pitch.down_mm) ** 0.5
    return Pitch(side, side)


def _outline(chart: Chart, pitch: Pitch, scale: float) -> Outline:
    size = QSize(
        max(1, round(chart.columns * pitch.across_mm * scale)),
        max(1, round(chart.rows * pitch.down_mm * scale)),
    )
    return outline_in(chart.columns, chart.rows, pitch, size)
