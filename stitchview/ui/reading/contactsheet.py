"""A contact sheet: any number of squares cut from the paper, of which the odd ones are picked."""

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QEvent, QPoint, QRect, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QHelpEvent,
    QImage,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import QAbstractScrollArea, QScrollBar, QStyle, QStyleOptionSlider, QToolTip

from stitchview.canvas.qtcolours import as_qt
from stitchview.ui.reading.paperpieces import SIDE, PaperPieces
from stitchview.ui.theme import shades_of

Places = NDArray[np.intp]
Grey = NDArray[np.uint8]
# The pixels are kept beside the picture that shows them.
Drawn = tuple[NDArray[np.uint32], QImage]

CELL = 2 * SIDE
GAP = 4
STEP = CELL + GAP
# Rows of cells that were drawn lately are kept as ready pictures.
MOST_ROWS = 160
_ARROWS = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
_PICKED = QColor(163, 84, 10)


class ContactSheet(QAbstractScrollArea):
    """Draws only what is seen. A press, or Space at the pointer, picks a square or leaves it again.

    `picks_changed` is told after each such change.
    """

    picks_changed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._pieces = PaperPieces()
        self._columns = 1
        self._places: Places = np.zeros(0, np.intp)
        self._doubtful = 0
        self._picked: set[int] = set()
        self._at = 0
        self._rows: dict[int, Drawn] = {}
        self.setAccessibleName("Squares of this pile, cut from the paper")
        self.setVerticalScrollBar(PlainBar())
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumHeight(STEP + GAP)
        self.verticalScrollBar().setSingleStep(STEP // 2)
        self.viewport().setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)

    # What is on it

    def show_squares(self, pieces: PaperPieces, places: Places, columns: int, doubtful: int) -> None:
        """Show squares at places in rows * ``columns``, of which the first ``doubtful`` are in doubt."""
        same = pieces is self._pieces and np.array_equal(places, self._places)
        self._pieces, self._columns, self._doubtful = pieces, columns, doubtful
        if not same:
            self._places, self._at = places, 0
            self._picked.clear()
            self._rows.clear()
            self._fit()
            self.verticalScrollBar().setValue(0)
            self.picks_changed.emit()
        self._describe()
        self.viewport().update()

    @property
    def count(self) -> int:
        """How many squares are on it."""
        return len(self._places)

    @property
    def picked(self) -> Places:
        """The picked squares' places, in their order on the sheet."""
        return np.asarray(self._places[sorted(self._picked)], np.intp)

    def place(self, at: int) -> int:
        """The place in rows * columns of a square on it."""
        return int(self._places[at])

    def words(self, at: int) -> str:
        """Where a square lies, and whether it is in doubt."""
        row, column = divmod(int(self._places[at]), self._columns)
        doubt = ", in doubt" if at < self._doubtful else ""
        return f"Column {column + 1:,}, row {row + 1:,}{doubt}"

    def place_of(self, at: int) -> QRect:
        """Where a square stands on the viewport."""
        down, across = divmod(at, self._across)
        top = down * STEP - self.verticalScrollBar().value()
        return QRect(GAP + across * STEP, GAP + top, CELL, CELL)

    def pick(self, at: int) -> None:
        """Pick a square, or leave it again."""
        if 0 <= at < self.count:
            self._picked ^= {at}
            self._at = at
            self._describe()
            self.viewport().update(self._grown(at))
            self.picks_changed.emit()

    def sizeHint(self) -> QSize:
        """Ask for room enough for some dozens."""
        return QSize(9 * STEP, 6 * STEP)

    # Drawing

    @property
    def _across(self) -> int:
        return max(1, (self.viewport().width() - GAP) // STEP)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the rows that are uncovered."""
        painter, shades = QPainter(self.viewport()), shades_of(self.palette())
        area = event.rect()
        painter.fillRect(area, as_qt(shades.track))
        offset = self.verticalScrollBar().value()
        across = self._across
        last = (self.count - 1) // across if self.count else -1
        for down in range(
            max(0, (area.top() + offset) // STEP), min(last, (area.bottom() + offset) // STEP) + 1
        ):
            painter.drawImage(QPoint(GAP, GAP + down * STEP - offset), self._row(down)[1])
        for at in self._picked | ({self._at} if self.hasFocus() and self.count else set()):
            place = self.place_of(at)
            if place.intersects(area):
                self._mark(painter, at, place)
        painter.end()

    def _mark(self, painter: QPainter, at: int, place: QRect) -> None:
        if at in self._picked:
            painter.fillRect(place, QColor(242, 176, 76, 110))
            painter.setPen(QPen(_PICKED, 4))
            painter.drawRect(place.adjusted(1, 1, -2, -2))
            painter.drawLine(place.topLeft() + QPoint(8, 8), place.bottomRight() - QPoint(8, 8))
        if at == self._at and self.hasFocus():
            painter.setPen(QPen(as_qt(shades_of(self.palette()).text), 2, Qt.PenStyle.DotLine))
            painter.drawRect(place.adjusted(-2, -2, 1, 1))

    def _row(self, down: int) -> Drawn:
        row = self._rows.pop(down, None)
        if row is None:
            across = self._across
            places = self._places[down * across : (down + 1) * across]
            row = _picture(
                self._pieces.squares(places, self._columns), as_qt(shades_of(self.palette()).track)
            )
            while len(self._rows) >= MOST_ROWS:
                self._rows.pop(next(iter(self._rows)))
        self._rows[down] = row
        return row

    def scrollContentsBy(self, _across: int, down: int) -> None:
        """Move what is drawn along, so that only what comes into sight is drawn anew."""
        self.viewport().scroll(0, down)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay the rows out anew."""
        super().resizeEvent(event)
        self._rows.clear()
        self._fit()

    def changeEvent(self, event: QEvent) -> None:
        """Draw anew in another theme."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self._rows.clear()
            self.viewport().update()

    def _fit(self) -> None:
        high = GAP + STEP * -(-self.count // self._across)
        bar = self.verticalScrollBar()
        bar.setRange(0, max(0, high - self.viewport().height()))
        bar.setPageStep(max(STEP, self.viewport().height() - STEP))

    # Hands

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Pick the square that is pressed; with Shift all from the last one on."""
        at = self._at_point(event.position().toPoint())
        if event.button() is not Qt.MouseButton.LeftButton or at is None:
            return
        if event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            first, last = sorted((self._at, at))
            self._picked |= set(range(first, last + 1))
            self._at = at
            self._describe()
            self.viewport().update()
            self.picks_changed.emit()
        else:
            self.pick(at)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows, Home and End move the pointer, Space picks."""
        key, across = Qt.Key(event.key()), self._across
        page = across * max(1, self.viewport().height() // STEP)
        moves = _ARROWS | {Qt.Key.Key_Up: -across, Qt.Key.Key_Down: across}
        moves |= {Qt.Key.Key_PageUp: -page, Qt.Key.Key_PageDown: page}
        moves |= {Qt.Key.Key_Home: -self.count, Qt.Key.Key_End: self.count}
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier or not self.count:
            super().keyPressEvent(event)
        elif key == Qt.Key.Key_Space:
            self.pick(self._at)
        elif key in moves:
            self._go(min(max(0, self._at + moves[key]), self.count - 1))
        else:
            super().keyPressEvent(event)

    def _go(self, at: int) -> None:
        before, self._at = self._at, at
        place, bar = self.place_of(at), self.verticalScrollBar()
        if place.top() < GAP:
            bar.setValue(bar.value() + place.top() - GAP)
        elif place.bottom() > self.viewport().height() - GAP:
            bar.setValue(bar.value() + place.bottom() + GAP - self.viewport().height())
        self._describe()
        for each in (before, at):
            self.viewport().update(self._grown(each))

    def _grown(self, at: int) -> QRect:
        return self.place_of(at).adjusted(-GAP, -GAP, GAP, GAP)

    def _at_point(self, point: QPoint) -> int | None:
        across = (point.x() - GAP // 2) // STEP
        at = (point.y() + self.verticalScrollBar().value() - GAP // 2) // STEP * self._across + across
        return at if 0 <= across < self._across and 0 <= at < self.count else None

    def _describe(self) -> None:
        if not self.count:
            self.setAccessibleDescription("No squares")
            return
        state = "picked" if self._at in self._picked else "not picked"
        self.setAccessibleDescription(f"{self.words(self._at)}, {state}; {len(self._picked)} picked in all")

    def viewportEvent(self, event: QEvent) -> bool:
        """Tell where the square under the pointer lies."""
        if event.type() == QEvent.Type.ToolTip and isinstance(event, QHelpEvent):
            at = self._at_point(event.pos())
            QToolTip.showText(event.globalPos(), "" if at is None else self.words(at), self)
            return True
        return super().viewportEvent(event)


def _picture(squares: Grey, ground: QColor) -> Drawn:
    """A row of squares (n, SIDE, SIDE), each twice as large with GAP after it."""
    small = squares.astype(np.uint16)
    large = np.empty((len(squares), CELL, CELL), np.uint16)
    large[:, ::2, ::2] = small
    # Pixels in between are the means of their neighbours, by far quicker than Qt's smooth scaling.
    large[:, ::2, 1:-1:2] = (small[:, :, 1:] + small[:, :, :-1]) >> 1
    large[:, ::2, -1] = small[:, :, -1]
    large[:, 1:-1:2] = (large[:, 2::2] + large[:, :-2:2]) >> 1
    large[:, -1] = large[:, -2]
    whole = np.full((CELL, len(squares), STEP), ground.rgb(), np.uint32)
    np.multiply(large.transpose(1, 0, 2), np.uint32(0x010101), out=whole[:, :, :CELL], casting="unsafe")
    whole[:, :, :CELL] |= np.uint32(0xFF000000)
    wide = len(squares) * STEP
    return whole, QImage(whole.data, wide, CELL, wide * 4, QImage.Format.Format_RGB32)


class PlainBar(QScrollBar):
    """A scroll bar of two plain colours: a styled one costs more than all the cut-outs of a frame."""

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the way and the handle."""
        option = QStyleOptionSlider()
        self.initStyleOption(option)
        handle = self.style().subControlRect(
            QStyle.ComplexControl.CC_ScrollBar, option, QStyle.SubControl.SC_ScrollBarSlider, self
        )
        painter, shades = QPainter(self), shades_of(self.palette())
        painter.fillRect(event.rect(), as_qt(shades.window))
        painter.fillRect(handle.adjusted(3, 1, -3, -1), as_qt(shades.edge))
        painter.end()
