"""Colours as Qt takes them: for pens and brushes, and for pixels."""

from PySide6.QtGui import QColor

from stitchview.chart.colour import Colour


def as_qt(colour: Colour) -> QColor:
    """Give a colour for pens and brushes."""
    return QColor(colour.red, colour.green, colour.blue)


def as_rgb32(colour: Colour) -> int:
    """Give a colour as one pixel of an RGB32 picture."""
    return 0xFF000000 | colour.red << 16 | colour.green << 8 | colour.blue
