"""Patches of thread colour, with an edge that shows on any ground."""

from collections.abc import Sequence

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPaintEvent, QPen, QPixmap
from PySide6.QtWidgets import QSizePolicy, QWidget

from stitchview.canvas.qtcolours import as_qt
from stitchview.chart.colour import Colour
from stitchview.ui.theme import shades_of

SIDE = 20


def swatch(colour: Colour, edge: QColor, ratio: float, side: int = SIDE) -> QPixmap:
    """One patch, `side` pixels wide on a screen with `ratio` device pixels to a pixel."""
    picture = QPixmap(round(side * ratio), round(side * ratio))
    picture.setDevicePixelRatio(ratio)
    picture.fill(as_qt(colour))
    painter = QPainter(picture)
    painter.setPen(QPen(edge, 1))
    painter.drawRect(QRectF(0.5, 0.5, side - 1, side - 1))
    painter.end()
    return picture


def swatch_icon(colour: Colour, widget: QWidget) -> QIcon:
    """A patch for a list in a widget."""
    edge = as_qt(shades_of(widget.palette()).edge)
    return untinted(swatch(colour, edge, widget.devicePixelRatioF()))


def untinted(picture: QPixmap) -> QIcon:
    """An icon that shows its colours as they are in a chosen line too."""
    icon = QIcon(picture)
    icon.addPixmap(picture, QIcon.Mode.Selected)
    return icon


class SwatchRow(QWidget):
    """Colours laid against each other without a gap, as one would lay threads, with words below each."""

    def __init__(self) -> None:
        super().__init__()
        self._shown: tuple[tuple[Colour, str], ...] = ()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("Colours side by side")

    def lay(self, shown: Sequence[tuple[Colour, str]]) -> None:
        """Show other colours, each with its words."""
        self._shown = tuple(shown)
        self.setAccessibleDescription("; ".join(words for _, words in shown))
        self.setVisible(bool(shown))
        self.update()

    def sizeHint(self) -> QSize:
        """Ask for patches high enough to judge, and a line of words."""
        return QSize(240, 64 + self.fontMetrics().height() + 4)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the patches and their words."""
        if not self._shown:
            return
        painter = QPainter(self)
        shades = shades_of(self.palette())
        line = self.fontMetrics().height() + 4
        wide = min(280.0, self.width() / len(self._shown))
        high = self.height() - line
        for at, (colour, words) in enumerate(self._shown):
            painter.fillRect(QRectF(at * wide, 0, wide, high), as_qt(colour))
            painter.setPen(as_qt(shades.text))
            room = QRectF(at * wide, high, wide - 4, line)
            told = self.fontMetrics().elidedText(words, Qt.TextElideMode.ElideRight, int(wide) - 4)
            painter.drawText(room, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, told)
        painter.setPen(QPen(as_qt(shades.edge), 1))
        painter.drawRect(QRectF(0.5, 0.5, wide * len(self._shown) - 1, high - 1))
        painter.end()
