"""The one road by which the program speaks to the person: notices, errors, and the last resort."""

import sys
import threading
import traceback
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import QObject, QStandardPaths, Qt, Signal
from PySide6.QtGui import (
    QAccessible,
    QAccessibleAnnouncementEvent,
    QKeyEvent,
    QPainter,
    QPaintEvent,
    QResizeEvent,
)
from PySide6.QtWidgets import (
    QApplication,
    QBoxLayout,
    QHBoxLayout,
    QLabel,
    QMessageBox,
    QPushButton,
    QSizePolicy,
    QWidget,
)

from stitchview.canvas.qtcolours import as_qt
from stitchview.errors import StitchviewError
from stitchview.ui.theme import shades_of

MARK_WIDTH = 5
NARROW_LETTERS = 90
LOG_NAME = "faults.txt"
# The log of faults begins anew when it has grown so large; one old log is kept beside it.
MOST_LOG_BYTES = 1 << 20


@dataclass(frozen=True, slots=True)
class Notice:
    """One sentence to the person, and a button to act on it, if there is something to do."""

    sentence: str
    button: str = ""
    pressed: Callable[[], None] | None = None


class NoticeBar(QWidget):
    """A calm bar over the chart: one notice at a time, each until it is closed, the others waiting."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._waiting: deque[Notice] = deque()
        self._words = QLabel()
        self._words.setWordWrap(True)
        self._words.setTextFormat(Qt.TextFormat.PlainText)
        self._words.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._more = QLabel()
        self._button = QPushButton()
        self._close = QPushButton("Close")
        for button in (self._button, self._close):
            # So that Enter presses it too, and not Space alone.
            button.setAutoDefault(True)
        self._button.clicked.connect(self._press)
        self._close.clicked.connect(self._next)
        acts = QHBoxLayout()
        acts.addStretch(1)
        for part in (self._more, self._button, self._close):
            acts.addWidget(part)
        self._row = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._row.setContentsMargins(MARK_WIDTH + 10, 5, 8, 5)
        self._row.addWidget(self._words, 1)
        self._row.addLayout(acts)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        self.setAccessibleName("Notice")
        self.hide()

    @property
    def shown(self) -> Notice | None:
        """The notice that is shown now."""
        return self._waiting[0] if self._waiting else None

    def say(self, sentence: str, button: str = "", pressed: Callable[[], None] | None = None) -> None:
        """Show a notice, or have it wait its turn; one that is shown or waits already is not said twice."""
        if any(notice.sentence == sentence for notice in self._waiting):
            return
        self._waiting.append(Notice(sentence, button, pressed))
        if len(self._waiting) == 1:
            self._show()
        else:
            self._count()

    def clear(self) -> None:
        """Close all notices, as when another chart is opened."""
        self._waiting.clear()
        self.hide()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the buttons below the words where the window is narrow or the letters large."""
        super().resizeEvent(event)
        narrow = self.width() < NARROW_LETTERS * self.fontMetrics().averageCharWidth()
        way = QBoxLayout.Direction
        self._row.setDirection(way.TopToBottom if narrow else way.LeftToRight)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Close on Escape."""
        if event.key() == Qt.Key.Key_Escape:
            self._next()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the ground, and the amber edge that says that this is a notice."""
        painter = QPainter(self)
        shades = shades_of(self.palette())
        painter.fillRect(self.rect(), as_qt(shades.notice))
        painter.fillRect(0, 0, MARK_WIDTH, self.height(), as_qt(shades.pointer))
        painter.end()

    def _show(self) -> None:
        notice = self._waiting[0]
        self._words.setText(notice.sentence)
        self._button.setText(notice.button)
        self._button.setVisible(bool(notice.button))
        self.setAccessibleDescription(notice.sentence)
        self._count()
        self.show()
        announce(self, notice.sentence)

    def _count(self) -> None:
        others = len(self._waiting) - 1
        self._more.setText(f"{others} more" if others > 0 else "")
        self._more.setVisible(others > 0)

    def _press(self) -> None:
        pressed = self._waiting[0].pressed if self._waiting else None
        self._next()
        if pressed is not None:
            pressed()

    def _next(self) -> None:
        if self._waiting:
            self._waiting.popleft()
        if self._waiting:
            self._show()
        else:
            self.hide()


def announce(about: QObject, sentence: str) -> None:
    """Have a screen reader say a sentence, wherever the keyboard is (WCAG 2.2, 4.1.3)."""
    QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(about, sentence))


def say_error(parent: QWidget | None, error: StitchviewError) -> QMessageBox:
    """Say, in a dialog, what is wrong and what to do; for things that stop what was asked for."""
    box = QMessageBox(QMessageBox.Icon.Warning, "stitchview", error.what, parent=parent)
    box.setInformativeText(error.remedy)
    # What comes from files is shown as it stands, and never read as markup.
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    box.open()
    return box


def install_last_resort(app: QApplication) -> None:
    """Catch what nobody foresaw, in any thread: it is written to a file, and said in one sentence."""
    resort = _LastResort(app)
    sys.excepthook = resort.take
    threading.excepthook = resort.take_from_thread


class _LastResort(QObject):
    """Writes faults down and says each of them once; a second while the first is read stays silent."""

    _spoken = Signal(str)

    def __init__(self, app: QApplication) -> None:
        super().__init__(app)
        self._said: set[str] = set()
        self._box: QMessageBox | None = None
        # A fault in another thread is said in the window's.
        self._spoken.connect(self._say, Qt.ConnectionType.QueuedConnection)

    def take(self, kind: type[BaseException], fault: BaseException, trace: TracebackType | None) -> None:
        """Take a fault as `sys.excepthook` gives it."""
        if issubclass(kind, KeyboardInterrupt):
            sys.__excepthook__(kind, fault, trace)
            return
        lines = traceback.format_exception(kind, fault, trace)
        log = write_fault("".join(lines))
        place = lines[-2] if len(lines) > 1 else kind.__name__
        if place not in self._said:
            self._said.add(place)
            self._spoken.emit(str(log) if log else "")

    def take_from_thread(self, args: threading.ExceptHookArgs) -> None:
        """Take a fault as `threading.excepthook` gives it."""
        if args.exc_value is not None:
            self.take(args.exc_type, args.exc_value, args.exc_traceback)

    def _say(self, log: str) -> None:
        if self._box is not None:
            return
        written = f" It is written down in “{log}”." if log else ""
        error = StitchviewError(
            "Something went wrong that stitchview did not foresee.",
            "Marks that are shown as kept are safe. If it happens again, close the program and open it"
            f" again.{written}",
        )
        self._box = say_error(QApplication.activeWindow(), error)
        self._box.finished.connect(self._read)

    def _read(self) -> None:
        self._box = None


def fault_log() -> Path:
    """The file faults are written to, in the person's folder for what programs leave behind."""
    state = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.GenericStateLocation)
    return Path(state) / "stitchview" / LOG_NAME


def write_fault(text: str) -> Path | None:
    """Write a fault down with its time; gives the file, or None when it cannot be written."""
    path = fault_log()
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        if path.exists() and path.stat().st_size > MOST_LOG_BYTES:
            path.replace(path.with_suffix(".old.txt"))
        with path.open("a", encoding="utf-8", errors="backslashreplace") as file:
            file.write(f"--- {datetime.now(UTC):%Y-%m-%d %H:%M:%S} UTC\n{text}\n")
    except OSError:
        return None
    return path
