"""What the window shows until the chart behind it is ready: how it will look, or a word."""

from typing import Protocol

from PySide6.QtCore import QCoreApplication, QEvent, QObject, QSize, Qt, QTimer
from PySide6.QtGui import QImage, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from stitchview.canvas.qtcolours import as_qt
from stitchview.ui.theme import Shades

# Loaded before anything is on the screen: this module stays small, and knows nothing of charts.

LOOK_MS = 10
# Of a very large chart the overview may take longer; it can be watched as it comes.
LONGEST_MS = 2000


class Behind(Protocol):
    """What comes up behind the curtain."""

    @property
    def settled(self) -> bool:
        """Whether everything that is shown is drawn."""


class Curtain(QWidget):
    """Lies over the whole window: `picture` where it fits, else `words` in the colours of the theme.

    Hands reach through it: it is not there for the mouse, and never has the keyboard.
    """

    def __init__(self, window: QWidget, picture: QImage | None, words: str, shades: Shades) -> None:
        super().__init__(window)
        self._window = window
        self._picture, self._words, self._shades = picture, words, shades
        self._behind: Behind | None = None
        self._looks = 0
        self._look = QTimer(self)
        self._look.setInterval(LOOK_MS)
        self._look.timeout.connect(self._lift_if_settled)
        self.painted = False
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setGeometry(window.rect())
        window.installEventFilter(self)

    @property
    def shows_chart(self) -> bool:
        """Whether it shows the window just as it will look."""
        return self._picture is not None and self._picture.size() == self._pixels

    @property
    def _pixels(self) -> QSize:
        return (self.size().toSizeF() * self.devicePixelRatioF()).toSize()

    def lift_before(self, behind: Behind) -> None:
        """Go as soon as what is behind has settled, or somebody uses it."""
        self._behind = behind
        _application().installEventFilter(self)
        self._look.start()
        self._lift_if_settled()

    def lift(self) -> None:
        """Go at once."""
        self._behind = None
        self._look.stop()
        _application().removeEventFilter(self)
        self._window.removeEventFilter(self)
        self.hide()
        self.deleteLater()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the picture, pixel by pixel, or the words."""
        painter = QPainter(self)
        if self._picture is not None and self.shows_chart:
            self._picture.setDevicePixelRatio(self.devicePixelRatioF())
            painter.drawImage(0, 0, self._picture)
        else:
            painter.fillRect(self.rect(), as_qt(self._shades.window))
            painter.setPen(as_qt(self._shades.text))
            painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter, self._words)
        painter.end()
        self.painted = True

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Stay as large as the window, and go when somebody begins to use it."""
        kind = event.type()
        if watched is self._window and kind == QEvent.Type.Resize:
            self.resize(self._window.size())
        if self._behind is not None and kind in _HANDS:
            self.lift()
        return False

    def _lift_if_settled(self) -> None:
        self._looks += 1
        if self._behind is not None and (self._behind.settled or self._looks * LOOK_MS > LONGEST_MS):
            self.lift()


def _application() -> QCoreApplication:
    running = QCoreApplication.instance()
    assert running is not None, "a widget without an application"
    return running


class Deaf(QObject):
    """Lets nothing through that hands do: what was pressed at a page of words was not meant for the chart."""

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Keep back keys, buttons, wheel and touch."""
        return event.type() in _HANDS


_TYPE = QEvent.Type
_HANDS = frozenset(
    {
        _TYPE.KeyPress,
        _TYPE.KeyRelease,
        _TYPE.ShortcutOverride,
        _TYPE.MouseButtonPress,
        _TYPE.MouseButtonRelease,
        _TYPE.MouseButtonDblClick,
        _TYPE.Wheel,
        _TYPE.TouchBegin,
        _TYPE.TouchUpdate,
        _TYPE.TouchEnd,
        _TYPE.TabletPress,
        _TYPE.TabletRelease,
        _TYPE.NativeGesture,
        _TYPE.ContextMenu,
    }
)
