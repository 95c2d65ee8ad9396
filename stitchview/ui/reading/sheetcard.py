"""One sheet on the reading table: its straightened picture, dragged by hand or moved by keys."""

from typing import Protocol

from PySide6.QtCore import QPoint, QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QFocusEvent, QImage, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QPixmap
from PySide6.QtWidgets import QAbstractButton, QApplication, QWidget

from stitchview.canvas.qtcolours import as_qt
from stitchview.ui.reading.sheetmodel import image_of
from stitchview.ui.reading.tablesheet import TableSheet
from stitchview.ui.theme import shades_of

Way = tuple[int, int]
WAYS: dict[int, Way] = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}
HOW = "Arrow keys go to the sheet beside it, with Shift they lay this one there."
PALE = 0.45
PAD = 4


class CardHolder(Protocol):
    """Who lays the cards out."""

    def chosen(self, key: int) -> None:
        """A sheet was chosen."""

    def dragged(self, key: int, at: QPointF) -> None:
        """A sheet is held over a point of the table."""

    def dropped(self, key: int, at: QPointF | None) -> None:
        """A sheet was let go over a point of the table, or put back."""

    def go(self, key: int, way: Way) -> None:
        """The sheet beside one is to be chosen."""

    def move_card(self, key: int, way: Way) -> None:
        """A sheet is to be laid one place further."""


class SheetCard(QAbstractButton):
    """A sheet as it lies on the table; its words tell a screen reader all that is seen."""

    def __init__(self, holder: CardHolder, key: int, parent: QWidget) -> None:
        super().__init__(parent)
        self._holder, self.key = holder, key
        self._sheet: TableSheet | None = None
        self._image = QImage()
        self._pixmap, self._room_of_pixmap = QPixmap(), QSize()
        self._pressed_at: QPoint | None = None
        self._dragging = False
        self.shared: list[QRect] = []
        self.setCheckable(True)
        self.setCursor(Qt.CursorShape.OpenHandCursor)
        self.setAccessibleDescription(HOW)
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)

    @property
    def held(self) -> bool:
        """Whether it is being dragged."""
        return self._dragging

    def show_sheet(self, sheet: TableSheet, place: str) -> None:
        """Show what has become of its picture; `place` says where it lies on the table."""
        before, self._sheet = self._sheet, sheet
        shown = sheet.flat or sheet.preview
        if before is None or shown is not (before.flat or before.preview):
            self._image = QImage() if shown is None else image_of(shown)
            self._pixmap = QPixmap()
        words = f"{sheet.size} squares" if sheet.found is not None else sheet.words
        doubts = f" {_doubts(sheet)}." if sheet.doubts else ""
        self.setText(sheet.name)
        self.setAccessibleName(f"Sheet {sheet.name}, {words}.{doubts} {place}")
        self.setToolTip("\n".join((sheet.name, words, *sheet.doubts)))
        self.update()

    def choose(self, chosen: bool) -> None:
        """Show whether it is the one that is chosen; Tab reaches that one, arrows the rest."""
        self.setChecked(chosen)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus if chosen else Qt.FocusPolicy.ClickFocus)

    # Looks

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the picture, its name, and whether it is chosen."""
        sheet = self._sheet
        if sheet is None:
            return
        painter, shades = QPainter(self), shades_of(self.palette())
        painter.fillRect(self.rect(), as_qt(shades.base))
        if not self._image.isNull():
            painter.setOpacity(1.0 if sheet.found is not None else PALE)
            painter.drawPixmap(self._picture_place(sheet), self._fitting(sheet))
            painter.setOpacity(1.0)
        self._draw_shared(painter)
        if sheet.found is None:
            painter.setPen(as_qt(shades.trouble if sheet.trouble else shades.text))
            room = self.rect().adjusted(PAD, PAD, -PAD, -PAD - self._strip)
            flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
            painter.drawText(room, int(flags), "Not found" if sheet.trouble else sheet.words)
        self._draw_name(painter, sheet)
        self._draw_frame(painter)
        painter.end()

    @property
    def _strip(self) -> int:
        """How high the strip with the name is."""
        return self.fontMetrics().height() + 6

    def _picture_place(self, sheet: TableSheet) -> QPoint:
        fitted = self._fitting(sheet).deviceIndependentSize()
        return QPoint(
            round((self.width() - fitted.width()) / 2), round((self.height() - fitted.height()) / 2)
        )

    def _fitting(self, sheet: TableSheet) -> QPixmap:
        """The picture at this size; found sheets fill the card, others keep the shape of the photograph."""
        ratio = self.devicePixelRatioF()
        size = self.size() * ratio
        if self._pixmap.isNull() or self._room_of_pixmap != size:
            found = sheet.found is not None
            way = Qt.AspectRatioMode.IgnoreAspectRatio if found else Qt.AspectRatioMode.KeepAspectRatio
            scaled = self._image.scaled(size, way, Qt.TransformationMode.SmoothTransformation)
            self._pixmap, self._room_of_pixmap = QPixmap.fromImage(scaled), size
            self._pixmap.setDevicePixelRatio(ratio)
        return self._pixmap

    def _draw_shared(self, painter: QPainter) -> None:
        """Tint what another sheet shows too."""
        tint = as_qt(shades_of(self.palette()).accent)
        tint.setAlphaF(0.22)
        for part in self.shared:
            painter.fillRect(part, tint)

    def _draw_name(self, painter: QPainter, sheet: TableSheet) -> None:
        shades, metrics = shades_of(self.palette()), self.fontMetrics()
        strip = QRect(0, self.height() - self._strip, self.width(), self._strip)
        painter.fillRect(strip, as_qt(shades.notice if sheet.doubts or sheet.trouble else shades.window))
        painter.setPen(as_qt(shades.text))
        room = strip.width() - 2 * PAD
        size = f"  {sheet.size}" if sheet.found is not None else ""
        full = f"{sheet.name}{size}{f'  · {_doubts(sheet)}' if sheet.doubts else ''}"
        words = full if metrics.horizontalAdvance(full) <= room else sheet.name
        shown = metrics.elidedText(words, Qt.TextElideMode.ElideRight, room)
        painter.drawText(strip, int(Qt.AlignmentFlag.AlignCenter), shown)

    def _draw_frame(self, painter: QPainter) -> None:
        shades = shades_of(self.palette())
        painter.setBrush(Qt.BrushStyle.NoBrush)
        frame = QRectF(self.rect())
        if self.isChecked():
            painter.setPen(QPen(as_qt(shades.accent), 3))
            painter.drawRect(frame.adjusted(1.5, 1.5, -1.5, -1.5))
        else:
            painter.setPen(QPen(as_qt(shades.edge), 1))
            painter.drawRect(frame.adjusted(0.5, 0.5, -0.5, -0.5))
        if self.hasFocus():
            painter.setPen(QPen(as_qt(shades.focus), 2, Qt.PenStyle.DashLine))
            painter.drawRect(frame.adjusted(5, 5, -5, -5))

    # Hands

    def nextCheckState(self) -> None:
        """Stay chosen, however often it is pressed."""

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose the sheet, and take hold of it."""
        if event.button() is Qt.MouseButton.LeftButton:
            self._pressed_at = event.position().toPoint()
            self._holder.chosen(self.key)
            self.setFocus()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Take the sheet along."""
        if self._pressed_at is None:
            return
        by = event.position().toPoint() - self._pressed_at
        if not self._dragging and by.manhattanLength() >= QApplication.startDragDistance():
            self._dragging = True
            self.setCursor(Qt.CursorShape.ClosedHandCursor)
            self.raise_()
        if self._dragging:
            self.move(self.pos() + by)
            self._holder.dragged(self.key, QPointF(self.geometry().center()))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let it go where it is held."""
        if event.button() is Qt.MouseButton.LeftButton and self._pressed_at is not None:
            self._let_go(QPointF(self.geometry().center()))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows go to the sheet beside it, with Shift they lay this one there; Escape puts it back."""
        way = WAYS.get(event.key())
        if event.key() == Qt.Key.Key_Escape and self._dragging:
            self._let_go(None)
        elif way is not None and event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            self._holder.move_card(self.key, way)
        elif way is not None:
            self._holder.go(self.key, way)
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """The one with the keyboard is the one chosen."""
        super().focusInEvent(event)
        self._holder.chosen(self.key)

    def _let_go(self, at: QPointF | None) -> None:
        was, self._dragging, self._pressed_at = self._dragging, False, None
        self.setCursor(Qt.CursorShape.OpenHandCursor)
        if was:
            self._holder.dropped(self.key, at)


def _doubts(sheet: TableSheet) -> str:
    count = len(sheet.doubts)
    return f"{count} doubt{'s' if count != 1 else ''}"
