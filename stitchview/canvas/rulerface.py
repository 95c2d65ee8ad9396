"""How a ruler looks: drawn in device pixels, any part of it by itself."""

import math
from bisect import bisect_left, bisect_right
from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QPoint, QRect
from PySide6.QtGui import QFont, QFontMetrics, QImage, QPainter

from stitchview.canvas.looks import Ground
from stitchview.canvas.qtcolours import as_qt, as_rgb32
from stitchview.canvas.rulermarks import Label, counts_at_lines, labels, ticks
from stitchview.canvas.view import View
from stitchview.chart.colour import ink_on
from stitchview.follow.numbering import Numbering, Way, centre_line, ruler_numbers
from stitchview.follow.span import Span

# In logical pixels from the canvas outwards: the band's bar, the ticks, the numbers.
BAR = 6
TICKS = 7
GAP = 4
# Ticks stand at least so far from each other.
TICKS_APART = 5
_GRIP = 3

_AGAINST = {Way.ON: Way.BACK, Way.BACK: Way.ON, Way.OUT: Way.OUT}


@dataclass(frozen=True)
class RulerFace:
    """What one ruler shows; `thickness` and the sizes in `font` are device pixels, `ratio` of them a logical.

    `span` is what the band covers along this ruler, `pointed` the column or row pointed at. A ruler
    counts lines as they are seen, from its own start: of a turned chart it may number rows across,
    and backwards.
    """

    upright: bool
    view: View
    numbering: Numbering
    ground: Ground
    font: QFont
    thickness: int
    ratio: float
    span: Span | None = None
    pointed: int | None = None

    @property
    def numbers_rows(self) -> bool:
        """Whether what it numbers are the chart's rows."""
        return self.upright != self.view.turn.lies

    @property
    def size(self) -> int:
        """How many columns or rows the chart has."""
        return self.view.rows if self.numbers_rows else self.view.columns

    @property
    def way(self) -> Way:
        """Which way its numbers count as they are seen."""
        way = self.numbering.down if self.numbers_rows else self.numbering.across
        return _AGAINST[way] if self.backwards else way

    @property
    def backwards(self) -> bool:
        """Whether the chart's first column or row is the last one seen."""
        step = self.view.turn.step(*((0, 1) if self.numbers_rows else (1, 0)))
        return sum(step) < 0

    def seen(self, place: float, width: int = 0) -> float:
        """Give where a line (or a column or row, if `width` is 1) of the chart is seen, and the other way."""
        return self.size - width - place if self.backwards else place

    @property
    def start(self) -> int:
        """Where the chart begins along the ruler, in device pixels."""
        return -(self.view.top if self.upright else self.view.left)

    def place(self, line: float) -> int:
        """Give where a line stands along the ruler, in device pixels."""
        x, y = self.view.flat.pixel_of(line, line)
        return y if self.upright else x

    def room(self, along: int, length: int, outwards: float, breadth: float) -> QRect:
        """Give a rectangle from `along` on; `outwards` from the canvas' edge and `breadth` are logical."""
        inner = self.thickness - math.floor(outwards * self.ratio + 0.5)
        outer = self.thickness - math.floor((outwards + breadth) * self.ratio + 0.5)
        if self.upright:
            return QRect(outer, along, inner - outer, length)
        return QRect(along, outer, length, inner - outer)

    def labels(self) -> tuple[Label, ...]:
        """Give the numbers that find room."""
        metrics = QFontMetrics(self.font)
        longest = metrics.height() if self.upright else metrics.horizontalAdvance("0" * len(str(self.size)))
        return labels(self.size, self.way, self.view.pitch, longest + 2 * GAP * self.ratio)

    def pointer_room(self, pointed: int) -> QRect:
        """Give the rectangle that is drawn otherwise when a column or row is pointed at."""
        return self.pointed_squares(pointed).united(self._box(pointed))

    def pointed_squares(self, pointed: int) -> QRect:
        """Give the stretch of the ruler beside the pointed column or row."""
        begin, end = self.place(pointed), self.place(pointed + 1)
        return self.room(begin, max(end - begin, math.ceil(self.ratio)), BAR, TICKS)

    def span_room(self, span: Span) -> QRect:
        """Give the rectangle the band's bar and its grips take."""
        begin, end = self.place(span.first), self.place(span.end)
        grip = math.ceil(_GRIP * self.ratio)
        return self.room(begin - grip, end - begin + 2 * grip, 0, BAR + TICKS)

    def paint(self, painter: QPainter, exposed: QRect) -> None:
        """Paint the part `exposed`, in device pixels."""
        painter.save()
        painter.setClipRect(exposed)
        self._paint_ticks(painter, exposed)
        self._paint_numbers(painter, exposed)
        self._paint_centre(painter)
        if self.span is not None:
            self._paint_span(painter, self.span)
        if self.pointed is not None:
            self._paint_pointer(painter, self.pointed)
        painter.restore()

    def _paint_ticks(self, painter: QPainter, exposed: QRect) -> None:
        """Paint the ground and the ticks as one picture; hundreds of rectangles would be slower."""
        begin, length = (exposed.y(), exposed.height()) if self.upright else (exposed.x(), exposed.width())
        shape = (length, self.thickness) if self.upright else (self.thickness, length)
        pixels = np.full(shape, as_rgb32(self.ground.desk), np.uint32)
        along = pixels if self.upright else pixels.T
        first, last = self._lines_of(begin, length)
        inner = self.thickness - math.floor(BAR * self.ratio + 0.5)
        apart = TICKS_APART * self.ratio
        kinds = ticks(counts_at_lines(self.size, self.way), first, last, self.view.pitch, apart)
        for lines, share in zip(kinds, (1.0, 0.7, 0.4), strict=True):
            places = np.floor(lines * self.view.pitch + 0.5).astype(np.intp) + self.start - begin
            kept = places[(places >= 0) & (places < length)]
            tick = math.floor(TICKS * share * self.ratio + 0.5)
            along[kept, inner - tick : inner] = as_rgb32(self.ground.bold)
        height, width = pixels.shape
        image = QImage(pixels.data, width, height, pixels.strides[0], QImage.Format.Format_RGB32)
        painter.drawImage(QPoint(0, begin) if self.upright else QPoint(begin, 0), image)
        painter.fillRect(self.room(begin, length, 0, 1), as_qt(self.ground.border))

    def _lines_of(self, begin: int, length: int) -> tuple[int, int]:
        """Give the first and the last line that may stand on a stretch of the ruler."""
        first = math.floor((begin - self.start) / self.view.pitch)
        last = math.ceil((begin + length - self.start) / self.view.pitch)
        return min(max(first, 0), self.size), min(max(last, 0), self.size)

    def _paint_numbers(self, painter: QPainter, exposed: QRect) -> None:
        painter.setFont(self.font)
        painter.setPen(as_qt(self.ground.border))
        metrics = QFontMetrics(self.font)
        begin, length = (exposed.y(), exposed.height()) if self.upright else (exposed.x(), exposed.width())
        # A number reaches over its line, at the chart's ends by its whole length.
        reach = max(metrics.height(), metrics.horizontalAdvance(str(self.size)))
        first, last = self._lines_of(begin - reach, length + 2 * reach)
        shown = self.labels()
        for label in shown[bisect_left(shown, first, key=_line_of) : bisect_right(shown, last, key=_line_of)]:
            text = str(label.number)
            room = self._text_room(self.place(label.line), metrics.horizontalAdvance(text), metrics)
            room.translate(self._inward(label.line, room))
            if room.intersects(exposed):
                painter.drawText(QPoint(room.x(), room.y() + metrics.ascent()), text)

    def _text_room(self, middle: int, width: int, metrics: QFontMetrics) -> QRect:
        """Give the room of a text that stands beside the ticks, around `middle`."""
        if self.upright:
            inner = self.thickness - math.floor((BAR + TICKS + GAP / 2) * self.ratio + 0.5)
            return QRect(inner - width, middle - metrics.height() // 2, width, metrics.height())
        lines = self.room(0, 1, BAR + TICKS, 0).y()
        return QRect(middle - width // 2, (lines - metrics.height()) // 2, width, metrics.height())

    def _inward(self, line: int, room: QRect) -> QPoint:
        """Give how far to move the numbers at the chart's ends, so that they stand beside the chart."""
        half = (room.height() if self.upright else room.width()) // 2
        moved = {0: half, self.size: -half}.get(line, 0)
        return QPoint(0, moved) if self.upright else QPoint(moved, 0)

    def _paint_centre(self, painter: QPainter) -> None:
        """Paint a triangle that points at the chart's centre line, row of pixels by row."""
        middle = self.place(centre_line(self.size))
        for step in range(math.floor(TICKS * self.ratio + 0.5)):
            outwards = BAR + step / self.ratio
            room = self.room(middle - step // 2 - 1, 2 * (step // 2) + 2, outwards, 1 / self.ratio)
            painter.fillRect(room, as_qt(self.ground.border))

    def _paint_span(self, painter: QPainter, span: Span) -> None:
        begin, end = self.place(span.first), self.place(span.end)
        ink = as_qt(self.ground.edge)
        painter.fillRect(self.room(begin, end - begin, 0, BAR - 1), ink)
        grip = math.ceil(_GRIP * self.ratio)
        for line in (begin, end):
            painter.fillRect(self.room(line - grip // 2, grip, 0, BAR + TICKS), ink)

    def _paint_pointer(self, painter: QPainter, pointed: int) -> None:
        colour = self.ground.pointer
        painter.fillRect(self.pointed_squares(pointed), as_qt(colour))
        box, metrics = self._box(pointed), QFontMetrics(self.font)
        painter.fillRect(box, as_qt(colour))
        painter.setPen(as_qt(ink_on(colour)))
        text = self._number_of(pointed)
        left = box.x() + (box.width() - metrics.horizontalAdvance(text)) // 2
        painter.drawText(
            QPoint(left, box.y() + (box.height() - metrics.height()) // 2 + metrics.ascent()), text
        )

    def _box(self, pointed: int) -> QRect:
        """Give the room of the number of the column or row pointed at."""
        metrics = QFontMetrics(self.font)
        middle = (self.place(pointed) + self.place(pointed + 1)) // 2
        room = self._text_room(middle, metrics.horizontalAdvance(self._number_of(pointed)), metrics)
        gap = math.floor(GAP / 2 * self.ratio)
        return room.adjusted(-gap, 0, gap, 0)

    def _number_of(self, pointed: int) -> str:
        return str(abs(int(ruler_numbers(self.size, self.way)[pointed])))


def _line_of(label: Label) -> int:
    return label.line
