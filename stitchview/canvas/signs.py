"""Signs laid over the chart: the next needleful's path, pins, parked threads, the tape, places found."""

import itertools
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import QLineF, QPoint, QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QPainter, QPainterPath, QPen

from stitchview.canvas.differsign import (
    BADGE,
    TILE,
    DifferSign,
    badge_corner,
    draw_badge,
    draw_differing,
    draw_hatch,
    signs_near,
)
from stitchview.canvas.looks import Ground
from stitchview.canvas.newsign import NewSign, draw_new
from stitchview.canvas.qtcolours import as_qt
from stitchview.canvas.stamps import Stamps
from stitchview.canvas.view import View
from stitchview.chart.area import Area
from stitchview.chart.colour import Colour, ink_on

# Below this many pixels a square there is no room for a number in it.
SMALLEST_NUMBERED = 16
# No sign reaches further than this many squares, and this many pixels, beyond its own squares.
REACH_SQUARES, REACH_PIXELS = 1, 24

# Room around a stamp for the breadth of its lines.
MARGIN = 8

Square = tuple[int, int]
Drawing = Callable[[QPainter], None]


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
    are measured between. `found` are areas that fit a patch, the likeliest first. `new` is what came
    since a moment, `differ` where the cloth differs from the chart.
    """

    route: tuple[Square, ...] = ()
    pins: tuple[PinSign, ...] = ()
    parks: tuple[ParkSign, ...] = ()
    tape: tuple[Square, Square] | None = None
    found: tuple[Area, ...] = ()
    new: NewSign | None = None
    differ: tuple[DifferSign, ...] = ()

    @property
    def any(self) -> bool:
        """Whether there is anything to draw."""
        return self.smoothed or bool(self.differ)

    @property
    def smoothed(self) -> bool:
        """Whether a piece drawn anew may not fit; where the cloth differs is drawn in whole pixels."""
        return bool(self.route or self.pins or self.parks or self.tape or self.found or self.new)


@dataclass(frozen=True)
class Sheet:
    """Where signs are drawn: the painter, counting in device pixels, what it shows, and the stamps."""

    painter: QPainter
    view: View
    ground: Ground
    exposed: QRect
    stamps: Stamps


def draw_signs(sheet: Sheet, signs: Signs) -> None:
    """Draw what of the signs may show in what is exposed."""
    if not signs.any:
        return
    if signs.new is not None:
        draw_new(sheet.painter, sheet.view, signs.new, as_qt(sheet.ground.pointer), sheet.exposed)
    pen = _Pen(sheet)
    if signs.differ:
        # Clipped, because what reaches out of here may lie below what was drawn there before.
        sheet.painter.save()
        sheet.painter.setClipRect(sheet.exposed)
        pen.differences(signs.differ)
        sheet.painter.restore()
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
    """Draws signs of one view; everything lies on whole pixels of the chart, so that it scrolls."""

    def __init__(self, sheet: Sheet) -> None:
        self._painter, self._view, self._stamps = sheet.painter, sheet.view, sheet.stamps
        margin = REACH_PIXELS + round(sheet.view.pitch * REACH_SQUARES)
        self._shown = sheet.exposed.adjusted(-margin, -margin, margin, margin)
        self._ground = sheet.ground
        self._ink, self._paper = as_qt(sheet.ground.pointer), as_qt(sheet.ground.paper)
        self._edge = as_qt(sheet.ground.edge)

    def _room(self, square: Square) -> QRect:
        return QRect(*self._view.pixels_of(Area(*square, 1, 1)))

    def _set_down(self, corner: QPoint, name: tuple[object, ...], side: QSize, drawing: Drawing) -> None:
        if self._shown.intersects(QRect(corner, side)):
            full = (*name, self._view.pitch, self._ink.rgb(), self._paper.rgb())
            self._painter.drawPixmap(corner, self._stamps.stamp(full, side, drawing))

    def route(self, squares: tuple[Square, ...]) -> None:
        """Draw a path from square to square: carries dotted, numbered where there is room for it."""
        for here, there in itertools.pairwise(squares):
            self._step(here, there)
        if self._view.pitch >= SMALLEST_NUMBERED:
            for number, square in enumerate(squares, 1):
                self._number(square, number)
        elif squares:
            self._start(squares[0])

    def _step(self, here: Square, there: Square) -> None:
        start, end = self._room(here).center(), self._room(there).center()
        width = max(1.5, min(self._view.pitch * 0.1, 4))
        corner = QPoint(min(start.x(), end.x()), min(start.y(), end.y())) - QPoint(MARGIN, MARGIN)
        size = QSize(abs(start.x() - end.x()), abs(start.y() - end.y())) + QSize(2 * MARGIN, 2 * MARGIN)
        across, down = there[0] - here[0], there[1] - here[1]
        carry = max(abs(across), abs(down)) > 1

        def draw(painter: QPainter) -> None:
            line = QLineF(QPointF(start - corner), QPointF(end - corner))
            painter.setPen(QPen(self._paper, width + 2))
            painter.drawLine(line)
            style = Qt.PenStyle.DotLine if carry else Qt.PenStyle.SolidLine
            painter.setPen(QPen(self._ink, width, style))
            painter.drawLine(line)

        # Far out a square is a fraction of a pixel, so the same step may have two lengths.
        self._set_down(corner, ("step", across, down, size.width(), size.height()), size, draw)

    def _start(self, square: Square) -> None:
        reach = round(self._view.pitch / 2) + 3
        side = 2 * reach + 4

        def draw(painter: QPainter) -> None:
            painter.setPen(QPen(self._ink, 2))
            painter.setBrush(self._paper)
            painter.drawEllipse(QPointF(side / 2, side / 2), reach, reach)

        corner = self._room(square).center() - QPoint(side // 2, side // 2)
        self._set_down(corner, ("start",), QSize(side, side), draw)

    def _number(self, square: Square, number: int) -> None:
        room = self._room(square)
        side = max(9, round(room.width() * 0.46))

        def draw(painter: QPainter) -> None:
            disc = QRectF(1, 1, side, side)
            painter.setPen(QPen(self._ink, 1))
            painter.setBrush(self._paper)
            painter.drawEllipse(disc)
            painter.setFont(_font(painter, side * (0.62 if number < 100 else 0.45)))
            painter.drawText(disc, Qt.AlignmentFlag.AlignCenter, str(number))

        corner = room.center() - QPoint(side // 2 + 1, side // 2 + 1)
        self._set_down(corner, ("number", number), QSize(side + 2, side + 2), draw)

    def pin(self, pin: PinSign) -> None:
        """Draw a flag on a stem at the square's corner, with its label."""

        def draw(painter: QPainter) -> None:
            painter.fillRect(0, 0, 2, 22, self._ink)
            flag = QRect(2, 0, 12, 12)
            painter.fillRect(flag, self._ink)
            painter.setFont(_font(painter, 11))
            painter.setPen(as_qt(ink_on(self._ground.pointer)))
            painter.drawText(flag, Qt.AlignmentFlag.AlignCenter, pin.label[:2])

        foot = self._room(pin.square).bottomLeft() + QPoint(1, 0)
        self._set_down(foot - QPoint(0, 22), ("pin", pin.label[:2]), QSize(14, 22), draw)

    def park(self, park: ParkSign) -> None:
        """Draw a hanging end of thread at the square, in the thread's colour with a rim."""
        room = self._room(park.square)
        side = max(room.width(), 8)

        def draw(painter: QPainter) -> None:
            top = QPointF(side * 0.7 + MARGIN, side * 0.3 + MARGIN)
            tail = QPainterPath(top)
            tail.cubicTo(
                top + QPointF(side * 0.5, side * 0.2), top + QPointF(-side * 0.2, side * 0.6),
                top + QPointF(side * 0.3, side * 0.95),
            )  # fmt: skip
            width = side * 0.22
            inks = (self._paper, width + 2), (as_qt(self._ground.border), width)
            for ink, breadth in (*inks, (as_qt(park.colour), max(1.0, width - 2))):
                painter.setPen(_round(ink, breadth))
                painter.drawPath(tail)

        size = QSize(round(side * 1.6) + 2 * MARGIN, round(side * 1.5) + 2 * MARGIN)
        self._set_down(room.topLeft() - QPoint(MARGIN, MARGIN), ("park", side, park.colour), size, draw)

    def differences(self, signs: tuple[DifferSign, ...]) -> None:
        """Draw where the cloth differs, each with a badge whose shape tells how."""
        inks, shown = (self._edge, self._paper), self._shown
        seen = self._view.area_under(shown.x(), shown.y(), shown.width(), shown.height()).grown(1)
        here = signs_near(signs, seen)
        name = ("hatch", self._edge.rgb(), self._paper.rgb())
        hatch = self._stamps.stamp(name, QSize(TILE, TILE), lambda painter: draw_hatch(painter, inks))
        draw_differing(self._painter, self._view, here, inks, hatch)
        for sign in here:
            corner, turned = badge_corner(self._view, sign), self._view.turn.step(sign.across, sign.down)
            if corner is not None:
                drawing = partial(draw_badge, sign=sign, inks=inks, turned=turned)
                self._set_down(corner, ("differ", sign.shape, turned), QSize(BADGE, BADGE), drawing)

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
        wide = 8 + 8 * len(str(number))

        def draw(painter: QPainter) -> None:
            label = QRect(0, 0, wide, 16)
            painter.fillRect(label, self._ink)
            painter.setFont(_font(painter, 12))
            painter.setPen(as_qt(ink_on(self._ground.pointer)))
            painter.drawText(label, Qt.AlignmentFlag.AlignCenter, str(number))

        self._set_down(room.topLeft() - QPoint(3, 19), ("found", number), QSize(wide, 16), draw)


def _font(painter: QPainter, size: float) -> QFont:
    font = QFont(painter.font())
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


def _round(ink: QColor, width: float) -> QPen:
    pen = QPen(ink, width)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    return pen
