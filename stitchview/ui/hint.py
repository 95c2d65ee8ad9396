"""A few words over the chart that go away by themselves: why a key did nothing, or what comes next."""

from PySide6.QtCore import QEvent, QObject, QRectF, Qt, QTimer
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QLabel, QWidget

from stitchview.canvas.qtcolours import as_qt
from stitchview.ui.messages import NoticeBar, announce
from stitchview.ui.theme import shades_of

SHOWN_MS = 5000
MARGIN = 14


class Hint(QLabel):
    """Stands low in the middle of its board; never takes the hand or the keyboard."""

    def __init__(self) -> None:
        super().__init__()
        self._board: QWidget = self
        self._over = QTimer(self)
        self._over.setSingleShot(True)
        self._over.setInterval(SHOWN_MS)
        self._over.timeout.connect(self.hide)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setMargin(8)
        self.setAccessibleName("Hint")
        self.hide()

    def lie_over(self, board: QWidget) -> None:
        """Stand over a board, and stay in its middle."""
        self._board = board
        self.setParent(board)
        self.hide()
        board.installEventFilter(self)

    def say(self, sentence: str) -> None:
        """Show a sentence for a moment, and have it read out."""
        self.setText(sentence)
        self.setAccessibleDescription(sentence)
        self._place()
        self.show()
        self.raise_()
        self._over.start()
        announce(self, sentence)

    def stop(self) -> None:
        """Go away now."""
        self._over.stop()
        self.hide()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Stay in the middle of the board."""
        if event.type() == QEvent.Type.Resize and self.isVisible():
            self._place()
        return False

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint a small card, and the words on it."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        shades = shades_of(self.palette())
        painter.setPen(as_qt(shades.edge))
        painter.setBrush(as_qt(shades.tip))
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5), 6, 6)
        painter.end()
        super().paintEvent(event)

    def _place(self) -> None:
        board = self._board
        most = max(120, board.width() - 2 * MARGIN)
        self.setWordWrap(False)
        wide = self.sizeHint().width()
        self.setWordWrap(wide > most)
        width = min(wide, most)
        height = self.heightForWidth(width) if wide > most else self.sizeHint().height()
        self.setGeometry((board.width() - width) // 2, self._top(board, height), width, height)

    def _top(self, board: QWidget, height: int) -> int:
        return board.height() - height - MARGIN


class Voice:
    """How one sitting speaks: hints pass by, what she must know stays until she has closed it."""

    def __init__(self, notices: NoticeBar, hint: Hint) -> None:
        self._notices, self._hint = notices, hint

    def hint(self, sentence: str) -> None:
        """Say something that passes by."""
        self._hint.say(sentence)

    def tell(self, sentence: str) -> None:
        """Say something that stays until it is closed."""
        self._notices.say(sentence)
