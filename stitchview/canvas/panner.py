"""Moving the chart under the hand: drags, the glide after them, wheel and trackpad."""

from collections.abc import Callable

from PySide6.QtCore import QElapsedTimer, QObject, QPoint, QPointF, Qt, QTimer
from PySide6.QtGui import QNativeGestureEvent, QWheelEvent

from stitchview.canvas.chartcanvas import ChartCanvas
from stitchview.canvas.gliding import GLIDE_STEP_MS, Glide
from stitchview.canvas.view import LARGEST_PITCH, SMALLEST_PITCH, snapped

# Logical pixels to one notch of the wheel.
WHEEL_STEP = 64
_NOTCH = 120


class Panner(QObject):
    """Pans a canvas in steps that are whole pixels of the screen, so that what is drawn can be scrolled."""

    def __init__(self, canvas: ChartCanvas) -> None:
        super().__init__(canvas)
        self._canvas = canvas
        self._from: QPointF | None = None
        # What is too little to move yet: of wheel and glide in logical pixels, of zooms in notches.
        self._rest = QPointF()
        self._notches = 0.0
        # The size of square that a pinch has come to, between two that are drawn.
        self._pinched: float | None = None
        self._glide = Glide()
        clock = QElapsedTimer()
        clock.start()
        self.clock: Callable[[], float] = clock.elapsed
        """Milliseconds, by which a drag's speed is measured."""
        self._timer = QTimer(self)
        self._timer.setInterval(GLIDE_STEP_MS)
        self._timer.timeout.connect(self._glide_on)

    @property
    def held(self) -> bool:
        """Whether a drag is under way."""
        return self._from is not None

    @property
    def gliding(self) -> bool:
        """Whether the chart still moves by itself."""
        return self._timer.isActive()

    def take_hold(self, place: QPointF) -> None:
        """Begin a drag at a place of the canvas, in logical pixels."""
        self._from, self._rest = place, QPointF()
        self._note(place)

    def drag(self, place: QPointF) -> None:
        """Follow the hand."""
        if self._from is None:
            return
        step = self._whole(place - self._from)
        self._from += QPointF(step)
        self._pan(step)
        self._note(place)

    def let_go(self) -> None:
        """End the drag; a quick one glides on."""
        self._from = None
        if self._glide.release(float(self.clock())):
            self._timer.start()

    def stop(self) -> None:
        """Come to rest at once, and let go."""
        self._from = None
        self._glide.stop()
        self._timer.stop()

    def wheel(self, event: QWheelEvent) -> None:
        """Pan by wheel or trackpad; with Ctrl zoom about the pointer, with Shift pan sideways."""
        self.stop()
        angle, pixels = event.angleDelta(), event.pixelDelta()
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self._zoom((angle.y() or angle.x()) / _NOTCH, event.position())
            return
        step = QPointF(pixels) if not pixels.isNull() else QPointF(angle) * (WHEEL_STEP / _NOTCH)
        if event.modifiers() & Qt.KeyboardModifier.ShiftModifier and not step.x():
            step = step.transposed()
        self._pan(self._carried(step))

    def pinch(self, event: QNativeGestureEvent) -> bool:
        """Zoom as two fingers on a trackpad ask for; False if they ask for something else."""
        if event.gestureType() == Qt.NativeGestureType.BeginNativeGesture:
            self._pinched = None
        if event.gestureType() != Qt.NativeGestureType.ZoomNativeGesture:
            return False
        self.stop()
        pitch = self._canvas.view.pitch
        # Each event asks for a hundredth or so, and only all together for another whole pixel.
        before = pitch if self._pinched is None or snapped(self._pinched) != pitch else self._pinched
        wanted = min(max(before * (1 + event.value()), SMALLEST_PITCH), LARGEST_PITCH)
        if snapped(wanted) != pitch:
            place = event.position() * self._canvas.devicePixelRatioF()
            self._canvas.zoom_to_pitch(wanted, place.x(), place.y())
        self._pinched = wanted
        return True

    def _zoom(self, notches: float, place: QPointF) -> None:
        """Zoom by whole notches, to which the small steps of fine wheels add up."""
        self._notches += notches
        whole = int(self._notches)
        self._notches -= whole
        about = place * self._canvas.devicePixelRatioF()
        self._canvas.zoom_by(whole, about.x(), about.y())

    def _note(self, place: QPointF) -> None:
        self._glide.drag(place.x(), place.y(), float(self.clock()))

    def _glide_on(self) -> None:
        self._pan(self._carried(QPointF(*self._glide.step(GLIDE_STEP_MS))))
        if not self._glide.moving:
            self.stop()

    def _pan(self, moved: QPoint) -> None:
        ratio = self._canvas.devicePixelRatioF()
        self._canvas.pan_by(-round(moved.x() * ratio), -round(moved.y() * ratio))

    def _carried(self, moved: QPointF) -> QPoint:
        """Round a movement likewise, and carry what is left of it over to the next."""
        wanted = moved + self._rest
        step = self._whole(wanted)
        self._rest = wanted - QPointF(step)
        return step

    def _whole(self, moved: QPointF) -> QPoint:
        """Round a movement to logical pixels that are whole device pixels too: only those scroll."""
        ratio = self._canvas.devicePixelRatioF()
        grain = next((n for n in (1, 2, 4) if (ratio * n).is_integer()), 1)
        return QPoint(round(moved.x() / grain) * grain, round(moved.y() / grain) * grain)
