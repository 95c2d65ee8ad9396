"""The pictures that show what is new: in colour, as it was before, as it is now, or both side by side."""

from dataclasses import dataclass
from enum import StrEnum

from PySide6.QtGui import QImage, QPainter

from stitchview.canvas.clothpicture import ClothWish, new_picture, now_picture
from stitchview.canvas.qtcolours import as_qt
from stitchview.chart.model import CREAM, Chart
from stitchview.done.timeline import Arrays

GAP = 24
"""Pixels of cloth between two pictures side by side."""


class Shown(StrEnum):
    """What a picture of the new shows; the values are what the command line calls them."""

    NEW = "new"
    BEFORE = "before"
    NOW = "now"
    BESIDE = "beside"


@dataclass(frozen=True, eq=False, slots=True)
class Between:
    """A piece at two moments."""

    chart: Chart
    before: Arrays
    after: Arrays


def picture_of(between: Between, shown: Shown, wish: ClothWish) -> QImage:
    """One of the four pictures; raises `CommandError` for a size that cannot be drawn."""
    chart = between.chart
    if shown is Shown.NEW:
        return new_picture(chart, between.before, between.after, wish)
    if shown is Shown.BEFORE:
        return now_picture(chart, between.before, wish)
    now = now_picture(chart, between.after, wish)
    if shown is Shown.NOW:
        return now
    then = now_picture(chart, between.before, wish)
    both = QImage(2 * now.width() + GAP, now.height(), QImage.Format.Format_RGB32)
    both.fill(as_qt(wish.cloth or (chart.cloth.colour if chart.cloth else CREAM)))
    painter = QPainter(both)
    painter.drawImage(0, 0, then)
    painter.drawImage(now.width() + GAP, 0, now)
    painter.end()
    return both
