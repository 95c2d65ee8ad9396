"""A line of words as large as it fits: large where there is room, smaller where there is not."""

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from stitchview.canvas.qtcolours import as_qt
from stitchview.chart.model import KeyEntry
from stitchview.ui.chips import Chips, draw_chip
from stitchview.ui.theme import shades_of

GAP = 8


class FittedWords(QWidget):
    """Shows one line, `most` times as large as usual letters or smaller, and never changes its height."""

    def __init__(self, name: str, most: float, quiet: bool = False) -> None:
        super().__init__()
        self.text, self._most, self._quiet = "", most, quiet
        self._entry: KeyEntry | None = None
        self._chips: Chips | None = None
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)

    def show_words(self, text: str, entry: KeyEntry | None = None, chips: Chips | None = None) -> None:
        """Show other words, with the chip of a thread before them if there is one."""
        if (text, entry, chips) != (self.text, self._entry, self._chips):
            self.text, self._entry, self._chips = text, entry, chips
            self.setAccessibleDescription(text)
            self.setToolTip(text)
            self.update()

    def sizeHint(self) -> QSize:
        """Ask for the height of the largest letters."""
        return QSize(300, round(QFontMetricsF(self._font(self._most)).height()) + 4)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the chip, and the words as large as they fit."""
        painter, shades = QPainter(self), shades_of(self.palette())
        room = QRectF(self.rect())
        if self._entry is not None and self._chips is not None:
            side = self.height() - 4
            draw_chip(painter, self._chips, self._entry, QRectF(room.x() + 1, 2, side, side), shades)
            room.setLeft(side + GAP + 1)
        font = self._fitting(room.width())
        words = QFontMetricsF(font).elidedText(self.text, Qt.TextElideMode.ElideRight, room.width())
        painter.setFont(font)
        painter.setPen(as_qt(shades.quiet if self._quiet else shades.text))
        painter.drawText(room, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, words)
        painter.end()

    def _fitting(self, width: float) -> QFont:
        most = self._font(self._most)
        wanted = QFontMetricsF(most).horizontalAdvance(self.text)
        return most if wanted <= width else self._font(max(1.0, self._most * width / wanted * 0.99))

    def _font(self, factor: float) -> QFont:
        font = QFont(self.font())
        if font.pixelSize() > 0:
            font.setPixelSize(round(font.pixelSize() * factor))
        else:
            font.setPointSizeF(font.pointSizeF() * factor)
        return font
