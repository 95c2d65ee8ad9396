"""The whole chart as one small picture of its colours, with what is done hatched."""

import functools
import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter

from stitchview.canvas.doneblocks import COUNTED, DoneBlocks
from stitchview.canvas.mixing import Pixels
from stitchview.canvas.painting import ChartPainter
from stitchview.canvas.pyramid import LEVELS
from stitchview.canvas.showing import Showing
from stitchview.chart.area import Area
from stitchview.done.change import FIRST_LEG, LATER, MISTAKE

# Rows of squares looked at before the window gets its turn again: about a frame's time at 4,096 columns.
ROWS_AT_ONCE = 192
# Every so many pixels along a row a done place has a darker or lighter one.
HATCH = 4
_HATCH_SHARE = 0.5
_BLACK, _WHITE = np.uint32(0xFF000000), np.uint32(0xFFFFFFFF)


@dataclass(frozen=True, slots=True)
class Fit:
    """How a chart lies in a window, all in device pixels: `scale` a square, from (`x`, `y`) on."""

    scale: float
    x: int
    y: int
    width: int
    height: int

    def place(self, column: float, row: float) -> tuple[int, int]:
        """Give the pixel a point of the chart, in squares, lies on."""
        return self.x + math.floor(column * self.scale + 0.5), self.y + math.floor(row * self.scale + 0.5)

    def squares(self, x: float, y: float) -> tuple[float, float]:
        """Give the point of the chart, in squares, that lies on a pixel position."""
        return (x - self.x) / self.scale, (y - self.y) / self.scale


def fitted(columns: int, rows: int, width: int, height: int) -> Fit:
    """Lay a chart into the middle of a window, as large as it goes."""
    scale = min(width / columns, height / rows)
    wide, high = max(1, math.floor(columns * scale + 1e-9)), max(1, math.floor(rows * scale + 1e-9))
    return Fit(scale, (width - wide) // 2, (height - high) // 2, wide, high)


class SmallPicture:
    """Makes the picture bit by bit, so that no hand has to wait for a large chart.

    `image` is None until everything has been looked at once.
    """

    def __init__(self, painter: ChartPainter, fit: Fit) -> None:
        self._painter, self.fit = painter, fit
        # As many halvings as leave at least a pixel for each pixel of the picture.
        self._level = min(LEVELS, max(0, math.floor(-math.log2(fit.scale))))
        self._blocks = DoneBlocks(painter.chart, painter.states, 1 << self._level)
        self._uncounted = [painter.chart.area]
        self.image: QImage | None = None

    @property
    def reach(self) -> int:
        """How many pixels beyond its own a changed square can be seen: a block, and the smoothing."""
        return math.ceil(self.fit.scale * self._blocks.side) + 2

    def changed(self, area: Area) -> None:
        """Take note that squares in `area` look different now."""
        if len(self._uncounted) > 8:
            self._uncounted = [functools.reduce(Area.joined, self._uncounted)]
        self._uncounted.append(area)

    def work(self, showing: Showing) -> bool:
        """Do a bit of the work; True when the picture is ready and up to date."""
        pyramid = self._painter.pyramid(showing)
        if self._level:
            pyramid.need(self._level)
            if not pyramid.freshen_some(ROWS_AT_ONCE):
                return False
        if not self._count():
            return False
        source = pyramid.picture(self._level) if self._level else pyramid.squares(self._painter.chart.area)
        self.image = self._drawn(source)
        return True

    def _count(self) -> bool:
        if self._uncounted:
            area = self._uncounted.pop()
            rows = max(ROWS_AT_ONCE, self._blocks.side)
            self._blocks.refresh(Area(area.column, area.row, area.columns, min(rows, area.rows)))
            if area.rows > rows:
                self._uncounted.append(Area(area.column, area.row + rows, area.columns, area.rows - rows))
        return not self._uncounted

    def _drawn(self, source: Pixels) -> QImage:
        image = QImage(self.fit.width, self.fit.height, QImage.Format.Format_RGB32)
        image.fill(0)
        height, width = source.shape
        picture = QImage(source.data, width, height, source.strides[0], QImage.Format.Format_RGB32)
        scale = self.fit.scale * self._blocks.side
        painter = QPainter(image)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, self._level > 0)
        painter.drawImage(QRectF(0, 0, width * scale, height * scale), picture)
        painter.end()
        self._hatch(image)
        return image

    def _hatch(self, image: QImage) -> None:
        """Hatch what is done or otherwise marked: by its colour alone, white done looks like white to do.

        Done slants up, first legs slant down, later is dotted; a block with a mistake is black and white.
        """
        pixels = np.frombuffer(image.bits(), np.uint32).reshape(image.height(), image.bytesPerLine() // 4)
        scale = self.fit.scale * self._blocks.side
        rows, columns = (
            np.minimum(((np.arange(size) + 0.5) / scale).astype(np.intp), most - 1)
            for size, most in zip((image.height(), image.width()), self._blocks.stitches.shape, strict=True)
        )
        for state in COUNTED:
            mostly = self._blocks.mostly(state)
            if mostly.any():
                here = mostly[rows[:, None], columns]
                if state == MISTAKE:
                    pixels[here] = _BLACK
                hatched = np.nonzero(here & _pattern(state, *here.shape))
                pixels[hatched] = _WHITE if state == MISTAKE else _stood_out(pixels[hatched])


def _pattern(state: int, height: int, width: int) -> NDArray[np.bool_]:
    """Which pixels of a picture are hatched where the blocks are in a state."""
    down, across = np.arange(height)[:, None], np.arange(width)
    pattern: NDArray[np.bool_] = (down + across) % HATCH == 0
    if state == FIRST_LEG:
        pattern = (down - across) % HATCH == 0
    elif state == LATER:
        pattern = (down % HATCH == 0) & (across % HATCH == 0)
    elif state == MISTAKE:
        pattern = (down + across) % 2 == 0
    return pattern


def _stood_out(pixels: Pixels) -> Pixels:
    """Give dark colours lighter and light ones darker, RGB32 of shape (n,)."""
    parts = np.stack([pixels >> shift & 0xFF for shift in (16, 8, 0)]).astype(np.float32)
    weights = np.array([[0.3], [0.6], [0.1]], np.float32)
    ink: NDArray[np.float32] = np.where((parts * weights).sum(0) > 128, np.float32(0), np.float32(255))
    mixed = (parts + (ink - parts) * np.float32(_HATCH_SHARE) + np.float32(0.5)).astype(np.uint32)
    stood: Pixels = np.uint32(0xFF000000) | mixed[0] << 16 | mixed[1] << 8 | mixed[2]
    return stood
