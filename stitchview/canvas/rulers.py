"""The rulers along the chart's top and left edge: they number it, and carry the band's handles."""

from dataclasses import replace
from enum import Enum
from typing import Protocol

from PySide6.QtCore import QPointF, QSize, Qt
from PySide6.QtGui import QFont, QFontInfo, QFontMetrics, QMouseEvent, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from stitchview.canvas.devicepixels import exposed_in, painter_on, scrolls, size_of, update_pixels
from stitchview.canvas.looks import DAY, Look
from stitchview.canvas.rulerface import BAR, GAP, TICKS, RulerFace
from stitchview.canvas.view import View
from stitchview.follow.band import Band, Edge
from stitchview.follow.numbering import Numbering
from stitchview.follow.span import Span

# How near, in logical pixels, the pointer must be to an end of the band's bar to take hold of it.
END_REACH = 6
_TEXT_SHARE = 0.85


class RulerListener(Protocol):
    """Who moves the band when she handles it on a ruler."""

    def band_edge_dragged(self, edge: Edge, line: int) -> None:
        """Put an edge of the band on another line."""

    def band_moved_to(self, first_column: int | None, first_row: int | None) -> None:
        """Let the band begin at another column or row; None leaves it where it is."""

    def band_called_to(self, column: int, row: int) -> None:
        """Bring the band to a square."""


class _Hold(Enum):
    """What the hand has taken hold of."""

    START = "start"
    END = "end"
    MIDDLE = "middle"


class Ruler(QWidget):
    """A ruler over the columns (horizontal) or beside the rows (vertical) of a canvas.

    It must begin where the canvas begins, because it looks through the same `View`.
    """

    def __init__(
        self, orientation: Qt.Orientation, listener: RulerListener, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._listener = listener
        self._band: Band | None = None
        self._square: tuple[int, int] | None = None
        self._upright = orientation == Qt.Orientation.Vertical
        self._held: _Hold | None = None
        # How many squares behind the bar's start the hand holds it.
        self._behind = 0.0
        self._face = RulerFace(
            self._upright, View(1, 1, 1, 1), Numbering.TOP_LEFT, DAY, self._text_font(), 1, 1.0
        )
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setMouseTracking(True)
        fixed, free = QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Expanding
        self.setSizePolicy(*((fixed, free) if self._upright else (free, fixed)))
        self.setAccessibleName("Row numbers" if self._upright else "Column numbers")
        self.setAccessibleDescription(
            "Drag the bar to move the band, an end of it to make it larger or smaller; "
            "a double click brings the band there."
        )

    def set_view(self, view: View) -> None:
        """Follow the canvas; a pan scrolls what is drawn."""
        old = self._face.view
        if (old.columns, old.rows, old.turn) != (view.columns, view.rows, view.turn):
            self._turn_to(view)
        before, self._face = self._face.start, replace(self._face, view=view)
        if _same_but_for_place(old, view):
            self._scroll_by(self._face.start - before)
        else:
            self.update()

    def set_numbering(self, numbering: Numbering) -> None:
        """Count otherwise."""
        self._show(replace(self._face, numbering=numbering))

    def set_look(self, look: Look) -> None:
        """Wear the colours of day or night."""
        self._show(replace(self._face, ground=look.ground))

    def set_band(self, band: Band | None) -> None:
        """Show where the band lies."""
        self._band = band
        span = self._span_seen()
        if span == self._face.span:
            return
        for shown in (self._face.span, span):
            if shown is not None:
                update_pixels(self, self._face.span_room(shown))
        self._face = replace(self._face, span=span)

    def point_at(self, square: tuple[int, int] | None) -> None:
        """Mark the column or row of a square, or none."""
        self._square = square
        pointed = self._pointed_seen()
        if pointed == self._face.pointed:
            return
        for shown in (self._face.pointed, pointed):
            if shown is not None:
                update_pixels(self, self._face.pointer_room(shown))
        self._face = replace(self._face, pointed=pointed)

    def sizeHint(self) -> QSize:
        """Ask for room for the numbers; how long it is does not matter."""
        metrics = QFontMetrics(self._text_font(1.0))
        beside = BAR + TICKS + 2 * GAP
        if self._upright:
            digits = max(3, len(str(self._face.size)))
            return QSize(metrics.horizontalAdvance("0" * digits) + beside, 100)
        return QSize(100, metrics.height() + beside - GAP)

    def minimumSizeHint(self) -> QSize:
        """Insist on the room for the numbers only."""
        hint = self.sizeHint()
        return QSize(hint.width(), 1) if self._upright else QSize(1, hint.height())

    # Drawing

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw what is exposed."""
        painter = painter_on(self)
        for exposed in exposed_in(event.region(), self.devicePixelRatioF()):
            self._face.paint(painter, exposed)
        painter.end()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Take the new measures."""
        super().resizeEvent(event)
        ratio = self.devicePixelRatioF()
        width, height = size_of(self)
        self._face = replace(
            self._face,
            thickness=width if self._upright else height,
            ratio=ratio,
            font=self._text_font(ratio),
        )
        self.update()

    def _text_font(self, ratio: float = 1.0) -> QFont:
        font = QFont(self.font())
        font.setPixelSize(max(8, round(QFontInfo(self.font()).pixelSize() * _TEXT_SHARE * ratio)))
        return font

    def _show(self, face: RulerFace) -> None:
        if face != self._face:
            self._face = face
            self.update()

    def _scroll_by(self, step: int) -> None:
        ratio = self.devicePixelRatioF()
        if not step:
            return
        if scrolls(ratio, step):
            whole = int(step / ratio)
            self.scroll(*((0, whole) if self._upright else (whole, 0)))
        else:
            self.update()

    # Hands

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of the band's bar or one of its ends."""
        if event.button() == Qt.MouseButton.LeftButton:
            self._held = self._hold_at(event.position())
            if self._held is not None and self._face.span is not None:
                self._behind = self._exact(event.position()) - self._face.span.first
        self._show_cursor(event.position())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag what is held."""
        if self._held is None:
            self._show_cursor(event.position())
        elif self._held is _Hold.MIDDLE:
            first, span = round(self._exact(event.position()) - self._behind), self._face.span
            if span is not None and first != span.first:
                self._listener.band_moved_to(*self._sorted(int(self._face.seen(first, span.count)), None))
        else:
            line = round(self._face.seen(self._exact(event.position())))
            self._listener.band_edge_dragged(self._edge(self._held), line)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go."""
        if event.button() == Qt.MouseButton.LeftButton:
            self._held = None
            self._show_cursor(event.position())

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Bring the band to the column or row; the other one stays as it is, or comes into view."""
        self._held = None
        here = int(self._exact(event.position()))
        if event.button() != Qt.MouseButton.LeftButton or not 0 <= here < self._face.size:
            return
        column, row = self._sorted(int(self._face.seen(here, 1)), self._other())
        if column is not None and row is not None:
            self._listener.band_called_to(column, row)

    def _hold_at(self, position: QPointF) -> _Hold | None:
        span = self._face.span
        if span is None:
            return None
        ratio = self.devicePixelRatioF()
        at = (position.y() if self._upright else position.x()) * ratio
        begin, end = self._face.place(span.first), self._face.place(span.end)
        reach = END_REACH * ratio
        # Of a short bar enough is left in the middle to move it by.
        inside = min(reach, (end - begin) / 3)
        if -reach <= at - begin <= inside:
            return _Hold.START
        if -inside <= at - end <= reach:
            return _Hold.END
        return _Hold.MIDDLE if begin <= at <= end else None

    def _edge(self, held: _Hold) -> Edge:
        start = (held is _Hold.START) != self._face.backwards
        if self._face.numbers_rows:
            return Edge.TOP if start else Edge.BOTTOM
        return Edge.LEFT if start else Edge.RIGHT

    def _exact(self, position: QPointF) -> float:
        """Give where along the ruler a position is, in squares as they are seen."""
        ratio = self.devicePixelRatioF()
        x, y = self._face.view.flat.exact_at(position.x() * ratio, position.y() * ratio)
        return y if self._upright else x

    def _sorted(self, along: int, across: int | None) -> tuple[int | None, int | None]:
        """Give what lies along and across the ruler as column and row of the chart."""
        return (across, along) if self._face.numbers_rows else (along, across)

    def _span_seen(self) -> Span | None:
        """Give what the band covers along the ruler, as it is seen."""
        if self._band is None:
            return None
        span = self._band.rows if self._face.numbers_rows else self._band.columns
        return span and replace(span, first=int(self._face.seen(span.first, span.count)))

    def _pointed_seen(self) -> int | None:
        """Give the column or row pointed at, as it is seen; None for none, or one beyond the chart."""
        if self._square is None:
            return None
        pointed = int(self._face.seen(self._square[1 if self._face.numbers_rows else 0], 1))
        return pointed if 0 <= pointed < self._face.size else None

    def _turn_to(self, view: View) -> None:
        """Number another chart, or the same one turned."""
        old = self._face.view
        if (old.columns, old.rows) != (view.columns, view.rows):
            self._square = None
        self._face = replace(self._face, view=view)
        self._face = replace(self._face, span=self._span_seen(), pointed=self._pointed_seen())
        self.setAccessibleName("Row numbers" if self._face.numbers_rows else "Column numbers")
        self.updateGeometry()
        self.update()

    def _other(self) -> int:
        """Give the column or row across this ruler that the band is to keep."""
        span = None
        if self._band is not None:
            span = self._band.columns if self._face.numbers_rows else self._band.rows
        if span is not None:
            return span.first + (span.count - 1) // 2
        view = self._face.view
        across = self._face.numbers_rows
        middle, most = (view.centre[0], view.columns) if across else (view.centre[1], view.rows)
        return min(max(int(middle), 0), most - 1)

    def _show_cursor(self, position: QPointF) -> None:
        held = self._held or self._hold_at(position)
        if held is None:
            self.unsetCursor()
        elif held is _Hold.MIDDLE:
            grabbing = self._held is not None
            self.setCursor(Qt.CursorShape.ClosedHandCursor if grabbing else Qt.CursorShape.OpenHandCursor)
        else:
            self.setCursor(Qt.CursorShape.SplitVCursor if self._upright else Qt.CursorShape.SplitHCursor)


def _same_but_for_place(old: View, new: View) -> bool:
    return replace(old, left=new.left, top=new.top) == new
