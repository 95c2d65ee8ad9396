"""Signs laid over the chart: the next needleful's path, pins, parked threads, the tape, places found."""

import itertools
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QPainter, QPainterPath, QPen

from stitchview.canvas.looks import Ground
from stitchview.canvas.view import View
from stitchview.chart.area import Area
from stitchview.chart.colour import Colour, ink_on

# Below this many pixels a square there is no room for a number in it.
SMALLEST_NUMBERED = 16
# No sign reaches further than this many squares, and this many pixels, beyond its own squares.
REACH_SQUARES, REACH_PIXELS = 1, 24

Square = tuple[int, int]


@dataclass(frozen=True, slots=True)
class PinSign:
    """A named place: its square, and the short word or number drawn at it."""

    square: Square
    label: str


@dataclass(frozen=True, slots=True)
class ParkSign:
    """A thread left hanging at a square, in its colour."""

    square: Square
    colour: Colour


@dataclass(frozen=True, slots=True)
class Signs:
    """All signs of one moment.

    `route` is the squares of a needleful in order. `tape` is the first and the last square that
    are measured between. `found` are areas that fit a patch, the likeliest first.
    """

    route: tuple[Square, ...] = ()
    pins: tuple[PinSign, ...] = ()
    parks: tuple[ParkSign, ...] = ()
    tape: tuple[Square, Square] | None = None
    found: tuple[Area, ...] = ()

    @property
    def any(self) -> bool:
        """Whether there is anything to draw."""
        return bool(self.route or self.pins or self.parks or self.tape or self.found)


def draw_signs(painter: QPainter, view: View, signs: Signs, ground: Ground, exposed: QRect) -> None:
    """Draw what of the signs may show in `exposed`, in device pixels."""
    if not signs.any:
        return
    pen = _Pen(painter, view, ground, exposed)
    for number, area in enumerate(signs.found, 1):
        pen.found(area, number)
    if signs.tape is not None:
        pen.tape(*signs.tape)
    pen.route(signs.route)
    for park in signs.parks:
        pen.park(park)
    for pin in signs.pins:
        pen.pin(pin)


class _Pen:
    """Draws signs of one view; everything it draws lies on whole pixels of the chart, so that it scrolls."""

    def __init__(self, painter: QPainter, view: View, ground: Ground, exposed: QRect) -> None:
        self._painter, self._view = painter, view
        margin = REACH_PIXELS + round(view.pitch * REACH_SQUARES)
        self._shown = exposed.adjusted(-margin, -margin, margin, margin)
        self._ink, self._paper = _colour(ground.pointer), _colour(ground.paper)
        self._edge, self._ground = _colour(ground.edge), ground

    def _room(self, square: Square) -> QRect:
        return QRect(*self._view.pixels_of(Area(*square, 1, 1)))

    def _middle(self, square: Square) -> QPointF:
        return QRectF(self._room(square)).center()

    def route(self, squares: tuple[Square, ...]) -> None:
        """Draw a path from square to square: carries dotted, numbered where there is room for it."""
        painter, pitch = self._painter, self._view.pitch
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        width = max(1.5, min(pitch * 0.1, 4))
        for here, there in itertools.pairwise(squares):
            line = QLineF(self._middle(here), self._middle(there))
            if not self._shown.intersects(_around(line, width)):
                continue
            carry = max(abs(here[0] - there[0]), abs(here[1] - there[1])) > 1
            painter.setPen(QPen(self._paper, width + 2))
            painter.drawLine(line)
            painter.setPen(QPen(self._ink, width, Qt.PenStyle.DotLine if carry else Qt.PenStyle.SolidLine))
            painter.drawLine(line)
        if pitch >= SMALLEST_NUMBERED:
            for number, square in enumerate(squares, 1):
                self._number(square, number)
        elif squares:
            painter.setPen(QPen(self._ink, 2))
            painter.setBrush(self._paper)
            painter.drawEllipse(self._middle(squares[0]), pitch / 2 + 3, pitch / 2 + 3)
        painter.restore()

    def _number(self, square: Square, number: int) -> None:
        room = self._room(square)
        if self._shown.intersects(room):
            side = max(9, round(room.width() * 0.46))
            disc = QRectF(room.center().x() - side / 2 + 0.5, room.center().y() - side / 2 + 0.5, side, side)
            self._painter.setPen(QPen(self._ink, 1))
            self._painter.setBrush(self._paper)
            self._painter.drawEllipse(disc)
            self._text(disc, str(number), self._ink, side * (0.62 if number < 100 else 0.45))

    def pin(self, pin: PinSign) -> None:
        """Draw a flag on a stem at the square's corner, with its label."""
        room, painter = self._room(pin.square), self._painter
        if not self._shown.intersects(room):
            return
        font = self._font(11)
        foot = room.bottomLeft() + QPointF(1, 0).toPoint()
        painter.save()
        painter.fillRect(foot.x(), foot.y() - 22, 2, 22, self._ink)
        flag = QRect(foot.x() + 2, foot.y() - 22, 12, 12)
        painter.fillRect(flag, self._ink)
        painter.setFont(font)
        painter.setPen(_colour(ink_on(self._ground.pointer)))
        painter.drawText(flag, Qt.AlignmentFlag.AlignCenter, pin.label[:2])
        painter.restore()

    def park(self, park: ParkSign) -> None:
        """Draw a hanging end of thread at the square, in the thread's colour with a rim."""
        room, painter = self._room(park.square), self._painter
        if not self._shown.intersects(room):
            return
        side = max(float(room.width()), 8.0)
        top = QPointF(room.x() + side * 0.7, room.y() + side * 0.3)
        tail = QPainterPath(top)
        tail.cubicTo(
            top + QPointF(side * 0.5, side * 0.2), top + QPointF(-side * 0.2, side * 0.6),
            top + QPointF(side * 0.3, side * 0.95),
        )  # fmt: skip
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for width, ink in ((side * 0.22 + 2, self._paper), (side * 0.22, _colour(self._ground.border))):
            painter.setPen(_round(ink, width))
            painter.drawPath(tail)
        painter.setPen(_round(_colour(park.colour), max(1.0, side * 0.22 - 2)))
        painter.drawPath(tail)
        painter.restore()

    def tape(self, first: Square, last: Square) -> None:
        """Draw the tape as it is counted: along the row, then along the column, with its ends marked."""
        width = 3
        start, end = (self._room(square).center() for square in (first, last))
        left, right = sorted((start.x(), end.x()))
        top, bottom = sorted((start.y(), end.y()))
        for grown, ink in ((1, self._paper), (0, self._edge)):
            wide = width + 2 * grown
            self._painter.fillRect(left - wide // 2, start.y() - wide // 2, right - left + wide, wide, ink)
            self._painter.fillRect(end.x() - wide // 2, top - wide // 2, wide, bottom - top + wide, ink)
        for at in (start, end):
            self._painter.fillRect(at.x() - 5, at.y() - 5, 11, 11, self._paper)
            self._painter.fillRect(at.x() - 4, at.y() - 4, 9, 9, self._edge)

    def found(self, area: Area, number: int) -> None:
        """Draw a rim around a place that fits a patch, with its number in the order of likelihood."""
        room = QRect(*self._view.pixels_of(area))
        if not self._shown.intersects(room):
            return
        painter = self._painter
        for grown, ink in ((4, self._paper), (3, self._ink)):
            for x, y, width, height in _rim(room, grown, grown - 1 if ink is self._ink else grown):
                painter.fillRect(x, y, width, height, ink)
        label = QRectF(room.x() - 3, room.y() - 19, 8 + 8 * len(str(number)), 16)
        painter.fillRect(label, self._ink)
        self._text(label, str(number), _colour(ink_on(self._ground.pointer)), 12)

    def _text(self, room: QRectF, text: str, ink: QColor, size: float) -> None:
        self._painter.setFont(self._font(size))
        self._painter.setPen(ink)
        self._painter.drawText(room, Qt.AlignmentFlag.AlignCenter, text)

    def _font(self, size: float) -> QFont:
        font = QFont(self._painter.font())
        font.setPixelSize(max(6, round(size)))
        font.setBold(True)
        return font


def _rim(room: QRect, out: int, width: int) -> tuple[tuple[int, int, int, int], ...]:
    outer = room.adjusted(-out, -out, out, out)
    x, y, wide, high = outer.x(), outer.y(), outer.width(), outer.height()
    return (
        (x, y, wide, width),
        (x, y + high - width, wide, width),
        (x, y, width, high),
        (x + wide - width, y, width, high),
    )


def _around(line: QLineF, width: float) -> QRect:
    box = QRectF(line.p1(), line.p2()).normalized()
    return box.adjusted(-width - 2, -width - 2, width + 2, width + 2).toAlignedRect()


def _round(ink: QColor, width: float) -> QPen:
    pen = QPen(ink, width)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    return pen


def _colour(colour: Colour) -> QColor:
    return QColor(colour.red, colour.green, colour.blue)
