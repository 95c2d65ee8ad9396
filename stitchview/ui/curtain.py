"""What the window shows until the chart behind it is ready: how it will look, or a word."""

from PySide6.QtCore import QSize
from PySide6.QtGui import QFontMetrics, QImage, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from stitchview.canvas.qtcolours import as_qt
from stitchview.ui.theme import Shades

# Loaded before anything is on the screen: this module stays small, and knows nothing of charts. Nor does
# it name anything of `Qt` itself, whose tables take longer to make than the window.

# Larger than any window, so that it need not follow when the window grows.
SIDE = 1 << 16


class Curtain(QWidget):
    """Lies over the whole window: `picture` where it fits, else `words` in the colours of the theme.

    It takes nothing that hands do, nor ever the keyboard.
    """

    def __init__(self, window: QWidget, picture: QImage | None, words: str, shades: Shades) -> None:
        super().__init__(window)
        self._window = window
        self._picture, self._words, self._shades = picture, words, shades
        self.painted = False
        self.setGeometry(0, 0, SIDE, SIDE)

    def make_ready(self) -> None:
        """Do beforehand what the first painting takes long for, else the window would stay black meanwhile.

        The letters are looked for and loaded when words are drawn first.
        """
        if not self.shows_chart:
            self.grab(self._window.rect())
            self.painted = False

    @property
    def shows_chart(self) -> bool:
        """Whether it shows the window just as it will look."""
        return self._picture is not None and self._picture.size() == self._pixels

    @property
    def _pixels(self) -> QSize:
        return (self._window.size().toSizeF() * self.devicePixelRatioF()).toSize()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the picture, pixel by pixel, or the words."""
        painter = QPainter(self)
        if self._picture is not None and self.shows_chart:
            self._picture.setDevicePixelRatio(self.devicePixelRatioF())
            painter.drawImage(0, 0, self._picture)
        else:
            painter.fillRect(self._window.rect(), as_qt(self._shades.window))
            painter.setPen(as_qt(self._shades.text))
            left = (self._window.width() - QFontMetrics(self.font()).horizontalAdvance(self._words)) // 2
            painter.drawText(max(0, left), self._window.height() // 2, self._words)
        painter.end()
        self.painted = True
