"""What hands do on the canvas: mouse, wheel, trackpad and touch become pans, zooms and touches."""

from enum import StrEnum
from typing import Protocol

from PySide6.QtCore import QEvent, QObject, QPoint, QPointF, Qt
from PySide6.QtGui import (
    QContextMenuEvent,
    QKeyEvent,
    QMouseEvent,
    QNativeGestureEvent,
    QTouchEvent,
    QWheelEvent,
)

from stitchview.canvas.bandgrip import cursor_for, edge_near, line_under
from stitchview.canvas.chartcanvas import ChartCanvas
from stitchview.canvas.fingers import Fingers
from stitchview.canvas.frame import with_preview
from stitchview.canvas.panner import Panner
from stitchview.canvas.touch import Gesture, Preview, Shape, Spot, Touch, gesture
from stitchview.chart.area import Area
from stitchview.follow.band import Edge


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
    """Watches the events of a canvas. `tool` and `shape` are set from outside, `panner` tells of glides."""

    def __init__(self, canvas: ChartCanvas, listener: HandsListener) -> None:
        super().__init__(canvas)
        self._canvas, self._listener = canvas, listener
        self.tool = Tool.LOOK
        self.shape = Shape.SWEEP
        self._space_held = False
        self._gesture: Gesture | None = None
        self._unpicking = False
        self._edge: Edge | None = None
        # The touch just finished, and whether it altered anything, in case a double click follows.
        self._last_touch: tuple[Touch, bool] | None = None
        self.panner = Panner(canvas)
        self._fingers = Fingers(canvas, self)
        canvas.installEventFilter(self)

    @property
    def busy(self) -> bool:
        """Whether a gesture is under way."""
        return self._gesture is not None or self.panner.held or self._edge is not None

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
        self._edge = None
        self.panner.stop()
        self._show(Preview())

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Handle what comes from hands; leave everything else to the canvas."""
        handled = False
        match event:
            case QWheelEvent():
                self.panner.wheel(event)
                handled = True
            case QNativeGestureEvent():
                handled = self.panner.pinch(event)
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
            case _ if event.type() == QEvent.Type.FocusOut:
                # The key may be let go where nobody tells us.
                self._space_held = False
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
        self.panner.stop()
        self._last_touch = None
        left = button == Qt.MouseButton.LeftButton
        looking = self.tool is Tool.LOOK or self._space_held
        self._edge = edge_near(self._canvas, place) if left and not self._space_held else None
        if self._edge is not None:
            return
        if button == Qt.MouseButton.MiddleButton or (left and looking):
            self.panner.take_hold(place)
            self._canvas.setCursor(Qt.CursorShape.ClosedHandCursor)
        elif left:
            inverted = bool(modifiers & Qt.KeyboardModifier.ControlModifier)
            self._unpicking = (self.tool is Tool.UNPICK) != inverted
            shape = Shape.RECTANGLE if self.tool is Tool.REGION else self.shape
            self._gesture = gesture(shape, self._spot(place))
            self._show(next(self._gesture))

    def _double(self, event: QMouseEvent) -> None:
        """Call the band; the first click of the two has touched a square, and is taken back."""
        spot, last = self._spot(event.position()), self._last_touch
        looking = self.tool is Tool.LOOK
        touched = last is not None and last[0].path == (spot.square,)
        if event.button() != Qt.MouseButton.LeftButton or not (looking or touched):
            self._begin(event.position(), event.button(), event.modifiers())
            return
        self._last_touch = None
        if last is not None and last[1]:
            self._listener.touch_taken_back()
        self._listener.band_called_to(*spot.square)

    def _follow(self, place: QPointF) -> None:
        spot = self._spot(place)
        if self.panner.held:
            self.panner.drag(place)
        elif self._edge is not None:
            self._listener.band_edge_dragged(self._edge, line_under(self._edge, spot.x, spot.y))
        elif self._gesture is not None:
            self._show(self._gesture.send(spot))
        else:
            self._show_cursor(place)
        self._listener.pointed_at(spot)

    def _end(self, place: QPointF) -> None:
        if self.panner.held:
            self.panner.let_go()
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
        self._last_touch = touch, self._listener.touched(touch, self._unpicking)

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

    def _show_cursor(self, place: QPointF | None) -> None:
        edge = edge_near(self._canvas, place) if place is not None else None
        if edge is not None:
            shape = cursor_for(edge, self._canvas.view.turn)
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
