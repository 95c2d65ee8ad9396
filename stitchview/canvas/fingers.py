"""Fingers on a touch screen: one does what the mouse does, two move and pinch the chart."""

import math
from typing import Protocol

from PySide6.QtCore import QEvent, QPointF
from PySide6.QtGui import QTouchEvent

from stitchview.canvas.chartcanvas import ChartCanvas


class FirstFinger(Protocol):
    """Who follows a single finger."""

    def finger_down(self, place: QPointF) -> None:
        """Begin at a place of the canvas, in logical pixels."""

    def finger_moved(self, place: QPointF) -> None:
        """Follow to another place."""

    def finger_up(self, place: QPointF) -> None:
        """End there."""

    def give_up(self) -> None:
        """Forget the single finger: a second one has come."""


class Fingers:
    """Tells one finger from two, and turns two into pans and zooms of the canvas."""

    def __init__(self, canvas: ChartCanvas, first: FirstFinger) -> None:
        self._canvas, self._first = canvas, first
        self._pinching = False
        # The two fingers that pinch now; another pair begins anew where it is.
        self._pair: tuple[int, int] | None = None
        self._centre = QPointF()
        self._spread = 0.0
        self._pitch = 0.0

    def handle(self, event: QTouchEvent) -> bool:
        """Follow the fingers of one touch event; always True, for no finger may be lost."""
        points, kind = event.points(), event.type()
        if kind in (QEvent.Type.TouchBegin, QEvent.Type.TouchCancel):
            self._pinching, self._pair = False, None
        if kind == QEvent.Type.TouchCancel:
            self._first.give_up()
        elif len(points) >= 2:
            pair = points[0].id(), points[1].id()
            self._pinch(pair, points[0].position(), points[1].position())
        elif self._pinching:
            # The last finger of a pinch does nothing more.
            self._pair = None
        else:
            self._one(kind, points[0].position())
        if kind == QEvent.Type.TouchEnd:
            self._pinching, self._pair = False, None
        event.accept()
        return True

    def _one(self, kind: QEvent.Type, place: QPointF) -> None:
        if kind == QEvent.Type.TouchBegin:
            self._first.finger_down(place)
        elif kind == QEvent.Type.TouchEnd:
            self._first.finger_up(place)
        else:
            self._first.finger_moved(place)

    def _pinch(self, pair: tuple[int, int], one: QPointF, other: QPointF) -> None:
        centre = (one + other) / 2
        spread = max(1.0, math.hypot(one.x() - other.x(), one.y() - other.y()))
        if not self._pinching:
            self._first.give_up()
            self._pinching = True
        if pair != self._pair:
            self._pair, self._centre, self._spread = pair, centre, spread
            self._pitch = self._canvas.view.pitch
            return
        ratio = self._canvas.devicePixelRatioF()
        moved = (centre - self._centre) * ratio
        self._canvas.pan_by(-round(moved.x()), -round(moved.y()))
        self._centre = centre
        about = centre * ratio
        self._canvas.zoom_to_pitch(self._pitch * spread / self._spread, about.x(), about.y())
