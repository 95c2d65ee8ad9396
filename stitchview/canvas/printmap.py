"""The first page of a print of several sheets: the chart pale, and over it which sheet lies where."""

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtGui import QFont, QImage, QPainter

from stitchview.canvas.cardtext import fitted
from stitchview.canvas.printpen import INK, SHARED, SMALL_PRINT, UNITS, pen, rect, write
from stitchview.canvas.qtcolours import as_qt
from stitchview.chart.colour import WHITE
from stitchview.chart.model import UNTOLD, Squares
from stitchview.follow.areawords import area_words
from stitchview.plan.cardpages import Box
from stitchview.plan.printplan import PrintPlan, PrintSheet

_PALE = 0.62
_MOST_PIXELS = 900
_WORDS = 14.0


def map_box(plan: PrintPlan) -> Box:
    """Where the map stands on its page: as large as it can be, in the chart's proportions on paper."""
    body, area, pitch = plan.body, plan.area, plan.wish.pitch
    wide, high = area.columns * pitch.across_mm, area.rows * pitch.down_mm
    scale = min((body.width - 2) / wide, (body.height - _WORDS - 4) / high, 1.0)
    width, height = wide * scale, high * scale
    return Box(body.left + (body.width - width) / 2, body.top + _WORDS, width, height)


def sheet_box(plan: PrintPlan, sheet: PrintSheet) -> Box:
    """Where a sheet lies on the map."""
    room, area = map_box(plan), plan.area
    across, down = room.width / area.columns, room.height / area.rows
    return Box(
        room.left + (sheet.area.column - area.column) * across,
        room.top + (sheet.area.row - area.row) * down,
        sheet.area.columns * across,
        sheet.area.rows * down,
    )


def draw_map(painter: QPainter, plan: PrintPlan, first_page: int) -> None:
    """Draw the map; sheet 1 is page `first_page`."""
    body, room = plan.body, map_box(plan)
    told = map_words(plan, first_page)
    words = fitted(told, body.width * UNITS, (360, 320, 290), 2)
    write(painter, words, Box(body.left, body.top, body.width, 0), SMALL_PRINT)
    painter.drawImage(rect(room), _pale_picture(plan))
    for sheet in plan.sheets:
        box = sheet_box(plan, sheet)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(pen(WHITE, 0.7))
        painter.drawRect(rect(box))
    for sheet in plan.sheets:
        box = sheet_box(plan, sheet)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(pen(INK, 0.2))
        painter.drawRect(rect(box))
    for sheet in plan.sheets:
        _draw_number(painter, plan, sheet)


def map_words(plan: PrintPlan, first_page: int) -> str:
    """How the sheets go together."""
    each, first = plan.wish.overlap, plan.sheets[0].number + first_page - 1
    shared = f" Neighbours share {each} squares, shaded grey on both." if each else ""
    where = area_words(plan.chart, plan.area, plan.wish.numbering)
    return f"{len(plan.sheets)} sheets, from page {first} on: {where}.{shared}"


def _draw_number(painter: QPainter, plan: PrintPlan, sheet: PrintSheet) -> None:
    box = sheet_box(plan, sheet)
    side = min(9.0, 0.6 * min(box.width, box.height))
    # As large as the longest number may be, so that all are of one size.
    size = round(side * (62, 62, 54, 40)[len(str(len(plan.sheets)))])
    words = fitted(str(sheet.number), side * UNITS, (size,), 1, QFont.Weight.Bold)
    middle_x, middle_y = box.left + box.width / 2, box.top + box.height / 2
    plate = Box(middle_x - side / 2, middle_y - side / 2, side, side)
    painter.setPen(pen(INK, 0.25))
    painter.setBrush(as_qt(WHITE))
    painter.drawEllipse(rect(plate))
    room = Box(plate.left, middle_y - words.height / UNITS / 2, side, 0)
    write(painter, words, room, INK, Qt.AlignmentFlag.AlignHCenter)


def _pale_picture(plan: PrintPlan) -> QImage:
    """The printed squares, one pixel each or one for some, pale, and grey where no colours are asked for."""
    area = plan.area
    step = max(1, -(-max(area.columns, area.rows) // _MOST_PIXELS))
    numbers = _mostly(plan)[::step, ::step]
    colours = [WHITE]
    for entry in plan.chart.key:
        shade = SHARED if entry.colour == UNTOLD else entry.colour
        if not plan.wish.colour:
            grey = round(255 * shade.luminance ** (1 / 2.2))
            shade = type(shade)(grey, grey, grey)
        colours.append(shade.mixed(WHITE, _PALE))
    palette = np.array(
        [0xFF000000 | each.red << 16 | each.green << 8 | each.blue for each in colours], np.uint32
    )
    pixels = np.ascontiguousarray(palette[numbers])
    # A printer blurs few large pixels; made larger here, they keep their edges.
    larger = max(1, _MOST_PIXELS // max(pixels.shape))
    pixels = np.ascontiguousarray(np.repeat(np.repeat(pixels, larger, 0), larger, 1))
    height, width = pixels.shape
    return QImage(pixels.data, width, height, 4 * width, QImage.Format.Format_RGB32).copy()


def _mostly(plan: PrintPlan) -> Squares:
    """The thread of each printed square, also where it is only a part stitch; shape (rows, columns)."""
    area, parts = plan.area, plan.chart.parts
    numbers = plan.stitches.squares(area)[0].copy()
    chosen = plan.stitches.parts(area)
    rows, columns = parts.rows[chosen] - area.row, parts.columns[chosen] - area.column
    bare = numbers[rows, columns] == 0
    numbers[rows[bare], columns[bare]] = parts.keys[chosen][bare]
    return numbers
