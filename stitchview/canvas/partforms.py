"""The forms of part stitches as coverage masks: their fills, rims, marks and worked legs."""

import functools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QLineF, QPointF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from stitchview.canvas.glyphs import Coverage, blank_sheet, coverage_of
from stitchview.canvas.stateforms import dashes
from stitchview.chart.stitches import CORNERS, HALVES, THREE_QUARTERS, PartShape
from stitchview.done.change import DONE, LATER

_HALF_BREADTH = 0.2
# The forms know no colours, so they serve every look; all sizes of a zoom take little more than 1 MiB.
SIZES_KEPT = 48


@dataclass(frozen=True)
class PartForms:
    """Coverage by PartShape (row 0 is empty), each of shape (11, pitch, pitch).

    `fill` and `rim` draw a part that is to do or cleared, `tick` marks a cleared one, `leg` and
    `shade` draw a worked one. `symbol` gives the top left pixel (x, y) of the half-size symbol.
    """

    pitch: int
    fill: Coverage
    rim: Coverage
    tick: Coverage
    leg: Coverage
    shade: Coverage
    symbol: tuple[tuple[int, int], ...]


@functools.lru_cache(SIZES_KEPT)
def part_forms(pitch: int) -> PartForms:
    """Draw the forms of all part stitches for squares of `pitch` pixels."""
    sheets = {name: np.zeros((len(PartShape) + 1, pitch, pitch), np.uint8) for name in _DRAWINGS}
    for shape in PartShape:
        for name, sheet in sheets.items():
            sheet[shape] = _drawn(shape, pitch, name)
    places = ((0, 0), *(_symbol_place(shape, pitch) for shape in PartShape))
    return PartForms(pitch, **sheets, symbol=places)


def part_weights(forms: PartForms, state: int, worked: bool) -> NDArray[np.float32]:
    """Give how much of each pixel of a part is ground, fill and ink: shape (11, pitch * pitch, 3), sums 1.

    What is left for later is hatched; a mistake has the form of one to do, in the colours of a mistake.
    """
    if state == DONE and worked:
        layers = [(forms.shade, 2), (forms.leg, 1)]
    else:
        layers = [(forms.fill, 1), (forms.rim, 2)] + [(forms.tick, 2)] * (state == DONE)
    if state == LATER:
        hatch = np.where(dashes(forms.pitch, forms.pitch), forms.fill // 2, 0).astype(np.uint8)
        layers.insert(1, (hatch, 2))
    weights = np.zeros((*forms.fill.shape, 3), np.float32)
    weights[..., 0] = 1
    for mask, part in layers:
        share = mask.astype(np.float32) / np.float32(255)
        weights *= (1 - share)[..., None]
        weights[..., part] += share
    return weights.reshape(len(weights), -1, 3)


_DRAWINGS = ("fill", "rim", "tick", "leg", "shade")


def _drawn(shape: PartShape, pitch: int, name: str) -> Coverage:
    image = blank_sheet(pitch, pitch)
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    # The first row and column of pixels stay free for the grid line.
    painter.setClipRect(1, 1, pitch - 1, pitch - 1)
    if name in ("leg", "shade"):
        pen = QPen(QColor(255, 255, 255), pitch * (0.26 if name == "leg" else 0.36))
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        painter.setPen(pen)
        for leg in _legs(shape, pitch):
            painter.drawLine(leg)
    else:
        _draw_outlined(painter, _outline(shape, pitch), name)
    painter.end()
    return coverage_of(image)


def _draw_outlined(painter: QPainter, outline: QPolygonF, name: str) -> None:
    white = QColor(255, 255, 255)
    painter.setPen(QPen(white, 1.0) if name == "rim" else Qt.PenStyle.NoPen)
    if name == "fill":
        painter.setBrush(white)
    if name == "tick":
        room = outline.boundingRect()
        painter.setPen(QPen(white, 1.0))
        painter.drawLine(room.bottomLeft(), room.topRight())
        return
    painter.drawPolygon(outline)


def _symbol_place(shape: PartShape, pitch: int) -> tuple[int, int]:
    half = pitch // 2
    if shape in HALVES:
        return pitch // 4, pitch // 4
    right, down = CORNERS[shape]
    inset = round(0.03 * pitch) if shape in THREE_QUARTERS else 0
    far = pitch - half - inset
    return (far if right else inset), (far if down else inset)


def _outline(shape: PartShape, pitch: int) -> QPolygonF:
    side, low = pitch - 0.5, 1.5
    if shape in HALVES:
        return _band(low, side, rising=shape is PartShape.HALF_RISING)
    right, down = CORNERS[shape]
    x, y = (side if right else low), (side if down else low)
    if shape in THREE_QUARTERS:
        far_x, far_y = (low if right else side), (low if down else side)
        return QPolygonF([QPointF(x, y), QPointF(far_x, y), QPointF(x, far_y)])
    middle = (low + side) / 2
    return QPolygonF([QPointF(x, y), QPointF(middle, y), QPointF(middle, middle), QPointF(x, middle)])


def _band(low: float, side: float, rising: bool) -> QPolygonF:
    reach = (side - low) * _HALF_BREADTH
    rising_band = (
        (low, side),
        (low, side - reach),
        (side - reach, low),
        (side, low),
        (side, low + reach),
        (low + reach, side),
    )
    return QPolygonF([QPointF(x if rising else low + side - x, y) for x, y in rising_band])


def _legs(shape: PartShape, pitch: int) -> list[QLineF]:
    low, high, middle = pitch * 0.2 + 0.5, pitch * 0.8 + 0.5, pitch / 2 + 0.5
    rising, falling = QLineF(low, high, high, low), QLineF(low, low, high, high)
    if shape in HALVES:
        return [rising if shape is PartShape.HALF_RISING else falling]
    right, down = CORNERS[shape]
    quarter = QLineF(high if right else low, high if down else low, middle, middle)
    if shape not in THREE_QUARTERS:
        return [quarter]
    # The long leg of a three-quarter stitch crosses its quarter leg.
    return [quarter, rising if right == down else falling]
