"""Part stitches on paper: the outline of the half, quarter or three-quarter, and its symbol in it."""

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPolygonF

from stitchview.chart.stitches import CORNERS, HALVES, THREE_QUARTERS, PartShape

_INSET, _BREADTH = 0.05, 0.2


def part_outline(shape: PartShape, square: QRectF) -> QPolygonF:
    """The outline of a part stitch in its square."""
    return QPolygonF(
        [
            QPointF(square.left() + x * square.width(), square.top() + y * square.height())
            for x, y in _corners(shape)
        ]
    )


def part_symbol_room(shape: PartShape, square: QRectF) -> QRectF:
    """Where its symbol stands, half as large as that of a whole stitch."""
    width, height = square.width() / 2, square.height() / 2
    if shape in HALVES:
        return QRectF(square.left() + width / 2, square.top() + height / 2, width, height)
    right, down = CORNERS[shape]
    inset = 0.05 if shape in THREE_QUARTERS else 0.02
    x = 0.5 - inset if right else inset
    y = 0.5 - inset if down else inset
    return QRectF(square.left() + x * square.width(), square.top() + y * square.height(), width, height)


def _corners(shape: PartShape) -> list[tuple[float, float]]:
    low, high = _INSET, 1 - _INSET
    if shape in HALVES:
        return _band(low, high, shape is PartShape.HALF_RISING)
    right, down = CORNERS[shape]
    x, y = (high if right else low), (high if down else low)
    if shape in THREE_QUARTERS:
        return [(x, y), (low if right else high, y), (x, low if down else high)]
    return [(x, y), (0.5, y), (0.5, 0.5), (x, 0.5)]


def _band(low: float, high: float, rising: bool) -> list[tuple[float, float]]:
    reach = (high - low) * _BREADTH
    band = [
        (low, high),
        (low, high - reach),
        (high - reach, low),
        (high, low),
        (high, low + reach),
        (low + reach, high),
    ]
    return [(x if rising else 1 - x, y) for x, y in band]
