"""Part stitches as small pictures: halves, quarters and three-quarters, still to do and done."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QPen, QPolygonF

from stitchview.canvas.atlas import Threads
from stitchview.canvas.looks import RECEDED_SHARE
from stitchview.chart.colour import Colour
from stitchview.chart.stitches import PartShape

MOST_SPRITES = 4000
# Below this many pixels there is no room for a symbol inside a quarter.
SMALLEST_QUARTER_SYMBOL = 8

_CORNERS = {
    PartShape.QUARTER_TOP_LEFT: (0, 0),
    PartShape.QUARTER_TOP_RIGHT: (1, 0),
    PartShape.QUARTER_BOTTOM_LEFT: (0, 1),
    PartShape.QUARTER_BOTTOM_RIGHT: (1, 1),
    PartShape.THREE_QUARTER_TOP_LEFT: (0, 0),
    PartShape.THREE_QUARTER_TOP_RIGHT: (1, 0),
    PartShape.THREE_QUARTER_BOTTOM_LEFT: (0, 1),
    PartShape.THREE_QUARTER_BOTTOM_RIGHT: (1, 1),
}
_HALVES = (PartShape.HALF_RISING, PartShape.HALF_FALLING)
_HALF_BREADTH = 0.2


class PartSprites:
    """Pictures of part stitches at one size, drawn when first asked for."""

    def __init__(self, threads: Threads, pitch: int) -> None:
        self._threads = threads
        self._pitch = pitch
        self._kept: dict[tuple[int, int, int, bool], QImage] = {}

    def picture(self, shape: int, number: int, state: int, dimmed: bool) -> QImage:
        """Give the picture of a part stitch of key entry `number` (from 1), as large as a square."""
        name = (shape, number, state, dimmed)
        found = self._kept.get(name)
        if found is None:
            if len(self._kept) >= MOST_SPRITES:
                self._kept.clear()
            found = self._draw(PartShape(shape), number, state != 0, dimmed)
            self._kept[name] = found
        return found

    def _draw(self, shape: PartShape, number: int, done: bool, dimmed: bool) -> QImage:
        image = QImage(self._pitch, self._pitch, QImage.Format.Format_ARGB32_Premultiplied)
        image.fill(0)
        painter = QPainter(image)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        # The first row and column of pixels stay free for the grid line.
        painter.setClipRect(1, 1, self._pitch - 1, self._pitch - 1)
        look = self._threads.look
        if done and look.worked:
            self._draw_legs(painter, shape, self._shade(self._colour(number), dimmed))
        else:
            thread = self._threads.key[number - 1].colour
            fill = look.cleared_fill(thread) if done else look.open_fill(thread)
            ink = look.ground.faded_ink if done else look.open_ink(fill)
            if self._recedes(number):
                fill, ink = fill.mixed(look.ground.paper, RECEDED_SHARE), look.ground.faded_ink
            self._draw_fill(painter, shape, self._shade(fill, dimmed), self._shade(ink, dimmed), done)
            self._draw_symbol(painter, shape, number, self._shade(ink, dimmed))
        painter.end()
        return image

    def _recedes(self, number: int) -> bool:
        return self._threads.in_hand not in (0, number)

    def _colour(self, number: int) -> Colour:
        thread = self._threads.key[number - 1].colour
        return (
            thread.mixed(self._threads.look.ground.paper, RECEDED_SHARE) if self._recedes(number) else thread
        )

    def _shade(self, colour: Colour, dimmed: bool) -> QColor:
        look = self._threads.look
        shown = colour.mixed(look.ground.dim, look.dim) if dimmed else colour
        return QColor(shown.red, shown.green, shown.blue)

    def _draw_fill(self, painter: QPainter, shape: PartShape, fill: QColor, ink: QColor, done: bool) -> None:
        outline = self._outline(shape)
        painter.setPen(QPen(ink, 1.0 if not done else 0.5))
        painter.setBrush(fill)
        painter.drawPolygon(outline)
        if done:
            room = outline.boundingRect()
            painter.drawLine(room.bottomLeft(), room.topRight())

    def _draw_symbol(self, painter: QPainter, shape: PartShape, number: int, ink: QColor) -> None:
        side = self._pitch
        half = side / 2
        if half < SMALLEST_QUARTER_SYMBOL:
            return
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(ink)
        if shape in _HALVES:
            room = QRectF(side * 0.25, side * 0.25, half, half)
        else:
            right, down = _CORNERS[shape]
            inset = 0.03 * side if shape >= PartShape.THREE_QUARTER_TOP_LEFT else 0
            across = half - inset if right else inset
            room = QRectF(across, half - inset if down else inset, half, half)
        self._threads.paths.draw(painter, number - 1, room, 0.66)

    def _outline(self, shape: PartShape) -> QPolygonF:
        side, low = self._pitch - 0.5, 1.5
        if shape in _HALVES:
            return _band(low, side, rising=shape is PartShape.HALF_RISING)
        right, down = _CORNERS[shape]
        x, y = (side if right else low), (side if down else low)
        if shape >= PartShape.THREE_QUARTER_TOP_LEFT:
            far_x, far_y = (low if right else side), (low if down else side)
            return QPolygonF([QPointF(x, y), QPointF(far_x, y), QPointF(x, far_y)])
        middle = (low + side) / 2
        return QPolygonF([QPointF(x, y), QPointF(middle, y), QPointF(middle, middle), QPointF(x, middle)])

    def _draw_legs(self, painter: QPainter, shape: PartShape, colour: QColor) -> None:
        side = float(self._pitch)
        low, high, middle = side * 0.2 + 0.5, side * 0.8 + 0.5, side / 2 + 0.5
        legs: list[tuple[QPointF, QPointF]] = []
        if shape in _HALVES:
            rising = shape is PartShape.HALF_RISING
            legs.append((QPointF(low, high if rising else low), QPointF(high, low if rising else high)))
        else:
            right, down = _CORNERS[shape]
            corner = QPointF(high if right else low, high if down else low)
            if shape >= PartShape.THREE_QUARTER_TOP_LEFT:
                over = QPointF(low, high), QPointF(high, low)
                across = QPointF(low, low), QPointF(high, high)
                legs.append(over if right == down else across)
            legs.append((corner, QPointF(middle, middle)))
        for start, end in legs:
            for width, ink in ((side * 0.36, colour.darker(160)), (side * 0.26, colour)):
                pen = QPen(ink, width)
                pen.setCapStyle(Qt.PenCapStyle.RoundCap)
                painter.setPen(pen)
                painter.drawLine(start, end)


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
    if rising:
        return QPolygonF([QPointF(x, y) for x, y in rising_band])
    return QPolygonF([QPointF(low + side - x, y) for x, y in rising_band])
