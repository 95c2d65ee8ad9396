"""Symbols as coverage masks: how much ink each pixel of a square takes, for every key entry at once."""

import functools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QImage, QPainter, QPainterPath, QPen, QTransform

from stitchview.chart.model import KeyEntry

Coverage = NDArray[np.uint8]

SMALLEST_WITH_SYMBOL = 7
SIZES_KEPT = 48
_BLACK = 0xFF000000
# What all threads of a common key take at two or three sizes.
MOST_KEPT_BYTES = 1 << 20
# Outlines are asked for at the size they were drawn at in most fonts, because smaller ones come rounded,
# now to one side and now to the other, and the same symbol would differ by a hair from evening to evening.
_OUTLINE_SIZE = 2048
# Capitals of most fonts stand about this share of the font size high.
_CAPITAL_SHARE = 0.72


@dataclass(frozen=True, slots=True)
class CrossMasks:
    """One woven cross in a square: the leg below, the leg above, and the shade at its edges."""

    under: Coverage
    over: Coverage
    shade: Coverage


class GlyphPaths:
    """The outlines of a key's symbols, kept so that another size needs no font work."""

    def __init__(self, key: Sequence[KeyEntry], pictures: Mapping[str, bytes]) -> None:
        self._paths: list[QPainterPath | None] = []
        self._cuttings: dict[int, QImage] = {}
        self._kept: dict[tuple[int, float], dict[int, Coverage]] = {}
        font = QFont("DejaVu Sans")
        font.setPixelSize(_OUTLINE_SIZE)
        font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
        for number, entry in enumerate(key):
            cutting = _cutting(pictures.get(entry.symbol.picture))
            if cutting is not None:
                self._cuttings[number] = cutting
            self._paths.append(_centred_path(entry.symbol.text or entry.code, font))

    def __len__(self) -> int:
        return len(self._paths)

    def coverage(self, numbers: Sequence[int], pitch: int, size: float) -> Coverage:
        """Give the ink of entries `numbers` (from 0) as uint8 of shape (n, pitch, pitch).

        `size` is the height of a capital in squares.
        """
        kept = self._kept_at(pitch, size)
        missing = sorted(set(numbers) - kept.keys())
        if (len(kept) + len(missing)) * pitch * pitch > MOST_KEPT_BYTES:
            return self._drawn(numbers, pitch, size)
        if missing:
            kept.update(zip(missing, self._drawn(missing, pitch, size), strict=True))
        if not numbers:
            return np.zeros((0, pitch, pitch), np.uint8)
        return np.stack([kept[number] for number in numbers])

    def _kept_at(self, pitch: int, size: float) -> dict[int, Coverage]:
        """Give what has been drawn at a size: open and done squares of one thread show the same symbol."""
        kept = self._kept.pop((pitch, size), {})
        held = sum(len(each) * side * side for (side, _), each in self._kept.items())
        while self._kept and held + len(kept) * pitch * pitch > MOST_KEPT_BYTES:
            oldest = next(iter(self._kept))
            held -= len(self._kept.pop(oldest)) * oldest[0] * oldest[0]
        self._kept[pitch, size] = kept
        return kept

    def _drawn(self, numbers: Sequence[int], pitch: int, size: float) -> Coverage:
        # Each at one and the same place, because further down a sheet Qt rounds the outline elsewhere.
        drawn = np.empty((len(numbers), pitch, pitch), np.uint8)
        sheet = blank_sheet(pitch, pitch)
        pixels = np.frombuffer(sheet.bits(), np.uint32).reshape(pitch, pitch)
        painter = QPainter(sheet)
        painter.setRenderHints(QPainter.RenderHint.Antialiasing | QPainter.RenderHint.SmoothPixmapTransform)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(255, 255, 255))
        for place, number in enumerate(numbers):
            pixels[:] = _BLACK
            self.draw(painter, number, QRectF(0, 0, pitch, pitch), size)
            np.bitwise_and(pixels, 255, out=drawn[place], casting="unsafe")
        painter.end()
        return drawn

    def draw(self, painter: QPainter, number: int, room: QRectF, size: float) -> None:
        """Draw the symbol of entry `number` (from 0) with the painter's brush in the middle of `room`.

        `size` is the height of a capital as a share of the room; no symbol leaves the room.
        """
        cutting = self._cuttings.get(number)
        side = room.width()
        if cutting is not None:
            margin = side * 0.08
            painter.drawImage(room.adjusted(margin, margin, -margin, -margin), cutting)
            return
        path = self._paths[number]
        if path is None:
            return
        box = path.boundingRect()
        scale = size * side / (_OUTLINE_SIZE * _CAPITAL_SHARE)
        widest = min(0.86, size * 1.2) * side
        scale = min(scale, widest / max(box.width(), 1), widest / max(box.height(), 1))
        # Half a pixel further, because the first pixel of a square is its grid line.
        middle = room.center() + QPointF(0.5, 0.5)
        painter.drawPath(QTransform(scale, 0, 0, scale, middle.x(), middle.y()).map(path))


@functools.lru_cache(SIZES_KEPT)
def cross_masks(pitch: int, swapped: bool = False) -> CrossMasks:
    """Give the coverage of a small woven cross for squares of `pitch` pixels (from about 5 up).

    The rising leg lies under the falling one (checks.md, H4); `swapped` is for a view that shows it turned.
    """
    reach = pitch * 0.5 - max(1.0, pitch * 0.19)
    middle = pitch / 2 + 0.5
    low, high = middle - reach, middle + reach
    width = pitch * 0.27
    rising, falling = (low, high, high, low), (low, low, high, high)
    below, above = (falling, rising) if swapped else (rising, falling)
    broad = _leg(pitch, above, width + max(1.2, pitch * 0.1))
    return CrossMasks(_leg(pitch, below, width), _leg(pitch, above, width), broad)


@functools.lru_cache(SIZES_KEPT)
def tick_mask(pitch: int) -> Coverage:
    """Give the coverage of the corner mark that tells a cleared square from an open one without colour."""
    image = blank_sheet(pitch, pitch)
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(QColor(255, 255, 255), max(1.0, pitch * 0.07)))
    painter.drawLine(0, pitch, pitch, 0)
    painter.end()
    return coverage_of(image)


def _leg(pitch: int, ends: tuple[float, float, float, float], width: float) -> Coverage:
    image = blank_sheet(pitch, pitch)
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    pen = QPen(QColor(255, 255, 255), width)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    painter.setPen(pen)
    path = QPainterPath()
    path.moveTo(ends[0], ends[1])
    path.lineTo(ends[2], ends[3])
    painter.drawPath(path)
    painter.end()
    return coverage_of(image)


def _centred_path(text: str, font: QFont) -> QPainterPath | None:
    path = QPainterPath()
    path.addText(0, 0, font, text)
    box = path.boundingRect()
    if box.isEmpty():
        return None
    return QTransform.fromTranslate(-box.center().x(), -box.center().y()).map(path)


def _cutting(content: bytes | None) -> QImage | None:
    """Turn a cut-out of print (dark on light) into coverage (light on dark); None if it is no picture."""
    if content is None:
        return None
    image = QImage.fromData(content)
    if image.isNull():
        return None
    grey = image.convertToFormat(QImage.Format.Format_Grayscale8)
    grey.invertPixels()
    return grey


def blank_sheet(width: int, height: int) -> QImage:
    """Give a black picture to draw coverage on in white.

    Four bytes a pixel, because Qt draws on a grey picture of one byte by converting every span there
    and back: at 40 pixels that took ten times as long, for the very same pixels.
    """
    sheet = QImage(width, height, QImage.Format.Format_RGB32)
    sheet.fill(_BLACK)
    return sheet


def coverage_of(sheet: QImage) -> Coverage:
    """Copy what was drawn on a `blank_sheet` into an array of shape (height, width)."""
    pixels = np.frombuffer(sheet.constBits(), np.uint32).reshape(sheet.height(), sheet.width())
    return (pixels & np.uint32(255)).astype(np.uint8)
