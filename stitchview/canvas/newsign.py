"""What is new since a moment, washed over the chart: it follows the marks while it is shown."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QLineF, QPointF, QRect, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QPen

from stitchview.canvas.view import View
from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.change import DONE
from stitchview.done.timeline import Arrays

WASH = 110
"""How strong the wash is, of 255: the symbols below stay readable."""


@dataclass(frozen=True, eq=False, slots=True)
class NewSign:
    """The states of a chart at a moment, and as they are now (read anew at each drawing)."""

    chart: Chart
    before: Arrays
    now: Arrays


def draw_new(painter: QPainter, view: View, sign: NewSign, colour: QColor, exposed: QRect) -> None:
    """Wash a colour over every stitch that came since: squares, and thick under lines, knots and parts."""
    area = view.area_under(exposed.x(), exposed.y(), exposed.width(), exposed.height())
    if area.empty:
        return
    wash = QColor(colour)
    wash.setAlpha(WASH)
    painter.save()
    painter.setClipRect(exposed)
    _wash_squares(painter, view, sign, area, wash)
    _wash_others(painter, view, sign, area, wash)
    painter.restore()


def new_squares(sign: NewSign, area: Area, step: int = 1) -> NDArray[np.bool_]:
    """Which squares of an area (every `step`-th) are done and were not; shape (rows, columns) of them."""
    down = slice(area.row, area.bottom, step)
    across = slice(area.column, area.right, step)
    came: NDArray[np.bool_] = (sign.now[0][down, across] == DONE) & (sign.before[0][down, across] != DONE)
    return came


def _wash_squares(painter: QPainter, view: View, sign: NewSign, area: Area, wash: QColor) -> None:
    # Far out several squares share a pixel; then every so many is asked.
    step = max(1, int(1 / view.pitch))
    came = new_squares(sign, area, step)
    if not came.any():
        return
    pixels = np.where(came, np.uint32(_premultiplied(wash)), np.uint32(0))
    height, width = pixels.shape
    image = QImage(
        np.ascontiguousarray(pixels).data, width, height, 4 * width, QImage.Format.Format_ARGB32_Premultiplied
    )
    painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, False)
    shown = Area(area.column, area.row, width * step, height * step)
    painter.drawImage(QRect(*view.pixels_of(shown)), image)


def _wash_others(painter: QPainter, view: View, sign: NewSign, area: Area, wash: QColor) -> None:
    parts, lines, points = (
        np.flatnonzero((now == DONE) & (before != DONE))
        for now, before in zip(sign.now[1:], sign.before[1:], strict=True)
    )
    chart = sign.chart
    wide = max(2.0, view.pitch * 0.4)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for at in parts[_within(chart.parts.columns[parts], chart.parts.rows[parts], area)].tolist():
        corner = Area(int(chart.parts.columns[at]), int(chart.parts.rows[at]), 1, 1)
        painter.fillRect(QRect(*view.pixels_of(corner)), wash)
    x1, y1, x2, y2 = (
        each[lines] for each in (chart.lines.x1, chart.lines.y1, chart.lines.x2, chart.lines.y2)
    )
    seen = _within((x1 + x2) // 4, (y1 + y2) // 4, area.grown(2))
    painter.setPen(QPen(wash, wide, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
    ends = np.column_stack((x1, y1, x2, y2))[seen].tolist()
    painter.drawLines([QLineF(_place(view, *end[:2]), _place(view, *end[2:])) for end in ends])
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(wash)
    x, y = chart.points.x[points], chart.points.y[points]
    for at in np.flatnonzero(_within(x // 2, y // 2, area.grown(1))).tolist():
        painter.drawEllipse(_place(view, int(x[at]), int(y[at])), wide, wide)


def _within(columns: NDArray[np.int32], rows: NDArray[np.int32], area: Area) -> NDArray[np.bool_]:
    across = (columns >= area.column) & (columns < area.right)
    inside: NDArray[np.bool_] = across & (rows >= area.row) & (rows < area.bottom)
    return inside


def _place(view: View, x: int, y: int) -> QPointF:
    return QPointF(*view.pixel_of(x / 2, y / 2))


def _premultiplied(colour: QColor) -> int:
    share = colour.alphaF()
    red, green, blue = (round(each * share) for each in (colour.red(), colour.green(), colour.blue()))
    return colour.alpha() << 24 | red << 16 | green << 8 | blue
