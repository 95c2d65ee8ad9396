"""The whole chart as a small picture: it shows where the view and the band are, and takes her elsewhere."""

from dataclasses import replace
from typing import Protocol

from PySide6.QtCore import QPoint, QPointF, QRect, QSize, Qt, QTimer
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QHideEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QResizeEvent,
    QShowEvent,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from stitchview.canvas.chartcanvas import ChartCanvas
from stitchview.canvas.devicepixels import exposed_in, painter_on, size_of, update_pixels
from stitchview.canvas.looks import Ground, Look
from stitchview.canvas.painting import ChartPainter
from stitchview.canvas.qtcolours import as_qt
from stitchview.canvas.showing import Key, Showing
from stitchview.canvas.smallpicture import Fit, SmallPicture, fitted
from stitchview.canvas.strips import around
from stitchview.canvas.view import View
from stitchview.chart.area import Area
from stitchview.done.change import Change

# The first picture waits until the window has been drawn; later ones gather what is marked meanwhile.
FIRST_WAIT_MS = 40
MARK_WAIT_MS = 100
_BREATH_MS = 2
# An arrow key moves the view by this share of itself.
KEY_STEP = 0.25
_RIM = 2

_ARROWS = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}


Colours = tuple[Look, int, frozenset[int], Key]


class OverviewListener(Protocol):
    """Who looks elsewhere when she asks for it on the overview."""

    def look_at(self, x: float, y: float) -> None:
        """Put a point of the chart, in squares, in the middle of the view."""


class Overview(QWidget):
    """Shows the chart of a canvas as a whole; it must be told what changes there."""

    def __init__(
        self, canvas: ChartCanvas, listener: OverviewListener, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._canvas, self._listener = canvas, listener
        self._painter: ChartPainter | None = None
        self._picture: SmallPicture | None = None
        self._ready = False
        self._shown_colours: Colours | None = None
        self._lit: Area | None = None
        self._look = Look()
        self._view_room = QRect()
        self._marked = Area(0, 0, 0, 0)
        self._work = QTimer(self)
        self._work.setSingleShot(True)
        self._work.timeout.connect(self._go_on)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)
        self.setMinimumSize(64, 64)
        self.setAccessibleName("Overview of the chart")
        self.setAccessibleDescription("Click or drag to look there; the arrow keys move the view.")

    @property
    def up_to_date(self) -> bool:
        """Whether the picture shows everything as it is now."""
        return self._ready and not self._work.isActive()

    def view_changed(self, view: View) -> None:
        """Show where the canvas looks now."""
        room = self._room_of_view(view)
        if room != self._view_room:
            self._update_rim(self._view_room)
            self._update_rim(room)
            self._view_room = room

    def showing_changed(self) -> None:
        """Show another chart, look, thread in hand or band, if the canvas does."""
        showing = self._canvas.showing
        if self._canvas.chart_painter is not self._painter:
            self._begin_anew()
        elif _colours_of(showing) != self._shown_colours:
            self._wait(MARK_WAIT_MS)
        if (showing.lit, showing.look) != (self._lit, self._look):
            self._lit, self._look = showing.lit, showing.look
            self.update()

    def marks_changed(self, change: Change) -> None:
        """Draw anew, within a tenth of a second, what a change of the marks touches."""
        if self._picture is not None:
            self._picture.changed(self._seen(change.area))
            self._marked = self._marked.joined(change.area)
            self._wait(MARK_WAIT_MS)

    def sizeHint(self) -> QSize:
        """Ask for a square to lay the chart into."""
        return QSize(200, 200)

    # Making the picture

    def showEvent(self, event: QShowEvent) -> None:
        """Begin the picture, soon but not at once."""
        super().showEvent(event)
        self.showing_changed()
        if not self._ready or not self._marked.empty:
            self._wait(FIRST_WAIT_MS)

    def hideEvent(self, event: QHideEvent) -> None:
        """Rest while nobody looks."""
        super().hideEvent(event)
        self._work.stop()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Make the picture anew in the new size."""
        super().resizeEvent(event)
        self._begin_anew()

    def _begin_anew(self) -> None:
        self._painter = self._canvas.chart_painter
        self._picture, self._ready = None, False
        self._marked = Area(0, 0, 0, 0)
        if self._painter is not None:
            chart = self._painter.chart
            self._picture = SmallPicture(self._painter, fitted(chart.columns, chart.rows, *size_of(self)))
        self._lit, self._look = self._canvas.showing.lit, self._canvas.showing.look
        self._view_room = self._room_of_view(self._canvas.view)
        self.update()
        self._wait(FIRST_WAIT_MS)

    def _wait(self, milliseconds: int) -> None:
        if self.isVisible() and self._picture is not None and not self._work.isActive():
            self._work.start(milliseconds)

    def _go_on(self) -> None:
        if self._picture is None or not self.isVisible():
            return
        showing = self._canvas.showing
        if not self._picture.work(showing):
            self._work.start(_BREATH_MS)
            return
        same = self._ready and self._shown_colours == _colours_of(showing)
        marked, self._marked = self._marked, Area(0, 0, 0, 0)
        self._ready, self._shown_colours = True, _colours_of(showing)
        if same and not marked.empty:
            update_pixels(self, _grown(_room_of(self._picture.fit, self._seen(marked)), self._picture.reach))
        else:
            self.update()

    # Drawing

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw what is exposed: desk, picture, band and view."""
        painter = painter_on(self)
        ground = self._look.ground
        for exposed in exposed_in(event.region(), self.devicePixelRatioF()):
            painter.save()
            painter.setClipRect(exposed)
            painter.fillRect(exposed, as_qt(ground.desk))
            if self._picture is not None:
                self._paint_chart(painter, self._picture, ground)
            if self.hasFocus():
                _frame(painter, QRect(0, 0, *size_of(self)), -_RIM, as_qt(ground.edge))
            painter.restore()
        painter.end()

    def _paint_chart(self, painter: QPainter, picture: SmallPicture, ground: Ground) -> None:
        fit = picture.fit
        if picture.image is None:
            painter.fillRect(fit.x, fit.y, fit.width, fit.height, as_qt(ground.paper))
        else:
            painter.drawImage(QPoint(fit.x, fit.y), picture.image)
        if self._lit is not None:
            self._paint_band(painter, fit, self._lit, ground)
        _frame(painter, self._view_room, -_RIM, as_qt(ground.pointer))
        _frame(painter, self._view_room, 1, as_qt(ground.paper))

    def _paint_band(self, painter: QPainter, fit: Fit, lit: Area, ground: Ground) -> None:
        flat = self._canvas.view.flat
        chart = Area(0, 0, flat.columns, flat.rows)
        wash = as_qt(ground.dim)
        wash.setAlphaF(self._look.dim)
        inner = self._seen(lit).clipped(chart)
        for piece in [chart] if inner.empty else around(chart, inner):
            painter.fillRect(_room_of(fit, piece), wash)
        if not inner.empty:
            _frame(painter, _room_of(fit, inner), 1, as_qt(ground.edge))

    def _room_of_view(self, view: View) -> QRect:
        if self._picture is None:
            return QRect()
        shown = view.flat.area
        return QRect() if shown.empty else _room_of(self._picture.fit, shown)

    def _update_rim(self, room: QRect) -> None:
        if not room.isEmpty():
            update_pixels(self, _grown(room, 1))

    # Hands and keys

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Look where she clicks."""
        if event.button() == Qt.MouseButton.LeftButton:
            self._look_at(event.position())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Look where she drags."""
        if event.buttons() & Qt.MouseButton.LeftButton:
            self._look_at(event.position())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move the view by arrow keys."""
        step = _ARROWS.get(Qt.Key(event.key()))
        if step is None or self._picture is None:
            super().keyPressEvent(event)
            return
        view = self._canvas.view.flat
        x, y = view.centre
        across, down = view.width / view.pitch, view.height / view.pitch
        self._go_to(x + step[0] * across * KEY_STEP, y + step[1] * down * KEY_STEP)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show that the keys are here."""
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Show that they are elsewhere."""
        super().focusOutEvent(event)
        self.update()

    def _look_at(self, position: QPointF) -> None:
        if self._picture is not None:
            ratio = self.devicePixelRatioF()
            self._go_to(*self._picture.fit.squares(position.x() * ratio, position.y() * ratio))

    def _go_to(self, x: float, y: float) -> None:
        """Look at a point of the chart as it is seen here, turned."""
        turn, flat = self._canvas.view.turn, self._canvas.view.flat
        x, y = min(max(x, 0.0), float(flat.columns)), min(max(y, 0.0), float(flat.rows))
        self._listener.look_at(*turn.back.point(x, y, flat.columns, flat.rows))

    def _seen(self, area: Area) -> Area:
        """Where an area of the upright chart lies on the picture."""
        view = self._canvas.view
        return view.turn.area(area, view.columns, view.rows)


def _colours_of(showing: Showing) -> Colours:
    """Give what the picture depends on: the look, however dim, the threads and those that stand out."""
    return replace(showing.look, dim=0), showing.in_hand, showing.held_back, showing.key


def _room_of(fit: Fit, area: Area) -> QRect:
    """Give the pixels that an area of the chart lies on, at least one."""
    x, y = fit.place(area.column, area.row)
    right, bottom = fit.place(area.right, area.bottom)
    return QRect(x, y, max(1, right - x), max(1, bottom - y))


def _grown(room: QRect, margin: int) -> QRect:
    return room.adjusted(-margin, -margin, margin, margin)


def _frame(painter: QPainter, room: QRect, width: int, ink: QColor) -> None:
    """Draw a frame `width` pixels outside a rectangle, or inside it if below 0."""
    if room.isEmpty():
        return
    outer = _grown(room, max(width, 0))
    wide = abs(width)
    painter.fillRect(outer.x(), outer.y(), outer.width(), wide, ink)
    painter.fillRect(outer.x(), outer.y() + outer.height() - wide, outer.width(), wide, ink)
    painter.fillRect(outer.x(), outer.y(), wide, outer.height(), ink)
    painter.fillRect(outer.x() + outer.width() - wide, outer.y(), wide, outer.height(), ink)
