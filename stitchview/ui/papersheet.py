"""A sheet of paper for the tour: a part of a chart drawn as charts are printed, black on white."""

from pathlib import Path

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QImage, QPainter, QPen

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.errors import CommandError

SQUARE = 30
MARGIN = 120
MOST_COLUMNS, MOST_ROWS = 40, 50
EVERY = 10
PAPER, INK = QColor("#f7f5ee"), QColor("#1c1c1c")


def draw_sheet(chart: Chart, path: Path) -> Area:
    """Save the middle of a chart as a printed sheet; gives the squares that are on it."""
    columns, rows = min(MOST_COLUMNS, chart.columns), min(MOST_ROWS, chart.rows)
    # Bold lines stand every ten squares of the whole chart.
    area = Area(
        (chart.columns - columns) // 2 // EVERY * EVERY,
        (chart.rows - rows) // 2 // EVERY * EVERY,
        columns,
        rows,
    )
    size = area.columns * SQUARE + 2 * MARGIN, area.rows * SQUARE + 2 * MARGIN
    image = QImage(*size, QImage.Format.Format_RGB32)
    image.fill(PAPER)
    painter = QPainter(image)
    painter.setRenderHints(QPainter.RenderHint.Antialiasing | QPainter.RenderHint.TextAntialiasing)
    _draw_signs(painter, chart, area)
    _draw_lines(painter, area)
    painter.end()
    if not image.save(str(path)):
        raise CommandError(f"“{path.name}” cannot be written.", "Choose another folder.")
    return area


def _draw_signs(painter: QPainter, chart: Chart, area: Area) -> None:
    font = QFont("DejaVu Sans")
    font.setPixelSize(round(SQUARE * 0.62))
    painter.setFont(font)
    painter.setPen(INK)
    for row in range(area.rows):
        for column in range(area.columns):
            number = int(chart.squares[area.row + row, area.column + column])
            if number:
                entry = chart.key[number - 1]
                room = QRectF(MARGIN + column * SQUARE, MARGIN + row * SQUARE, SQUARE, SQUARE)
                painter.drawText(room, Qt.AlignmentFlag.AlignCenter, entry.symbol.text or entry.code)


def _draw_lines(painter: QPainter, area: Area) -> None:
    right, bottom = MARGIN + area.columns * SQUARE, MARGIN + area.rows * SQUARE
    for column in range(area.columns + 1):
        x = MARGIN + column * SQUARE
        painter.setPen(_pen(column, area.columns))
        painter.drawLine(QPointF(x, MARGIN), QPointF(x, bottom))
        if column % EVERY == 0:
            _number(painter, QRectF(x - 60, MARGIN - 46, 120, 40), area.column + column)
    for row in range(area.rows + 1):
        y = MARGIN + row * SQUARE
        painter.setPen(_pen(row, area.rows))
        painter.drawLine(QPointF(MARGIN, y), QPointF(right, y))
        if row % EVERY == 0:
            _number(painter, QRectF(MARGIN - 100, y - 20, 80, 40), area.row + row)


def _pen(line: int, last: int) -> QPen:
    bold = line % EVERY == 0 or line == last
    return QPen(INK, 4 if bold else 1.6)


def _number(painter: QPainter, room: QRectF, number: int) -> None:
    if number:
        painter.drawText(room, Qt.AlignmentFlag.AlignCenter, str(number))
