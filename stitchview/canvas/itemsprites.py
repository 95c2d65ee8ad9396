"""Lines, knots and beads as small pictures: drawing one afresh costs ten times as much as showing it."""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

from PySide6.QtCore import QLineF, QPoint, QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPixmap

from stitchview.canvas.inks import HOLLOW, Inks
from stitchview.canvas.looks import Look
from stitchview.chart.stitches import LineKind, PointKind
from stitchview.done.change import DONE, LATER, MISTAKE

MOST_BYTES = 8 << 20
# A narrower line has hardly a pixel of its full colour when it leans.
NARROWEST = 2.0
# Longer lines come in pieces, because a picture of the whole would be mostly empty.
LONGEST_WHOLE = 160
PIECE = 64
_CLEARED_WIDTH = 0.45
# How much further a knot or bead that is later or a mistake reaches.
WIDE_SHARE = 1.15

Drawing = Callable[[QPainter], None]


# A plain tuple, because one is made and looked up for every line on every picture.
class LineForm(NamedTuple):
    """A line `across` and `down` half squares long from a start some half pixels off, its kind and code."""

    across: int
    down: int
    odd_x: int
    odd_y: int
    kind: int
    code: int
    dimmed: int


LineTold = tuple[int, int, int, int, int, int, int]
"""A `LineForm` as the plain tuple that pictures are looked up by."""


class PointForm(NamedTuple):
    """A knot or bead some half pixels off, its kind and code."""

    odd_x: int
    odd_y: int
    kind: int
    code: int
    dimmed: int


@dataclass(frozen=True, slots=True)
class Sprite:
    """A picture, and where its top left pixel lies from the whole pixel its item starts at."""

    picture: QPixmap
    x: int
    y: int


class ItemSprites:
    """Pictures of lines, knots and beads at one size; all give way when there are too many."""

    def __init__(self, look: Look, inks: Inks, pitch: int) -> None:
        self._look, self._inks, self._pitch = look, inks, pitch
        self._width = max(NARROWEST, look.line_weight * pitch)
        self._rim = max(1.0, pitch * 0.06)
        self._margin = self._width / 2 + self._rim + HOLLOW + 1.5
        self._lines: dict[LineTold, tuple[Sprite, ...]] = {}
        self._pieces: dict[tuple[LineForm, int], Sprite] = {}
        self._points: dict[PointForm, Sprite] = {}
        self.bytes = 0

    def line(self, told: LineTold) -> tuple[Sprite, ...]:
        """Give the one picture of a line; none if it is too long for that, and comes in `pieces`."""
        found = self._lines.get(told)
        if found is None:
            form = LineForm(*told)
            if self._is_long(form):
                return ()
            reach = QRectF(QPointF(0, 0), self._vector(form)).normalized()
            room = _grown(reach, self._margin).toAlignedRect()
            found = (self._drawn(room, lambda painter: self._draw_line(painter, form, 0, 1)),)
            self._lines[told] = found
        return found

    def _is_long(self, form: LineForm) -> bool:
        """Whether a line is too long for one picture."""
        return max(abs(form.across), abs(form.down)) * self._pitch > 2 * LONGEST_WHOLE

    def pieces(self, form: LineForm, exposed: QRect) -> Iterator[Sprite]:
        """Give the pictures of a long line that show in `exposed`, which counts from its starting pixel.

        Each holds what lies in 64 columns of pixels (or rows, if the line is steep), so that the
        line looks the same whichever part of it is exposed: Qt's own clipping would shift its edges.
        """
        vector = self._vector(form)
        steep = abs(form.down) > abs(form.across)
        end = vector.y() if steep else vector.x()
        low, high = sorted((0.0, end))
        shown = (exposed.top(), exposed.bottom()) if steep else (exposed.left(), exposed.right())
        first, last = (
            max(shown[0], math.floor(low - self._margin)),
            min(shown[1], math.ceil(high + self._margin)),
        )
        for number in range(first // PIECE, last // PIECE + 1):
            sprite = self._piece(form, number, steep)
            if exposed.intersects(QRect(QPoint(sprite.x, sprite.y), sprite.picture.size())):
                yield sprite

    def _piece(self, form: LineForm, number: int, steep: bool) -> Sprite:
        found = self._pieces.get((form, number))
        if found is None:
            vector = self._vector(form)
            along = vector.y() if steep else vector.x()
            # Far enough beyond the piece on both sides that no end of the thread shows in it.
            beyond = 2 * self._margin
            shares = (number * PIECE - beyond) / along, ((number + 1) * PIECE + beyond) / along
            begin, end = (min(max(share, 0.0), 1.0) for share in sorted(shares))
            reach = _grown(QRectF(vector * begin, vector * end).normalized(), self._margin)
            strip = (
                QRectF(reach.x(), number * PIECE, reach.width(), PIECE)
                if steep
                else QRectF(number * PIECE, reach.y(), PIECE, reach.height())
            )
            found = self._drawn(
                strip.toAlignedRect(), lambda painter: self._draw_line(painter, form, begin, end)
            )
            self._pieces[form, number] = found
        return found

    def point(self, form: PointForm) -> Sprite:
        """Give the picture of a knot or bead."""
        found = self._points.get(form)
        if found is None:
            room = _grown(QRectF(), self._pitch * 0.36 + 2).toAlignedRect()
            found = self._drawn(room, lambda painter: self._draw_point(painter, form))
            self._points[form] = found
        return found

    def _vector(self, form: LineForm) -> QPointF:
        return QPointF(form.across, form.down) * (self._pitch / 2)

    def _drawn(self, room: QRect, drawing: Drawing) -> Sprite:
        size = room.width() * room.height() * 4
        if self.bytes + size > MOST_BYTES:
            for kept in (self._lines, self._pieces, self._points):
                kept.clear()
            self.bytes = 0
        self.bytes += size
        picture = QPixmap(room.size())
        picture.fill(Qt.GlobalColor.transparent)
        painter = QPainter(picture)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.translate(-room.topLeft())
        drawing(painter)
        painter.end()
        return Sprite(picture, room.x(), room.y())

    @property
    def rim(self) -> int:
        """How many pixels of paper lie on either side of a bar."""
        return max(1, round(self._rim))

    def bar_width(self, done: bool) -> int:
        """Give how many pixels wide a bar is."""
        return max(1, round(self._width * (_CLEARED_WIDTH if done else 1)))

    def _draw_line(self, painter: QPainter, form: LineForm, begin: float, end: float) -> None:
        """Draw a line from its share `begin` to `end`: a rim if it is still to do, then the thread."""
        start, vector = QPointF(form.odd_x, form.odd_y) / 2, self._vector(form)
        line = QLineF(start + vector * begin, start + vector * end)
        for colour, more in self._inks.coats(form.code, form.dimmed, self._rim):
            if more:
                coat = QPen(colour, self._width + more)
                coat.setCapStyle(Qt.PenCapStyle.FlatCap)
                painter.setPen(coat)
                painter.drawLine(line)
        pen = self._thread_pen(form)
        # Asked for on a plain pen, Qt would make a dashed one of it, without any dashes.
        if pen.style() == Qt.PenStyle.CustomDashLine:
            pen.setDashOffset(begin * math.hypot(vector.x(), vector.y()) / self._width)
        painter.setPen(pen)
        painter.drawLine(line)

    def _thread_pen(self, form: LineForm) -> QPen:
        state = self._inks.state(form.code)
        colour, done = self._inks.thread(form.code, form.dimmed), state == DONE
        if state == LATER:
            colour = self._inks.paper(form.dimmed)
        if done and not self._look.worked:
            return _pen(colour, max(1.0, self._width * _CLEARED_WIDTH))
        pen = _pen(colour, self._width)
        if done and form.kind == LineKind.BACK:
            # Worked back stitch shows as separate stitches, two to a square.
            length = math.hypot(form.across, form.down) * self._pitch / 2
            steps = max(1, round(length / self._pitch * 2))
            pen.setCapStyle(Qt.PenCapStyle.FlatCap)
            pen.setDashPattern([0.72 * length / steps / self._width, 0.28 * length / steps / self._width])
        return pen

    def _draw_point(self, painter: QPainter, form: PointForm) -> None:
        middle = QPointF(form.odd_x, form.odd_y) / 2
        state, bead = self._inks.state(form.code), form.kind == PointKind.BEAD
        done = state == DONE
        worked = done and self._look.worked
        faded = done and not worked
        colour = self._inks.thread(form.code, form.dimmed)
        radius = self._pitch * (0.3 if bead else 0.22)
        rim = colour.darker(170) if worked else self._inks.outline(faded, form.dimmed)
        pen = QPen(rim, max(1.0, self._pitch * (0.05 if done else 0.08)))
        if state == LATER:
            pen.setDashPattern([1.5, 1.5])
            radius *= WIDE_SHARE
        painter.setPen(pen)
        if state == MISTAKE:
            reach = QPointF(radius, radius) * WIDE_SHARE
            painter.drawLine(middle - reach, middle + reach)
            painter.drawLine(middle + QPointF(reach.x(), -reach.y()), middle + QPointF(-reach.x(), reach.y()))
            painter.setPen(QPen(self._inks.paper(form.dimmed), pen.widthF()))
        painter.setBrush(self._inks.paper(form.dimmed) if faded else colour)
        painter.drawEllipse(middle, radius, radius)
        if bead:
            painter.setBrush(self._inks.paper(form.dimmed))
            painter.drawEllipse(middle, radius * 0.36, radius * 0.36)


def _grown(room: QRectF, margin: float) -> QRectF:
    return room.adjusted(-margin, -margin, margin, margin)


def _pen(colour: QColor, width: float) -> QPen:
    pen = QPen(colour, width)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    return pen
