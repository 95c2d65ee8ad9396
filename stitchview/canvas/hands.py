"""What hands do on the canvas: mouse, wheel, trackpad and touch become pans, zooms and touches."""

from enum import StrEnum
from typing import Protocol

from PySide6.QtCore import QElapsedTimer, QEvent, QObject, QPoint, QPointF, Qt, QTimer
from PySide6.QtGui import (
    QContextMenuEvent,
    QKeyEvent,
    QMouseEvent,
    QNativeGestureEvent,
    QTouchEvent,
    QWheelEvent,
)

from stitchview.canvas.chartcanvas import ChartCanvas
from stitchview.canvas.fingers import Fingers
from stitchview.canvas.frame import with_preview
from stitchview.canvas.gliding import GLIDE_STEP_MS, Glide
from stitchview.canvas.touch import Gesture, Preview, Shape, Spot, Touch, gesture
from stitchview.chart.area import Area
from stitchview.follow.band import Edge

# How near, in logical pixels, the pointer must be to an edge of the band to take hold of it.
EDGE_REACH = 5
WHEEL_STEP = 64
_NOTCH = 120


class Tool(StrEnum):
    """What a press of the hand does: look around, mark, unpick, or draw a region to zoom to."""

    LOOK = "look"
    MARK = "mark"
    UNPICK = "unpick"
    REGION = "region"


class HandsListener(Protocol):
    """Who acts on what the hands meant."""

    def touched(self, touch: Touch, unpick: bool) -> bool:
        """Mark or unpick what was touched; say whether anything altered."""

    def touch_taken_back(self) -> None:
        """Take back the touch just made, because it was the first half of a double click."""

    def pointed_at(self, spot: Spot | None) -> None:
        """Take note of where the pointer is; None when it has left."""

    def band_edge_dragged(self, edge: Edge, line: int) -> None:
        """Put an edge of the band on another line."""

    def band_called_to(self, column: int, row: int) -> None:
        """Bring the band to a square."""

    def tool_used_up(self) -> None:
        """Go back to the tool before: a region has been drawn, or given up."""

    def menu_asked(self, spot: Spot, place: QPoint) -> None:
        """Open the menu of a square at a place of the screen."""


class Hands(QObject):
    """Watches the events of a canvas. `tool` and `shape` are set from outside."""

    def __init__(self, canvas: ChartCanvas, listener: HandsListener) -> None:
        super().__init__(canvas)
        self._canvas, self._listener = canvas, listener
        self.tool = Tool.LOOK
        self.shape = Shape.SWEEP
        self._space_held = False
        self._gesture: Gesture | None = None
        self._unpicking = False
        self._panned_from: QPointF | None = None
        self._edge: Edge | None = None
        self._last_touch: Touch | None = None
        self._glide = Glide()
        self._clock = QElapsedTimer()
        self._clock.start()
        self._gliding = QTimer(self)
        self._gliding.setInterval(GLIDE_STEP_MS)
        self._gliding.timeout.connect(self._glide_on)
        self._fingers = Fingers(canvas, self)
        canvas.installEventFilter(self)

    @property
    def busy(self) -> bool:
        """Whether a gesture is under way."""
        return self._gesture is not None or self._panned_from is not None or self._edge is not None

    def set_tool(self, tool: Tool) -> None:
        """Take up another tool; what was under way is given up."""
        self.give_up()
        self.tool = tool
        self._show_cursor(None)

    def give_up(self) -> None:
        """Let go without taking anything."""
        if self._gesture is not None:
            self._gesture.close()
            self._gesture = None
        self._panned_from = self._edge = None
        self._stop_gliding()
        self._show(Preview())

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Handle what comes from hands; leave everything else to the canvas."""
        handled = False
        match event:
            case QWheelEvent():
                handled = self._wheel(event)
            case QNativeGestureEvent():
                handled = self._pinch(event)
            case QTouchEvent():
                handled = self._fingers.handle(event)
            case QMouseEvent():
                handled = self._mouse(event)
            case QContextMenuEvent():
                self._listener.menu_asked(self._spot(QPointF(event.pos())), event.globalPos())
                handled = True
            case QKeyEvent():
                handled = self._key(event)
            case _ if event.type() == QEvent.Type.Leave:
                self._listener.pointed_at(None)
        return handled

    # One hand: mouse or finger

    def finger_down(self, place: QPointF) -> None:
        """Begin where a finger was put down."""
        self._begin(place, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier)

    def finger_moved(self, place: QPointF) -> None:
        """Follow the finger."""
        self._follow(place)

    def finger_up(self, place: QPointF) -> None:
        """End where the finger was lifted."""
        self._end(place)

    def _mouse(self, event: QMouseEvent) -> bool:
        match event.type():
            case QEvent.Type.MouseButtonPress:
                self._begin(event.position(), event.button(), event.modifiers())
            case QEvent.Type.MouseButtonDblClick:
                self._double(event)
            case QEvent.Type.MouseMove:
                self._follow(event.position())
            case QEvent.Type.MouseButtonRelease if event.button() != Qt.MouseButton.RightButton:
                self._end(event.position())
            case _:
                return False
        return True

    def _begin(self, place: QPointF, button: Qt.MouseButton, modifiers: Qt.KeyboardModifier) -> None:
        self._stop_gliding()
        left = button == Qt.MouseButton.LeftButton
        looking = self.tool is Tool.LOOK or self._space_held
        self._edge = self._edge_near(place) if left and not self._space_held else None
        if self._edge is not None:
            return
        if button == Qt.MouseButton.MiddleButton or (left and looking):
            self._panned_from = place
            self._glide.drag(place.x(), place.y(), self._now())
            self._canvas.setCursor(Qt.CursorShape.ClosedHandCursor)
        elif left:
            inverted = bool(modifiers & Qt.KeyboardModifier.ControlModifier)
            self._unpicking = (self.tool is Tool.UNPICK) != inverted
            shape = Shape.RECTANGLE if self.tool is Tool.REGION else self.shape
            self._gesture = gesture(shape, self._spot(place))
            self._show(next(self._gesture))

    def _double(self, event: QMouseEvent) -> None:
        spot = self._spot(event.position())
        last = self._last_touch
        if self.tool is Tool.LOOK or (last is not None and last.path == (spot.square,)):
            if self.tool is not Tool.LOOK:
                self._listener.touch_taken_back()
            self._last_touch = None
            self._listener.band_called_to(*spot.square)
        else:
            self._begin(event.position(), event.button(), event.modifiers())

    def _follow(self, place: QPointF) -> None:
        if self._panned_from is not None:
            self._drag(place)
        elif self._edge is not None:
            self._drag_edge(place)
        elif self._gesture is not None:
            self._show(self._gesture.send(self._spot(place)))
        else:
            self._show_cursor(place)
        self._listener.pointed_at(self._spot(place))

    def _end(self, place: QPointF) -> None:
        if self._panned_from is not None:
            self._panned_from = None
            if self._glide.release(self._now()):
                self._gliding.start()
            self._show_cursor(place)
        elif self._edge is not None:
            self._edge = None
        elif self._gesture is not None:
            self._finish(place)

    def _finish(self, place: QPointF) -> None:
        gesture_done, self._gesture = self._gesture, None
        self._show(Preview())
        spot = self._spot(place)
        try:
            if gesture_done is not None:
                gesture_done.send(Spot(spot.x, spot.y, released=True))
        except StopIteration as end:
            self._act(end.value)

    def _act(self, touch: Touch) -> None:
        if self.tool is Tool.REGION:
            if len(touch.path) > 1:
                view = self._canvas.view
                self._canvas.show_area(touch.area.clipped(Area(0, 0, view.columns, view.rows)))
            self._listener.tool_used_up()
            return
        altered = self._listener.touched(touch, self._unpicking)
        self._last_touch = touch if altered else None

    # Panning

    def _drag(self, place: QPointF) -> None:
        if self._panned_from is None:
            return
        step = self._whole_step(place - self._panned_from)
        self._panned_from += QPointF(step)
        self._pan_logical(-step.x(), -step.y())
        self._glide.drag(place.x(), place.y(), self._now())

    def _whole_step(self, moved: QPointF) -> QPoint:
        """Round a movement to whole logical pixels that are whole device pixels too: only those scroll."""
        grain = next((n for n in (1, 2, 4) if (self._canvas.devicePixelRatioF() * n).is_integer()), 1)
        return QPoint(round(moved.x() / grain) * grain, round(moved.y() / grain) * grain)

    def _pan_logical(self, right: float, down: float) -> None:
        ratio = self._canvas.devicePixelRatioF()
        self._canvas.pan_by(round(right * ratio), round(down * ratio))

    def _glide_on(self) -> None:
        across, down = self._glide.step(GLIDE_STEP_MS)
        step = self._whole_step(QPointF(across, down))
        self._pan_logical(-step.x(), -step.y())
        if not self._glide.moving:
            self._stop_gliding()

    def _stop_gliding(self) -> None:
        self._glide.stop()
        self._gliding.stop()

    def _wheel(self, event: QWheelEvent) -> bool:
        self._stop_gliding()
        angle, pixels = event.angleDelta(), event.pixelDelta()
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            ratio = self._canvas.devicePixelRatioF()
            place = event.position() * ratio
            self._canvas.zoom_by((angle.y() or angle.x()) / _NOTCH, place.x(), place.y())
        else:
            step = QPointF(pixels) if not pixels.isNull() else QPointF(angle) * (WHEEL_STEP / _NOTCH)
            if event.modifiers() & Qt.KeyboardModifier.ShiftModifier and not step.x():
                step = step.transposed()
            whole = self._whole_step(step)
            self._pan_logical(-whole.x(), -whole.y())
        event.accept()
        return True

    def _pinch(self, event: QNativeGestureEvent) -> bool:
        if event.gestureType() != Qt.NativeGestureType.ZoomNativeGesture:
            return False
        place = event.position() * self._canvas.devicePixelRatioF()
        self._canvas.zoom_to_pitch(self._canvas.view.pitch * (1 + event.value()), place.x(), place.y())
        return True

    # Keys held, cursors, places

    def _key(self, event: QKeyEvent) -> bool:
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._space_held = event.type() == QEvent.Type.KeyPress
            self._show_cursor(None)
            return True
        if event.key() == Qt.Key.Key_Escape and event.type() == QEvent.Type.KeyPress and self.busy:
            self.give_up()
            if self.tool is Tool.REGION:
                self._listener.tool_used_up()
            return True
        return False

    def _edge_near(self, place: QPointF) -> Edge | None:
        lit, view = self._canvas.showing.lit, self._canvas.view
        if lit is None:
            return None
        ratio = self._canvas.devicePixelRatioF()
        x, y, width, height = view.pixels_of(lit)
        reach = EDGE_REACH * ratio
        at = place * ratio
        along_x = x - reach <= at.x() <= x + width + reach
        along_y = y - reach <= at.y() <= y + height + reach
        edges = (
            (Edge.TOP, lit.row > 0 and along_x and abs(at.y() - y) <= reach),
            (Edge.BOTTOM, lit.bottom < view.rows and along_x and abs(at.y() - y - height) <= reach),
            (Edge.LEFT, lit.column > 0 and along_y and abs(at.x() - x) <= reach),
            (Edge.RIGHT, lit.right < view.columns and along_y and abs(at.x() - x - width) <= reach),
        )
        return next((edge for edge, near in edges if near), None)

    def _drag_edge(self, place: QPointF) -> None:
        spot = self._spot(place)
        if self._edge in (Edge.TOP, Edge.BOTTOM):
            self._listener.band_edge_dragged(self._edge, round(spot.y))
        elif self._edge is not None:
            self._listener.band_edge_dragged(self._edge, round(spot.x))

    def _show_cursor(self, place: QPointF | None) -> None:
        edge = self._edge_near(place) if place is not None else None
        if edge is not None:
            upright = edge in (Edge.TOP, Edge.BOTTOM)
            shape = Qt.CursorShape.SplitVCursor if upright else Qt.CursorShape.SplitHCursor
        elif self._space_held or self.tool is Tool.LOOK:
            shape = Qt.CursorShape.OpenHandCursor
        else:
            shape = Qt.CursorShape.CrossCursor
        self._canvas.setCursor(shape)

    def _show(self, preview: Preview) -> None:
        self._canvas.set_pointers(with_preview(self._canvas.showing.pointers, preview))

    def _spot(self, place: QPointF) -> Spot:
        ratio = self._canvas.devicePixelRatioF()
        return Spot(*self._canvas.view.exact_at(place.x() * ratio, place.y() * ratio))

    def _now(self) -> float:
        return float(self._clock.elapsed())
