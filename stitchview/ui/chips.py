"""Symbol chips: one square of a thread, drawn by the very code that draws it on the canvas."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QImage, QPainter, QPen, QPixmap

from stitchview.canvas.glyphs import GlyphPaths
from stitchview.canvas.looks import Look
from stitchview.canvas.mixing import packed
from stitchview.canvas.qtcolours import as_qt
from stitchview.canvas.squarepictures import square_pictures
from stitchview.canvas.threads import Threads
from stitchview.chart.colour import Colour
from stitchview.chart.model import KeyEntry
from stitchview.ui.theme import Shades

_ENTRY_ALONE = np.array([1], np.intp)


class Chips:
    """Draws and keeps the open squares of a chart's threads in one look.

    `pictures` are the chart's attachments, for symbols cut from paper.
    """

    def __init__(self, look: Look = Look(), pictures: Mapping[str, bytes] | None = None) -> None:  # noqa: B008 (frozen)
        # An open square of the worked look is half paper, but a key must show the thread's own colour.
        self._look, self._pictures = replace(look, worked=False), pictures or {}
        self._kept: dict[tuple[str, Colour, int], QPixmap] = {}

    def of(self, entry: KeyEntry, pixels: int) -> QPixmap:
        """Give the square of a thread, `pixels` device pixels wide."""
        wanted = entry.code, entry.colour, pixels
        chip = self._kept.get(wanted)
        if chip is None:
            chip = self._kept[wanted] = self._drawn(entry, pixels)
        return chip

    def _drawn(self, entry: KeyEntry, pixels: int) -> QPixmap:
        threads = Threads((entry,), GlyphPaths((entry,), self._pictures), self._look)
        square = packed((square_pictures(threads, _ENTRY_ALONE, pixels)[0] + 0.5).astype(np.uint8))
        image = QImage(square.data, pixels, pixels, square.strides[0], QImage.Format.Format_RGB32)
        return QPixmap.fromImage(image.copy())


def draw_chip(painter: QPainter, chips: Chips, entry: KeyEntry, room: QRectF, shades: Shades) -> None:
    """Draw a thread's chip into the square `room`, sharp at the screen's scaling, with an edge round it."""
    ratio = painter.device().devicePixelRatioF()
    # On whole device pixels, or the picture would be stretched by a hair and blur.
    corner = painter.deviceTransform().map(room.topLeft())
    whole = painter.deviceTransform().inverted()[0].map(QPointF(round(corner.x()), round(corner.y())))
    chip = chips.of(entry, max(1, round(room.width() * ratio)))
    side = chip.width() / ratio
    place = QRectF(whole.x(), whole.y(), side, side)
    painter.drawPixmap(place, chip, QRectF(chip.rect()))
    painter.save()
    painter.setPen(QPen(as_qt(shades.edge), 1 / ratio))
    painter.drawRect(place.adjusted(0.5 / ratio, 0.5 / ratio, -0.5 / ratio, -0.5 / ratio))
    painter.restore()
