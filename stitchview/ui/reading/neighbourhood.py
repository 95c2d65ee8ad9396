"""A square of the paper with its neighbours, large."""

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPixmap
from PySide6.QtWidgets import QSizePolicy, QWidget

AROUND = 3


class Neighbourhood(QWidget):
    """A square and its neighbours on the paper, as large as it fits, the square itself framed."""

    def __init__(self) -> None:
        super().__init__()
        self._picture = QPixmap()
        self.setMinimumSize(240, 240)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def show_picture(self, picture: QPixmap, words: str) -> None:
        """Show another square's neighbourhood."""
        self._picture = picture
        self.setAccessibleName(words)
        self.update()

    def sizeHint(self) -> QSize:
        """Ask for room enough to see one square well."""
        return QSize(420, 420)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the paper, and a frame that is seen on any paper."""
        painter = QPainter(self)
        if self._picture.isNull():
            painter.end()
            return
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        side = min(self.width(), self.height())
        left, top = (self.width() - side) / 2, (self.height() - side) / 2
        painter.drawPixmap(QRectF(left, top, side, side), self._picture, QRectF(self._picture.rect()))
        square = side / (2 * AROUND + 1)
        frame = QRectF(left + AROUND * square, top + AROUND * square, square, square)
        for colour, width in ((QColor(255, 255, 255), 6), (QColor(163, 84, 10), 3)):
            painter.setPen(QPen(colour, width))
            painter.drawRect(frame)
        painter.end()
