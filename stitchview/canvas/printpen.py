"""Pens, places and words on printed sheets, in millimetres turned into hundredths of them."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen

from stitchview.canvas.cardtext import FittedWords
from stitchview.canvas.qtcolours import as_qt
from stitchview.chart.colour import Colour
from stitchview.plan.cardpages import Box

UNITS = 100
"""Units of the painter to a millimetre: fonts and lines keep their places to a hundredth of one."""

# On white: the text 16 : 1, the small print 7 : 1; thin lines only guide the eye.
INK = Colour(0x22, 0x20, 0x1E)
SMALL_PRINT = Colour(0x55, 0x51, 0x4C)
LINE = Colour(0xC9, 0xC5, 0xBD)
THIN = Colour(0xA6, 0xA2, 0x9B)
HEAD_GROUND = Colour(0xF4, 0xF1, 0xEA)
SHARED = Colour(0xE2, 0xE0, 0xDC)


def pen(colour: Colour, width: float) -> QPen:
    """A pen `width` millimetres wide with plain ends and corners."""
    made = QPen(as_qt(colour), width * UNITS)
    made.setCapStyle(Qt.PenCapStyle.FlatCap)
    made.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    return made


def rect(box: Box) -> QRectF:
    """A box as Qt takes it."""
    return QRectF(box.left * UNITS, box.top * UNITS, box.width * UNITS, box.height * UNITS)


def point(left: float, top: float) -> QPointF:
    """A point as Qt takes it."""
    return QPointF(left * UNITS, top * UNITS)


def write(
    painter: QPainter,
    words: FittedWords,
    room: Box,
    ink: Colour = INK,
    side: Qt.AlignmentFlag = Qt.AlignmentFlag.AlignLeft,
) -> None:
    """Write words into a room, from its top down."""
    painter.setPen(as_qt(ink))
    painter.setFont(words.font)
    for place, line in words.rooms(rect(room)):
        painter.drawText(place, int(side | Qt.AlignmentFlag.AlignVCenter), line)
