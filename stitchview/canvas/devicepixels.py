"""Count in whole pixels of the screen, so that lines are crisp at any scaling of it."""

import math
from collections.abc import Iterator

from PySide6.QtCore import QRect, QRectF
from PySide6.QtGui import QPainter, QRegion
from PySide6.QtWidgets import QWidget


def painter_on(widget: QWidget) -> QPainter:
    """Give a painter on a widget that counts in device pixels, from the widget's own first one.

    At fractional scaling a widget may begin between two pixels. Halves go right and down, as Qt
    rounds what it lets a widget paint on.
    """
    painter = QPainter(widget)
    ratio = widget.devicePixelRatioF()
    if ratio == 1:
        return painter
    painter.scale(1 / ratio, 1 / ratio)
    device = painter.deviceTransform()
    x, y = math.floor(device.dx() + 0.5), math.floor(device.dy() + 0.5)
    painter.translate(x - device.dx(), y - device.dy())
    return painter


def size_of(widget: QWidget) -> tuple[int, int]:
    """Give a widget's width and height in device pixels, at least 1 each.

    Halves go up, as Qt sizes a window's memory; Python's `round` would leave a line unpainted.
    """
    ratio = widget.devicePixelRatioF()
    width, height = (math.floor(size * ratio + 0.5) for size in (widget.width(), widget.height()))
    return max(1, width), max(1, height)


def exposed_in(region: QRegion, ratio: float) -> Iterator[QRect]:
    """Give the rectangles of a region, which counts as Qt does, in device pixels."""
    # PySide's QRegion can be iterated, but its type stubs do not say so.
    for rect in region:  # type: ignore[attr-defined]
        if ratio == 1:
            yield rect
            continue
        x, y, width, height = rect.x(), rect.y(), rect.width(), rect.height()
        yield QRectF(x * ratio, y * ratio, width * ratio, height * ratio).toAlignedRect()


def update_pixels(widget: QWidget, room: QRect) -> None:
    """Have a rectangle of device pixels of a widget drawn anew."""
    ratio = widget.devicePixelRatioF()
    if ratio == 1:
        widget.update(room)
        return
    x, y, width, height = room.x(), room.y(), room.width(), room.height()
    logical = QRectF(x / ratio, y / ratio, width / ratio, height / ratio)
    widget.update(logical.toAlignedRect().intersected(widget.rect()))


def scrolls(ratio: float, *steps: int) -> bool:
    """Whether steps in device pixels are whole as Qt counts, so that what is drawn can be scrolled."""
    return all((step / ratio).is_integer() for step in steps)
