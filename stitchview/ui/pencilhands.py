"""Hands that hold the pencil: presses on the canvas become places to draw at."""

from typing import Protocol

from PySide6.QtCore import QEvent, QObject, QPointF, Qt
from PySide6.QtGui import QKeyEvent, QKeySequence, QMouseEvent, QTouchEvent

from stitchview.canvas.chartcanvas import ChartCanvas
from stitchview.canvas.touch import Spot

STILL = 12.0


class PencilListener(Protocol):
    """Who draws."""

    def draw(self, path: list[Spot]) -> None:
        """Draw from where the pencil was put down to where it was lifted."""

    def draw_here(self) -> None:
        """Draw at the keyboard pointer."""

    def undo(self) -> None:
        """Take the last correction back."""

    def redo(self) -> None:
        """Make the correction taken back last again."""

    def switch(self) -> None:
        """Put the pencil down."""


class PencilHands(QObject):
    """Takes the left button from a canvas, and the keys that mark and undo while no pencil is in hand.

    Everything else, as wheel, middle button and two fingers, goes on looking around. A finger that is put
    down and lifted again draws where it was.
    """

    def __init__(self, canvas: ChartCanvas, listener: PencilListener) -> None:
        super().__init__(canvas)
        self._canvas, self._listener = canvas, listener
        self._path: list[Spot] = []
        self._finger: QPointF | None = None
        canvas.installEventFilter(self)
        canvas.setCursor(Qt.CursorShape.CrossCursor)

    @property
    def canvas(self) -> ChartCanvas:
        """The canvas they draw on."""
        return self._canvas

    def put_down(self) -> None:
        """Leave the canvas to other hands."""
        self._canvas.removeEventFilter(self)
        self._canvas.setCursor(Qt.CursorShape.OpenHandCursor)
        self.deleteLater()

    def eventFilter(self, _: QObject, event: QEvent) -> bool:
        """Draw with the left button, or a finger that taps."""
        if isinstance(event, QTouchEvent):
            self._tap(event)
            return False
        if isinstance(event, QKeyEvent):
            return self._key(event)
        return isinstance(event, QMouseEvent) and self._mouse(event)

    def _key(self, event: QKeyEvent) -> bool:
        """Return draws, undo and redo are the pencil's, Escape puts it down."""
        listener, keys = self._listener, QKeySequence.StandardKey
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and not event.modifiers():
            act = listener.draw_here
        elif event.matches(keys.Undo):
            act = listener.undo
        elif event.matches(keys.Redo):
            act = listener.redo
        elif event.key() == Qt.Key.Key_Escape:
            act = listener.switch
        else:
            return False
        # Said to be ours before the menus hear of it, it comes again as a key pressed.
        event.accept()
        if event.type() == QEvent.Type.KeyPress:
            act()
        return True

    def _mouse(self, event: QMouseEvent) -> bool:
        left = Qt.MouseButton.LeftButton
        match event.type():
            case QEvent.Type.MouseButtonPress | QEvent.Type.MouseButtonDblClick if event.button() == left:
                self._path = [self._spot(event.position())]
                return True
            case QEvent.Type.MouseMove if self._path:
                self._path.append(self._spot(event.position()))
                return True
            case QEvent.Type.MouseButtonRelease if self._path and event.button() == left:
                path, self._path = [*self._path, self._spot(event.position())], []
                self._listener.draw(path)
                return True
        return False

    def _tap(self, event: QTouchEvent) -> None:
        points = event.points()
        if event.type() == QEvent.Type.TouchBegin and len(points) == 1:
            self._finger = points[0].position()
        elif len(points) != 1 or self._finger is None or _apart(points[0].position(), self._finger) > STILL:
            self._finger = None
        elif event.type() == QEvent.Type.TouchEnd:
            place, self._finger = self._finger, None
            self._listener.draw([self._spot(place)])

    def _spot(self, place: QPointF) -> Spot:
        ratio = self._canvas.devicePixelRatioF()
        return Spot(*self._canvas.view.exact_at(place.x() * ratio, place.y() * ratio))


def _apart(one: QPointF, two: QPointF) -> float:
    return float((one - two).manhattanLength())
