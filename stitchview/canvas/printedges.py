"""What stands around the squares of a printed sheet: title, page, small map, numbers, arrows, a measure."""

from dataclasses import dataclass

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QFont, QPainter, QPolygonF

from stitchview.canvas.cardtext import fitted
from stitchview.canvas.printpen import HEAD_GROUND, INK, LINE, SMALL_PRINT, UNITS, pen, point, rect, write
from stitchview.canvas.qtcolours import as_qt
from stitchview.chart.colour import WHITE
from stitchview.follow.areawords import area_words
from stitchview.plan.cardpages import Box
from stitchview.plan.printplan import FOOT, HEAD, PrintPlan, PrintSheet
from stitchview.plan.printruler import Side, side_of

_BOLD = QFont.Weight.DemiBold
_NUMBER, _NUMBER_ROOM, _AWAY = 2.6, 8.5, 2.7
"""Millimetres: the size of a number, its room along its side, and how far it stands from the squares."""
_ARROW = 2.2
MEASURE = 50.0
"""Millimetres of the line at the foot that tells whether the printer kept the size."""


@dataclass(frozen=True, slots=True)
class PageTitle:
    """What stands on a page: its number of how many, and what it is."""

    number: int
    of: int
    words: str


def draw_head_and_foot(painter: QPainter, plan: PrintPlan, title: PageTitle, map_room: float = 0.0) -> None:
    """Draw the title and what the page is at the top, the measure and the page's number at the foot."""
    room = plan.printable
    width = room.width - map_room
    name = fitted(plan.chart.title or "Chart without a title", width * UNITS, (520, 460, 400, 350), 1, _BOLD)
    write(painter, name, Box(room.left, room.top - 0.6, width, 0))
    below = fitted(title.words, width * UNITS, (320, 290, 260, 230))
    write(painter, below, Box(room.left, room.top - 0.6 + name.height / UNITS, width, 0), SMALL_PRINT)
    foot = room.bottom - FOOT + 3.4
    page = fitted(f"page {title.number} of {title.of}", 40 * UNITS, (320,), 1, _BOLD)
    write(painter, page, Box(room.right - 40, foot, 40, 0), INK, Qt.AlignmentFlag.AlignRight)
    _draw_measure(painter, room.left, foot + page.height / UNITS / 2)
    told = f"{MEASURE:g} mm: if it measures otherwise, print again at 100 %, not fitted to the page"
    words = fitted(told, (room.width - MEASURE - 44) * UNITS, (260, 230, 200, 170))
    top = foot + (page.height - words.height) / UNITS / 2
    write(painter, words, Box(room.left + MEASURE + 2.5, top, room.width, 0), SMALL_PRINT)


def draw_edges(painter: QPainter, plan: PrintPlan, sheet: PrintSheet) -> None:
    """Draw the numbers at the tens and the arrows at the centre along the four sides of the squares."""
    wish, area, grid = plan.wish, sheet.area, sheet.grid
    pitch, numbering = wish.pitch, wish.numbering
    across = side_of(
        area.column, area.right, plan.chart.columns, numbering.across, _NUMBER_ROOM / pitch.across_mm
    )
    down = side_of(area.row, area.bottom, plan.chart.rows, numbering.down, _NUMBER_ROOM / 1.6 / pitch.down_mm)
    xs = _Along(grid.left, area.column, pitch.across_mm)
    ys = _Along(grid.top, area.row, pitch.down_mm)
    _draw_numbers_across(painter, across, xs, grid)
    _draw_numbers_down(painter, down, ys, grid)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(as_qt(INK))
    if across.centre is not None:
        at = xs.at(across.centre)
        _draw_arrow(painter, QPointF(at, grid.top - 0.4), QPointF(0, -1))
        _draw_arrow(painter, QPointF(at, grid.bottom + 0.4), QPointF(0, 1))
    if down.centre is not None:
        at = ys.at(down.centre)
        _draw_arrow(painter, QPointF(grid.left - 0.4, at), QPointF(-1, 0))
        _draw_arrow(painter, QPointF(grid.right + 0.4, at), QPointF(1, 0))


def sheet_words(plan: PrintPlan, sheet: PrintSheet, more: str) -> str:
    """What a sheet of squares is."""
    where = area_words(plan.chart, sheet.area, plan.wish.numbering)
    told = f"Sheet {sheet.number} of {len(plan.sheets)} · {where}"
    return f"{told} · {more}" if more else told


def draw_small_map(painter: QPainter, plan: PrintPlan, sheet: PrintSheet) -> float:
    """Draw at the top right which sheet of all this is; gives how much room it takes from the title."""
    if len(plan.sheets) < 2:
        return 0.0
    area, height = plan.area, HEAD - 2.0
    scale = min(height / area.rows, 34.0 / area.columns)
    left = plan.printable.right - area.columns * scale
    top = plan.printable.top
    painter.setPen(pen(SMALL_PRINT, 0.12))
    for each in sorted(plan.sheets, key=lambda one: one is sheet):
        painter.setBrush(as_qt(INK if each is sheet else WHITE))
        painter.drawRect(
            rect(
                Box(
                    left + (each.area.column - area.column) * scale,
                    top + (each.area.row - area.row) * scale,
                    each.area.columns * scale,
                    each.area.rows * scale,
                )
            )
        )
    return area.columns * scale + 4


@dataclass(frozen=True, slots=True)
class _Along:
    """Where lines stand along a side: millimetres of a start, the line there, and millimetres a square."""

    start: float
    first: int
    pitch: float

    def at(self, line: float) -> float:
        return self.start + (line - self.first) * self.pitch


def _draw_numbers_across(painter: QPainter, side: Side, xs: _Along, grid: Box) -> None:
    for line, number in side.numbers:
        words = fitted(str(number), 900, (round(_NUMBER * UNITS),), 1, _BOLD)
        high = words.height / UNITS
        for top in (grid.top - _AWAY - high, grid.bottom + _AWAY):
            write(painter, words, Box(xs.at(line) - 5, top, 10, 0), INK, Qt.AlignmentFlag.AlignHCenter)
        _draw_tick(painter, (xs.at(line), grid.top), (0, -1))
        _draw_tick(painter, (xs.at(line), grid.bottom), (0, 1))


def _draw_numbers_down(painter: QPainter, side: Side, ys: _Along, grid: Box) -> None:
    for line, number in side.numbers:
        words = fitted(str(number), 540, (round(_NUMBER * UNITS), 240, 220, 200), 1, _BOLD)
        top = ys.at(line) - words.height / UNITS / 2
        left, right = Box(grid.left - _AWAY - 10, top, 10, 0), Box(grid.right + _AWAY, top, 10, 0)
        write(painter, words, left, INK, Qt.AlignmentFlag.AlignRight)
        write(painter, words, right, INK)
        _draw_tick(painter, (grid.left, ys.at(line)), (-1, 0))
        _draw_tick(painter, (grid.right, ys.at(line)), (1, 0))


def _draw_tick(painter: QPainter, at: tuple[float, float], way: tuple[int, int]) -> None:
    painter.setPen(pen(INK, 0.35))
    painter.drawLine(point(*at), point(at[0] + way[0] * 1.8, at[1] + way[1] * 1.8))


def _draw_arrow(painter: QPainter, tip: QPointF, away: QPointF) -> None:
    """A triangle whose tip points at the squares; `away` leads from them."""
    base, beside = tip + away * _ARROW, QPointF(away.y(), away.x()) * (_ARROW * 0.62)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(as_qt(INK))
    painter.drawPolygon(QPolygonF([each * UNITS for each in (tip, base + beside, base - beside)]))


def _draw_measure(painter: QPainter, left: float, middle: float) -> None:
    painter.setPen(pen(INK, 0.2))
    painter.drawLine(point(left, middle), point(left + MEASURE, middle))
    for step in range(6):
        high = 1.3 if step in (0, 5) else 0.8
        at = left + step * MEASURE / 5
        painter.drawLine(point(at, middle - high), point(at, middle + high))


def draw_ground(painter: QPainter, box: Box) -> None:
    """A pale ground with a thin line below, for words above a list."""
    painter.fillRect(rect(box), as_qt(HEAD_GROUND))
    painter.setPen(pen(LINE, 0.2))
    painter.drawLine(point(box.left, box.bottom), point(box.right, box.bottom))
