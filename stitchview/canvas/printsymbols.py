"""Symbols of a key for paper: letters in their squares, and cut-out pictures in any ink on any ground."""

import numpy as np
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QFont, QImage, QPainter, QPainterPath

from stitchview.canvas.cardtext import font_of
from stitchview.canvas.qtcolours import as_qt
from stitchview.chart.colour import Colour
from stitchview.chart.model import Chart

SIZE = 0.66
"""The height of a capital in squares."""
_CUT_MARGIN = 0.08
# Boxes are measured so large that they are not rounded.
_MEASURED = 2048
_CAPITAL_SHARE, _WIDEST = 0.72, 0.86


class PrintSymbols:
    """Draws the symbols of a chart's key, made once for all sheets.

    Letters are drawn as letters, for a file holds the outline of each only once; they have the size and the
    place in their square that they have on the canvas.
    """

    def __init__(self, chart: Chart) -> None:
        self._texts = [entry.symbol.text or entry.code for entry in chart.key]
        self._boxes = [_box(text) for text in self._texts]
        self._fonts: dict[int, QFont] = {}
        self._cuts = {
            number: cut
            for number, entry in enumerate(chart.key)
            if (cut := _coverage(chart.attachments.get(entry.symbol.picture))) is not None
        }
        self._inked: dict[tuple[int, Colour], QImage] = {}

    def draw(self, painter: QPainter, number: int, room: QRectF, ink: Colour, size: float = SIZE) -> None:
        """Draw the symbol of `key[number - 1]` in the middle of a room, upright and in its proportions."""
        side = min(room.width(), room.height())
        square = QRectF(0, 0, side, side)
        square.moveCenter(room.center())
        if number - 1 in self._cuts:
            self._draw_cut(painter, number - 1, square, ink)
            return
        box = self._boxes[number - 1]
        if box.isEmpty():
            return
        scale = size * side / (_MEASURED * _CAPITAL_SHARE)
        widest = min(_WIDEST, size * 1.2) * side
        scale = min(scale, widest / box.width(), widest / box.height())
        pixels = max(1, round(scale * _MEASURED))
        font = self._fonts.get(pixels)
        if font is None:
            font = self._fonts[pixels] = _symbol_font(pixels)
        painter.setPen(as_qt(ink))
        painter.setFont(font)
        painter.drawText(square.center() - box.center() * (pixels / _MEASURED), self._texts[number - 1])

    def _draw_cut(self, painter: QPainter, index: int, square: QRectF, ink: Colour) -> None:
        image = self._inked.get((index, ink))
        if image is None:
            image = self._inked[index, ink] = _in_ink(self._cuts[index], ink)
        margin = square.width() * _CUT_MARGIN
        room = square.adjusted(margin, margin, -margin, -margin)
        scale = min(room.width() / image.width(), room.height() / image.height())
        place = QRectF(0, 0, image.width() * scale, image.height() * scale)
        place.moveCenter(room.center())
        painter.drawImage(place, image)


def _symbol_font(pixels: int) -> QFont:
    """The font of symbols on the canvas."""
    font = font_of(pixels)
    font.setFamily("DejaVu Sans")
    return font


def _box(text: str) -> QRectF:
    """The box of a symbol's ink around the start of its line."""
    path = QPainterPath()
    path.addText(QPointF(0, 0), _symbol_font(_MEASURED), text)
    return path.boundingRect()


def _coverage(content: bytes | None) -> QImage | None:
    """A cut-out of print (dark on light) as how much ink each of its pixels has; None if it is no picture."""
    image = QImage.fromData(content) if content else QImage()
    if image.isNull():
        return None
    grey = image.convertToFormat(QImage.Format.Format_Grayscale8)
    grey.invertPixels()
    return grey


def _in_ink(coverage: QImage, ink: Colour) -> QImage:
    """The cut-out in one ink, clear where the paper was."""
    height, width = coverage.height(), coverage.width()
    rows = np.frombuffer(coverage.constBits(), np.uint8).reshape(height, coverage.bytesPerLine())
    pixels = np.empty((height, width), np.uint32)
    pixels[:] = rows[:, :width].astype(np.uint32) << np.uint32(24)
    pixels |= np.uint32(ink.red << 16 | ink.green << 8 | ink.blue)
    image = QImage(pixels.data, width, height, 4 * width, QImage.Format.Format_ARGB32)
    return image.copy()
