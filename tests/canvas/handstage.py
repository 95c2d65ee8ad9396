"""Hands on a stage: real events come to a canvas, and what they meant is written down and done."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from PySide6.QtCore import QCoreApplication, QPoint, QPointF, Qt
from PySide6.QtGui import QNativeGestureEvent, QPointingDevice, QWheelEvent
from PySide6.QtTest import QTest

from stitchview.canvas.frame import Pointers
from stitchview.canvas.hands import Hands
from stitchview.canvas.touch import Spot, Touch
from stitchview.done.marks import change_to
from stitchview.done.shapes import Takes
from stitchview.follow.band import Edge
from tests.canvas.stage import Stage

LEFT, MIDDLE, RIGHT = Qt.MouseButton.LeftButton, Qt.MouseButton.MiddleButton, Qt.MouseButton.RightButton
CTRL = Qt.KeyboardModifier.ControlModifier
PLAIN = Qt.KeyboardModifier.NoModifier


@dataclass
class Doing:
    """Does what hands mean on a stage, and remembers it."""

    stage: Stage
    takes: Takes = Takes()  # noqa: RUF009 (frozen, so one default can be shared)
    touches: list[tuple[Touch, bool]] = field(default_factory=list)
    taken_back: int = 0
    spots: list[Spot | None] = field(default_factory=list)
    edges: list[tuple[Edge, int]] = field(default_factory=list)
    calls: list[tuple[int, int]] = field(default_factory=list)
    tools_used_up: int = 0
    menus: list[tuple[int, int]] = field(default_factory=list)

    def touched(self, touch: Touch, unpick: bool) -> bool:
        self.touches.append((touch, unpick))
        marks = self.stage.marks
        change = change_to(marks, touch.selection(marks.chart, self.takes), 0 if unpick else 1)
        self.stage.apply(change)
        return change is not None

    def touch_taken_back(self) -> None:
        self.taken_back += 1
        self.stage.undo()

    def pointed_at(self, spot: Spot | None) -> None:
        self.spots.append(spot)

    def band_edge_dragged(self, edge: Edge, line: int) -> None:
        self.edges.append((edge, line))

    def band_called_to(self, column: int, row: int) -> None:
        self.calls.append((column, row))

    def tool_used_up(self) -> None:
        self.tools_used_up += 1

    def menu_asked(self, spot: Spot, place: QPoint) -> None:
        assert place is not None
        self.menus.append(spot.square)


class HandStage:
    """A canvas at 12 pixels a square with hands on it; places are given in squares."""

    def __init__(self, stage: Stage) -> None:
        self.stage, self.canvas = stage, stage.canvas
        self.doing = Doing(stage)
        self.hands = Hands(stage.canvas, self.doing)
        self.canvas.zoom_to_pitch(12, 0, 0)
        self.canvas.centre_on(20, 15)

    @property
    def done(self) -> set[tuple[int, int]]:
        """The squares that are marked."""
        rows, columns = self.stage.marks.squares.nonzero()
        return set(zip(columns.tolist(), rows.tolist(), strict=True))

    def is_busy(self) -> bool:
        """Whether a gesture is under way."""
        return self.hands.busy

    def pointers(self) -> Pointers:
        """What is pointed at now."""
        return self.canvas.showing.pointers

    def at(self, x: float, y: float) -> QPoint:
        """The place of a point of the chart on the canvas."""
        ratio = self.canvas.devicePixelRatioF()
        across, down = self.canvas.view.pixel_of(x, y)
        return QPoint(round(across / ratio), round(down / ratio))

    def press(
        self, x: float, y: float, button: Qt.MouseButton = LEFT, held: Qt.KeyboardModifier = PLAIN
    ) -> None:
        QTest.mousePress(self.canvas, button, held, self.at(x, y))

    def move(self, *points: tuple[float, float]) -> None:
        for point in points:
            QTest.mouseMove(self.canvas, self.at(*point))

    def release(self, x: float, y: float, button: Qt.MouseButton = LEFT) -> None:
        QTest.mouseRelease(self.canvas, button, PLAIN, self.at(x, y))

    def stroke(self, *points: tuple[float, float], held: Qt.KeyboardModifier = PLAIN) -> None:
        """Press at the first point, move over the others, and let go at the last."""
        self.press(*points[0], held=held)
        self.move(*points[1:])
        self.release(*points[-1])

    def double(self, x: float, y: float) -> None:
        """A double click as it comes from a mouse: press, release, double click, release."""
        QTest.mousePress(self.canvas, LEFT, PLAIN, self.at(x, y))
        QTest.mouseRelease(self.canvas, LEFT, PLAIN, self.at(x, y))
        QTest.mouseDClick(self.canvas, LEFT, PLAIN, self.at(x, y))

    def wheel(
        self, angle: tuple[int, int] = (0, 0), pixels: tuple[int, int] = (0, 0),
        held: Qt.KeyboardModifier = PLAIN, place: QPoint | None = None,
    ) -> None:  # fmt: skip
        """Turn the wheel, or move two fingers on a trackpad (`pixels`)."""
        at = QPointF(place or QPoint(75, 50))
        event = QWheelEvent(
            at, at, QPoint(*pixels), QPoint(*angle), Qt.MouseButton.NoButton, held,
            Qt.ScrollPhase.NoScrollPhase, False,
        )  # fmt: skip
        QCoreApplication.sendEvent(self.canvas, event)

    def pinch(self, *values: float, place: QPoint | None = None) -> None:
        """Spread two fingers on a trackpad: each value is a share by which the chart grows."""
        kinds = Qt.NativeGestureType
        self._gesture(kinds.BeginNativeGesture, 0, place)
        for value in values:
            self._gesture(kinds.ZoomNativeGesture, value, place)
        self._gesture(kinds.EndNativeGesture, 0, place)

    def _gesture(self, kind: Qt.NativeGestureType, value: float, place: QPoint | None) -> None:
        at = QPointF(place or QPoint(75, 50))
        device = QPointingDevice.primaryPointingDevice()
        event = QNativeGestureEvent(kind, device, 2, at, at, at, value, QPointF())
        QCoreApplication.sendEvent(self.canvas, event)


def squares(columns: Sequence[int], rows: Sequence[int]) -> set[tuple[int, int]]:
    """All squares of some columns and rows."""
    return {(column, row) for column in columns for row in rows}
