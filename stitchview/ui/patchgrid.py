"""The small grid on which she fills in what she sees on the cloth, by clicks and by keys."""

from collections.abc import Mapping
from typing import Protocol

from PySide6.QtCore import QPoint, QRectF, QSize, Qt
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from stitchview.canvas.qtcolours import as_qt
from stitchview.chart.model import KeyEntry
from stitchview.follow.clothpatch import BARE, LARGEST, OPEN_SQUARE, Grid
from stitchview.follow.patchdraft import empty_draft
from stitchview.ui.chips import Chips, draw_chip
from stitchview.ui.theme import shades_of

CELL = 30
_STEPS = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}
_PUTS = (Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter)
_CLEARS = (Qt.Key.Key_Delete, Qt.Key.Key_Backspace)


class GridListener(Protocol):
    """Who wants to know what is filled in."""

    def draft_changed(self) -> None:
        """Take note that a square was filled in or left open."""


class PatchGrid(QWidget):
    """Shows `draft`, shape (rows, columns); a click or Space puts `chosen` in, a second one opens it again.

    `chosen` is a number of the key, `BARE` or `OPEN_SQUARE`. A symbol that is typed puts its thread in.
    """

    def __init__(self, key: tuple[KeyEntry, ...], chips: Chips, listener: GridListener) -> None:
        super().__init__()
        self._key, self._chips, self._listener = key, chips, listener
        self._by_letter = _letters(key)
        self.draft: Grid = empty_draft()
        self.chosen = 1 if key else BARE
        self.at = (0, 0)
        self._painting: int | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("What you see on the cloth")
        self._tell()

    def put(self, column: int, row: int, number: int) -> None:
        """Fill a square in."""
        if self.draft[row, column] != number:
            self.draft[row, column] = number
            self._listener.draft_changed()
        self._tell()

    def fill(self, draft: Grid) -> None:
        """Show another draft."""
        self.draft = draft.copy()
        self._tell()

    def clear(self) -> None:
        """Leave every square open."""
        self.draft = empty_draft()
        self._listener.draft_changed()
        self._tell()

    def square_at(self, place: QPoint) -> tuple[int, int] | None:
        """The square (column, row) under a place, None beside the grid."""
        column, row = place.x() // CELL, place.y() // CELL
        return (column, row) if 0 <= column < LARGEST and 0 <= row < LARGEST else None

    def sizeHint(self) -> QSize:
        """Ask for room for all squares and the last line."""
        return QSize(LARGEST * CELL + 1, LARGEST * CELL + 1)

    # Hands

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Begin to fill in; on a square that holds just this, begin to open."""
        square = self.square_at(event.position().toPoint())
        if square is None:
            return
        held = int(self.draft[square[1], square[0]])
        right = event.button() == Qt.MouseButton.RightButton
        self._painting = OPEN_SQUARE if right or held == self.chosen else self.chosen
        self._paint_at(square)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Go on filling in."""
        square = self.square_at(event.position().toPoint())
        if square is not None and self._painting is not None:
            self._paint_at(square)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Stop filling in."""
        self._painting = None

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move by arrows, fill in by Space or a symbol, open by Delete."""
        column, row = self.at
        key, letter = Qt.Key(event.key()), event.text()
        if key in _STEPS and not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self._move(*_STEPS[key])
        elif key in _PUTS:
            held = int(self.draft[row, column])
            self.put(column, row, OPEN_SQUARE if held == self.chosen else self.chosen)
        elif key in _CLEARS:
            self.put(column, row, OPEN_SQUARE)
            if key == Qt.Key.Key_Backspace:
                self._move(-1, 0)
        elif letter in self._by_letter:
            self.put(column, row, self._by_letter[letter])
            self._move(1, 0)
        else:
            super().keyPressEvent(event)

    def _paint_at(self, square: tuple[int, int]) -> None:
        self.at = square
        if self._painting is not None:
            self.put(*square, self._painting)

    def _move(self, across: int, down: int) -> None:
        column, row = self.at
        self.at = min(max(column + across, 0), LARGEST - 1), min(max(row + down, 0), LARGEST - 1)
        self._tell()

    def _tell(self) -> None:
        column, row = self.at
        held = int(self.draft[row, column])
        said = self._key[held - 1].name if held > BARE else "no stitch" if held == BARE else "open"
        self.setAccessibleDescription(f"Column {column + 1}, row {row + 1} of the patch: {said}")
        self.update()

    # Drawing

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the cursor."""
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Hide the cursor."""
        super().focusOutEvent(event)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw squares, and the cursor while the keyboard is here."""
        painter, shades = QPainter(self), shades_of(self.palette())
        for row in range(LARGEST):
            for column in range(LARGEST):
                self._draw(painter, column, row)
        if self.hasFocus():
            painter.setPen(QPen(as_qt(shades.focus), 2))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(QRectF(self.at[0] * CELL + 1, self.at[1] * CELL + 1, CELL - 1, CELL - 1))
        painter.end()

    def _draw(self, painter: QPainter, column: int, row: int) -> None:
        shades, held = shades_of(self.palette()), int(self.draft[row, column])
        room = QRectF(column * CELL, row * CELL, CELL, CELL)
        painter.fillRect(room, as_qt(shades.base if held == BARE else shades.track))
        painter.setPen(QPen(as_qt(shades.edge), 1))
        painter.drawRect(room)
        if held > BARE:
            draw_chip(painter, self._chips, self._key[held - 1], room.adjusted(2, 2, -1, -1), shades)
        else:
            painter.setPen(as_qt(shades.quiet))
            painter.drawText(room, Qt.AlignmentFlag.AlignCenter, "–" if held == BARE else "?")


def _letters(key: tuple[KeyEntry, ...]) -> Mapping[str, int]:
    """What can be typed: symbols, else codes, the full stop for no stitch, and the question mark."""
    letters = {"?": OPEN_SQUARE, ".": BARE}
    letters |= {entry.code: number for number, entry in enumerate(key, 1)}
    return letters | {entry.symbol.text: number for number, entry in enumerate(key, 1) if entry.symbol.text}
