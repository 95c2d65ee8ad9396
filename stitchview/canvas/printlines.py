"""Back stitch, straight stitch, knots and beads on paper: each thread's lines can be told without colour."""

from collections.abc import Sequence

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen

from stitchview.canvas.looks import DAY
from stitchview.canvas.printpen import UNITS, pen
from stitchview.canvas.printsymbols import PrintSymbols
from stitchview.canvas.qtcolours import as_qt
from stitchview.chart.colour import BLACK, WHITE, Colour, contrast
from stitchview.chart.model import UNTOLD, Chart
from stitchview.chart.stitches import PointKind

# Dashes and gaps in widths of the line; the first thread of the key that has lines is drawn through.
_PATTERNS: tuple[tuple[float, ...], ...] = (
    (),
    (3.0, 1.4),
    (1.0, 1.2),
    (5.0, 1.2, 1.0, 1.2),
    (6.0, 2.4),
    (4.0, 1.2, 1.0, 1.2, 1.0, 1.2),
)
LINE_SHARE, POINT_SHARE = 0.15, 0.34
"""The width of a line, and the radius of a knot or bead, in squares."""
_PALE = 2.0


class PrintLines:
    """Draws lines and points of a chart in its own colours or in black."""

    def __init__(self, chart: Chart, symbols: PrintSymbols, in_colour: bool) -> None:
        self._chart, self._symbols, self._in_colour = chart, symbols, in_colour
        lined = np.unique(chart.lines.keys).tolist()
        self._places = {number: place for place, number in enumerate(lined)}

    def colour_of(self, number: int, grey: bool) -> Colour:
        """The ink of the lines of `key[number - 1]`, never too pale to be seen on white."""
        if grey:
            return DAY.faded_ink
        thread = self._chart.key[number - 1].colour
        if not self._in_colour or thread == UNTOLD:
            return BLACK
        return next(
            shade
            for shade in (thread.mixed(BLACK, step / 10) for step in range(11))
            if contrast(shade, WHITE) >= _PALE
        )

    def line_pen(self, number: int, side: float, grey: bool = False) -> QPen:
        """The pen of a thread's lines where squares are `side` millimetres wide."""
        place = self._places.get(number, 0)
        thinner = 0.6 ** (place // len(_PATTERNS))
        made = pen(
            self.colour_of(number, grey), max(0.12, LINE_SHARE * side * thinner * (0.6 if grey else 1))
        )
        pattern = _PATTERNS[place % len(_PATTERNS)]
        if pattern:
            made.setDashPattern(list(pattern))
        else:
            made.setCapStyle(Qt.PenCapStyle.RoundCap)
        return made

    def draw_lines(self, painter: QPainter, lines: Sequence[tuple[int, QLineF, bool]], side: float) -> None:
        """Draw lines (key number, from where to where, whether grey) over a rim of white."""
        for number, line, grey in lines:
            made = self.line_pen(number, side, grey)
            painter.setPen(pen(WHITE, made.widthF() / UNITS + max(0.1, 0.05 * side)))
            painter.drawLine(line)
        for number, line, grey in lines:
            painter.setPen(self.line_pen(number, side, grey))
            painter.drawLine(line)

    def draw_point(
        self, painter: QPainter, number: int, kind: int, middle: QPointF, side: float, grey: bool = False
    ) -> None:
        """Draw a knot as a full disc, a bead as a ring, each with its symbol in it."""
        ink, radius = self.colour_of(number, grey), POINT_SHARE * side * UNITS
        bead = kind == PointKind.BEAD
        ring = pen(ink if bead else WHITE, max(0.1, 0.06 * side))
        painter.setPen(ring)
        painter.setBrush(as_qt(WHITE if bead else ink))
        painter.drawEllipse(middle, radius, radius)
        if bead:
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(pen(WHITE, max(0.05, 0.03 * side)))
            painter.drawEllipse(middle, radius + ring.widthF() * 0.75, radius + ring.widthF() * 0.75)
        room = QRectF(middle.x() - radius, middle.y() - radius, 2 * radius, 2 * radius)
        self._symbols.draw(painter, number, room, ink if bead else WHITE, 0.56)
