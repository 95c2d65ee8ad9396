"""Draws the squares of one printed sheet: symbols, part stitches, lines, knots, beads and the grid."""

from collections.abc import Iterator
from contextlib import contextmanager

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QPainter

from stitchview.canvas.looks import DAY, Look
from stitchview.canvas.printlines import LINE_SHARE, POINT_SHARE, PrintLines
from stitchview.canvas.printparts import part_outline, part_symbol_room
from stitchview.canvas.printpen import INK, SHARED, THIN, UNITS, pen, rect
from stitchview.canvas.printsymbols import PrintSymbols
from stitchview.canvas.qtcolours import as_qt
from stitchview.chart.area import Area
from stitchview.chart.colour import WHITE, Colour
from stitchview.chart.model import Squares
from stitchview.chart.stitches import PartShape
from stitchview.follow.numbering import tens_lines
from stitchview.plan.cardpages import Box
from stitchview.plan.printplan import PrintPlan, PrintSheet
from stitchview.plan.printstitches import Flags
from stitchview.plan.printwish import DoneAs

THIN_MM, BOLD_MM, BORDER_MM = 0.1, 0.35, 0.5
"""Lines between squares, between tens, and around the whole chart, at most."""
THIN_SHARE, BOLD_SHARE, BORDER_SHARE = 0.03, 0.1, 0.14
"""And at most so much of a small square, for lines must not drown its symbols."""
PALE_SHARE = 0.4
"""So much white is in a thread's colour under its symbol: printers give dark grounds darker still."""


class PrintFace:
    """Draws the squares of all sheets of a print; the painter's units are hundredths of a millimetre."""

    def __init__(self, plan: PrintPlan) -> None:
        self.plan, self._chart, self._stitches = plan, plan.chart, plan.stitches
        self.symbols = PrintSymbols(plan.chart)
        self.lines = PrintLines(plan.chart, self.symbols, plan.wish.colour)
        self._look = Look(paper=not plan.wish.colour)
        self._across, self._down = plan.wish.pitch.across_mm, plan.wish.pitch.down_mm
        self._side = min(self._across, self._down)

    def draw(self, painter: QPainter, sheet: PrintSheet) -> None:
        """Draw everything within the sheet's frame; knots and beads at its edge reach over it."""
        painter.fillRect(rect(sheet.grid), as_qt(WHITE))
        for area in sheet.shared:
            painter.fillRect(rect(self._box(sheet, area)), as_qt(SHARED))
        self._draw_squares(painter, sheet)
        self._draw_parts(painter, sheet)
        self._draw_bold(painter, sheet)
        # A thread that goes on is cut at the frame; one along the edge, and a knot on it, reach over it.
        with _clipped(painter, sheet.grid, LINE_SHARE * 0.75 * self._side):
            self._draw_lines(painter, sheet)
        with _clipped(painter, sheet.grid, POINT_SHARE * 1.25 * self._side):
            self._draw_points(painter, sheet)

    def fill_and_ink(self, number: int, grey: bool) -> tuple[Colour | None, Colour]:
        """What lies under a symbol (None for bare paper), and its ink."""
        if not self.plan.wish.colour:
            return None, DAY.faded_ink if grey else DAY.ink
        thread = self._chart.key[number - 1].colour
        if grey:
            fill = self._look.cleared_fill(thread)
            return fill, self._look.faded_ink(fill)
        fill = thread.mixed(WHITE, PALE_SHARE)
        return fill, self._look.open_ink(fill)

    def _draw_squares(self, painter: QPainter, sheet: PrintSheet) -> None:
        numbers, greys = self._stitches.squares(sheet.area)
        groups = list(self._groups(numbers, greys))
        for (fill, _), rooms, _ in groups:
            if fill is not None:
                for room in rooms:
                    painter.fillRect(room.translated(rect(sheet.grid).topLeft()), as_qt(fill))
        if self.plan.wish.colour:
            self._veil(painter, sheet)
        self._draw_thin(painter, sheet)
        corner = rect(sheet.grid).topLeft()
        for (_, ink), rooms, number in groups:
            for room in rooms:
                self.symbols.draw(painter, number, room.translated(corner), ink)

    def _groups(
        self,
        numbers: Squares,
        greys: Flags,
    ) -> Iterator[tuple[tuple[Colour | None, Colour], list[QRectF], int]]:
        """The squares of each thread, those to do and those that are grey: colours, rooms, key number."""
        across, down = self._across * UNITS, self._down * UNITS
        for number in np.unique(numbers[numbers > 0]).tolist():
            for grey in (False, True):
                rows, columns = np.nonzero((numbers == number) & (greys == grey))
                rooms = [
                    QRectF(column * across, row * down, across, down)
                    for row, column in zip(rows.tolist(), columns.tolist(), strict=True)
                ]
                if rooms:
                    yield self.fill_and_ink(number, grey), rooms, number

    def _veil(self, painter: QPainter, sheet: PrintSheet) -> None:
        """Shade the shared squares over their colours too."""
        shade = as_qt(INK)
        shade.setAlphaF(0.14)
        for area in sheet.shared:
            painter.fillRect(rect(self._box(sheet, area)), shade)

    def _draw_thin(self, painter: QPainter, sheet: PrintSheet) -> None:
        area, grid = sheet.area, sheet.grid
        painter.setPen(pen(THIN, min(THIN_MM, THIN_SHARE * self._side)))
        painter.drawLines(
            [self._upright(sheet, line) for line in range(area.column, area.right + 1)]
            + [self._level(sheet, line) for line in range(area.row, area.bottom + 1)]
        )
        # A frame all around, also where the chart goes on on another sheet: it is seen where a row ends.
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(pen(INK, min(BOLD_MM, BOLD_SHARE * self._side)))
        painter.drawRect(rect(grid))

    def _draw_bold(self, painter: QPainter, sheet: PrintSheet) -> None:
        area, numbering = sheet.area, self.plan.wish.numbering
        bold, border = min(BOLD_MM, BOLD_SHARE * self._side), min(BORDER_MM, BORDER_SHARE * self._side)
        columns, rows = self._chart.columns, self._chart.rows
        for line in tens_lines(columns, numbering.across):
            if area.column <= line <= area.right:
                painter.setPen(pen(INK, border if line in (0, columns) else bold))
                painter.drawLine(self._upright(sheet, line))
        for line in tens_lines(rows, numbering.down):
            if area.row <= line <= area.bottom:
                painter.setPen(pen(INK, border if line in (0, rows) else bold))
                painter.drawLine(self._level(sheet, line))

    def _draw_parts(self, painter: QPainter, sheet: PrintSheet) -> None:
        parts, states = self._chart.parts, self._stitches.marks.parts
        for index in self._stitches.parts(sheet.area).tolist():
            number, shape = int(parts.keys[index]), PartShape(int(parts.shapes[index]))
            grey = self._stitches.is_grey(states, index)
            square = rect(self._box(sheet, Area(int(parts.columns[index]), int(parts.rows[index]), 1, 1)))
            fill, ink = self.fill_and_ink(number, grey)
            painter.setPen(pen(ink, max(0.08, 0.03 * self._side)))
            painter.setBrush(Qt.BrushStyle.NoBrush if fill is None else as_qt(fill))
            painter.drawPolygon(part_outline(shape, square))
            self.symbols.draw(painter, number, part_symbol_room(shape, square), ink)

    def _draw_lines(self, painter: QPainter, sheet: PrintSheet) -> None:
        lines, states = self._chart.lines, self._stitches.marks.lines
        told = [
            (
                int(lines.keys[index]),
                QLineF(
                    self._half(sheet, int(lines.x1[index]), int(lines.y1[index])),
                    self._half(sheet, int(lines.x2[index]), int(lines.y2[index])),
                ),
                self._stitches.is_grey(states, index),
            )
            for index in self._stitches.lines(sheet.area).tolist()
        ]
        self.lines.draw_lines(painter, told, self._side)

    def _draw_points(self, painter: QPainter, sheet: PrintSheet) -> None:
        points, states = self._chart.points, self._stitches.marks.points
        for index in self._stitches.points(sheet.area).tolist():
            self.lines.draw_point(
                painter,
                int(points.keys[index]),
                int(points.kinds[index]),
                self._half(sheet, int(points.x[index]), int(points.y[index])),
                self._side,
                self._stitches.is_grey(states, index),
            )

    def _box(self, sheet: PrintSheet, area: Area) -> Box:
        return Box(
            sheet.grid.left + (area.column - sheet.area.column) * self._across,
            sheet.grid.top + (area.row - sheet.area.row) * self._down,
            area.columns * self._across,
            area.rows * self._down,
        )

    def _half(self, sheet: PrintSheet, x: int, y: int) -> QPointF:
        """A point told in half squares of the chart."""
        return QPointF(
            (sheet.grid.left + (x / 2 - sheet.area.column) * self._across) * UNITS,
            (sheet.grid.top + (y / 2 - sheet.area.row) * self._down) * UNITS,
        )

    def _upright(self, sheet: PrintSheet, line: int) -> QLineF:
        x = self._half(sheet, 2 * line, 0).x()
        return QLineF(x, sheet.grid.top * UNITS, x, sheet.grid.bottom * UNITS)

    def _level(self, sheet: PrintSheet, line: int) -> QLineF:
        y = self._half(sheet, 0, 2 * line).y()
        return QLineF(sheet.grid.left * UNITS, y, sheet.grid.right * UNITS, y)


@contextmanager
def _clipped(painter: QPainter, grid: Box, reach: float) -> Iterator[None]:
    """Draw nothing further from the squares than `reach` millimetres."""
    painter.save()
    painter.setClipRect(rect(grid).adjusted(*(way * reach * UNITS for way in (-1, -1, 1, 1))))
    yield
    painter.restore()


def done_words(done: DoneAs) -> str:
    """What is printed of what is done, in words."""
    return {DoneAs.SAME: "", DoneAs.GREY: "what is done is grey", DoneAs.LEFT_OUT: "only what is left"}[done]
