"""How the curtain before the chart goes: when all behind it is drawn, or when the window is used."""

from typing import Protocol

from PySide6.QtCore import QEvent, QObject, Qt, QTimer
from PySide6.QtWidgets import QApplication

from stitchview.ui.curtain import Curtain

LOOK_MS = 10
# Of a very large chart the overview may take longer; it can be watched as it comes.
LONGEST_MS = 2000


class Behind(Protocol):
    """What comes up behind the curtain."""

    @property
    def settled(self) -> bool:
        """Whether everything that is shown is drawn."""


class Unveiling(QObject):
    """Lifts a curtain that shows what is behind it, when the difference cannot be seen any more."""

    def __init__(self, app: QApplication, curtain: Curtain, behind: Behind) -> None:
        super().__init__(curtain)
        self._app, self._curtain, self._behind = app, curtain, behind
        self._looks = 0
        # Nothing under it need be painted, and hands reach through it.
        curtain.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        curtain.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self._look = QTimer(self)
        self._look.setInterval(LOOK_MS)
        self._look.timeout.connect(self._lift_if_settled)
        self._look.start()
        app.installEventFilter(self)
        self._lift_if_settled()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Lift it when hands do something; what they do is for the chart, which is there by now."""
        if event.type() in _HANDS:
            self._lift()
        return False

    def _lift_if_settled(self) -> None:
        self._looks += 1
        if self._behind.settled or self._looks * LOOK_MS > LONGEST_MS:
            self._lift()

    def _lift(self) -> None:
        self._look.stop()
        self._app.removeEventFilter(self)
        lift(self._curtain)


def lift(curtain: Curtain) -> None:
    """Take a curtain away for good."""
    curtain.hide()
    curtain.deleteLater()


def let_hands_pass(app: QApplication) -> None:
    """Drop what hands have done up to now: at a page of words nothing they did was meant for the chart."""
    deaf = _Deaf(app)
    app.installEventFilter(deaf)
    app.processEvents()
    app.removeEventFilter(deaf)
    deaf.deleteLater()


class _Deaf(QObject):
    """Keeps back keys, buttons, wheel and touch."""

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let through only what hands have not done."""
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
