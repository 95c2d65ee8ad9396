"""The list of threads under the hand and the keys: choose, want, and find by typing."""

from collections.abc import Callable

from PySide6.QtCore import QElapsedTimer, QEvent, QModelIndex, Qt
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QApplication, QListView, QWidget

from stitchview.ui.keymodel import KeyModel

Act = Callable[[QModelIndex], None]

_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_MOVES = (Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_Home, Qt.Key.Key_End)
_PAGES = (Qt.Key.Key_PageUp, Qt.Key.Key_PageDown)
_PLAIN = (
    Qt.KeyboardModifier.NoModifier,
    Qt.KeyboardModifier.ShiftModifier,
    Qt.KeyboardModifier.KeypadModifier,
)


class KeyList(QListView):
    """Shows a `KeyModel`; Space calls `choose` and Enter `want` with the row the keyboard is on."""

    def __init__(self, model: KeyModel, choose: Act, want: Act, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._key, self._choose, self._want = model, choose, want
        self._typed = ""
        self._since = QElapsedTimer()
        self._when_empty = ""
        self.setModel(model)
        self.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setUniformItemSizes(True)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setMouseTracking(True)
        self.setAccessibleName("Threads of the key")
        self.setAccessibleDescription("Space takes a thread in hand, Enter also shows where it is left.")

    def say_when_empty(self, words: str) -> None:
        """Show these words when there is no row."""
        self._when_empty = words
        self.viewport().update()

    def event(self, event: QEvent) -> bool:
        """Keep letters and moves from the window's shortcuts while the list has the keyboard."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent) and _is_mine(event):
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Choose, want, type ahead, or move."""
        current = self.currentIndex()
        plain = event.modifiers() in _PLAIN
        if plain and event.key() in _ENTER and current.isValid():
            self._want(current)
        elif plain and event.key() == Qt.Key.Key_Space and not self._is_typing and current.isValid():
            self._choose(current)
        elif plain and _letters(event):
            self._type(event.text())
        else:
            super().keyPressEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the row in view on which the keyboard is, when words below need some of the room."""
        current = self.currentIndex()
        rows = range(event.oldSize().height())
        was_seen = current.isValid() and self.visualRect(current).top() in rows
        super().resizeEvent(event)
        if was_seen:
            self.scrollTo(current)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the rows, or words where there are none."""
        super().paintEvent(event)
        if self._key.rowCount() == 0:
            painter = QPainter(self.viewport())
            painter.setPen(self.palette().color(self.palette().ColorRole.PlaceholderText))
            room = self.viewport().rect().adjusted(12, 12, -12, -12)
            painter.drawText(room, Qt.AlignmentFlag.AlignHCenter | Qt.TextFlag.TextWordWrap, self._when_empty)
            painter.end()

    @property
    def _is_typing(self) -> bool:
        recent = self._since.isValid() and self._since.elapsed() < QApplication.keyboardInputInterval()
        return bool(self._typed) and recent

    def _type(self, letters: str) -> None:
        self._typed = self._typed + letters if self._is_typing else letters
        self._since.start()
        here = max(self.currentIndex().row(), 0)
        # The same letter again and again goes from one such thread to the next.
        same = len(set(self._typed.casefold())) == 1
        place = self._key.place_begun_by(self._typed, here if len(self._typed) > 1 else here + 1)
        if place < 0 and same:
            place = self._key.place_begun_by(self._typed[0], here + 1)
        if place >= 0:
            self.setCurrentIndex(self._key.index(place))


def _letters(event: QKeyEvent) -> bool:
    return event.text().isprintable() and bool(event.text())


def _is_mine(event: QKeyEvent) -> bool:
    return event.modifiers() in _PLAIN and (event.key() in (*_ENTER, *_MOVES, *_PAGES) or _letters(event))
