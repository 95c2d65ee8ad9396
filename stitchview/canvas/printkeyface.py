"""Draws the pages of a printed key: symbol, colour, thread, strands, lines, and how many are left of all."""

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QFont, QPainter

from stitchview.canvas.cardtext import fitted
from stitchview.canvas.printedges import draw_ground
from stitchview.canvas.printface import PrintFace
from stitchview.canvas.printpen import INK, LINE, SMALL_PRINT, UNITS, pen, point, rect, write
from stitchview.canvas.qtcolours import as_qt
from stitchview.chart.colour import BLACK, WHITE
from stitchview.chart.model import UNTOLD
from stitchview.chart.stitches import PointKind
from stitchview.plan.card import details_words, uses
from stitchview.plan.cardpages import Box
from stitchview.plan.printkey import TOP, KeyLine

_SYMBOL, _SWATCH, _COUNT = 7.4, 4.4, 24.0
_LINE_SIDE = 4.0
_BOLD = QFont.Weight.DemiBold


class PrintKeyFace:
    """Draws the lines of the key, made once for all pages of it."""

    def __init__(self, face: PrintFace) -> None:
        self._face, self._plan = face, face.plan
        self._chart = face.plan.chart
        self._uses = uses(self._chart)
        points = self._chart.points
        self._kinds = dict(zip(points.keys.tolist(), points.kinds.tolist(), strict=True))

    def draw(self, painter: QPainter, lines: tuple[KeyLine, ...]) -> None:
        """Draw one page of the key."""
        for column in dict.fromkeys((line.row.left, line.row.width) for line in lines):
            self._draw_top(painter, Box(column[0], self._plan.body.top + 3, column[1], TOP - 4))
        for line in lines:
            self._draw_line(painter, line)

    def _draw_top(self, painter: QPainter, room: Box) -> None:
        draw_ground(painter, room)
        words = fitted("Symbol and thread", room.width / 2 * UNITS, (300, 260), 1, _BOLD)
        top = room.top + (room.height - words.height / UNITS) / 2
        write(painter, words, Box(room.left + 1.5, top, room.width, 0))
        words = fitted("left / all", room.width / 2 * UNITS, (300, 260), 1, _BOLD)
        write(painter, words, Box(room.left, top, room.width - 1.5, 0), INK, Qt.AlignmentFlag.AlignRight)

    def _draw_line(self, painter: QPainter, line: KeyLine) -> None:
        row = line.row
        painter.setPen(pen(LINE, 0.15))
        painter.drawLine(point(row.left, row.bottom), point(row.right, row.bottom))
        symbol = Box(row.left + 1.2, row.top + (row.height - _SYMBOL) / 2, _SYMBOL, _SYMBOL)
        self._draw_symbol(painter, line.number, symbol)
        swatch = Box(symbol.right, symbol.top, _SWATCH, _SYMBOL)
        self._draw_swatch(painter, line.number, swatch)
        left = swatch.right + 2.2
        left += self._draw_samples(painter, line.number, Box(left, row.top, 9.0, row.height))
        self._draw_words(painter, line, Box(left, row.top, row.right - _COUNT - 2 - left, row.height))
        counts = fitted(f"{line.left:,} / {line.all:,}", _COUNT * UNITS, (290, 265, 240, 215), 1, _BOLD)
        top = row.top + (row.height - counts.height / UNITS) / 2
        room = Box(row.right - 1.5 - _COUNT, top, _COUNT, 0)
        write(painter, counts, room, INK if line.left else SMALL_PRINT, Qt.AlignmentFlag.AlignRight)

    def _draw_symbol(self, painter: QPainter, number: int, box: Box) -> None:
        fill, ink = self._face.fill_and_ink(number, False)
        painter.fillRect(rect(box), as_qt(fill or WHITE))
        self._face.symbols.draw(painter, number, rect(box), ink)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(pen(BLACK, 0.2))
        painter.drawRect(rect(box))

    def _draw_swatch(self, painter: QPainter, number: int, box: Box) -> None:
        colour = self._chart.key[number - 1].colour
        if colour == UNTOLD:
            painter.setPen(pen(LINE, 0.2))
            painter.drawLine(point(box.left, box.bottom), point(box.right, box.top))
        else:
            painter.fillRect(rect(box), as_qt(colour))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(pen(BLACK, 0.2))
        painter.drawRect(rect(box))

    def _draw_samples(self, painter: QPainter, number: int, room: Box) -> float:
        """How its lines, knots or beads look, where it has any; gives the room they take."""
        use, middle = self._uses[number - 1], room.top + room.height / 2
        kind = self._kinds.get(number)
        if not use.lines and kind is None:
            return 0.0
        lined = middle if kind is None else middle + 2.2
        if use.lines:
            painter.setPen(self._face.lines.line_pen(number, _LINE_SIDE))
            painter.drawLine(point(room.left + 0.5, lined), point(room.left + 8.0, lined))
        if kind is not None:
            at = QPointF((room.left + 4.2) * UNITS, (middle - (1.6 if use.lines else 0)) * UNITS)
            side = _LINE_SIDE if kind == PointKind.KNOT else _LINE_SIDE * 1.1
            self._face.lines.draw_point(painter, number, kind, at, side)
        return 10.5

    def _draw_words(self, painter: QPainter, line: KeyLine, room: Box) -> None:
        entry, width = self._chart.key[line.number - 1], room.width * UNITS
        text = entry.name or f"Thread of symbol {entry.symbol.text or entry.code}"
        name = fitted(text, width, (300, 270, 240, 220), 2, _BOLD)
        details = fitted(details_words(entry, self._uses[line.number - 1]), width, (250, 230, 210, 190))
        top = room.top + (room.height - (name.height + details.height) / UNITS) / 2
        write(painter, name, Box(room.left, top, room.width, 0))
        write(painter, details, Box(room.left, top + name.height / UNITS, room.width, 0), SMALL_PRINT)
