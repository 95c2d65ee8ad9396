"""One part of the place line: some words in a place of their own, fewer where they do not fit."""

import re
from collections.abc import Sequence

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QIcon, QPainter, QPaintEvent
from PySide6.QtWidgets import QToolTip, QWidget

from stitchview.canvas.qtcolours import as_qt
from stitchview.chart.model import KeyEntry
from stitchview.ui.chips import Chips, draw_chip
from stitchview.ui.theme import shades_of

GAP = 8
ELLIPSIS = "…"
_NUMBER_AT_END = re.compile(r"\d[\d.,]*$")


class Segment(QWidget):
    """Shows one text, with a chip or an icon before it if there is one.

    Its widths come from `least` and `usual`, texts as long as it should have room for, and never
    from what it shows; so nothing beside it moves when the words change. Where there is room to spare,
    those that stretch take it. Where there is too little, it leaves out whole parts of what it says,
    and never a part of a number: half a number is another number.
    """

    def __init__(self, name: str, least: str, usual: str, parent: QWidget, stretches: bool = False) -> None:
        super().__init__(parent)
        self.stretches = stretches
        self._name, self._least, self._usual = name, least, usual
        self.text = ""
        self.full = ""
        self._shorter: Sequence[str] = ()
        self._entry: KeyEntry | None = None
        self._chips: Chips | None = None
        self._icon: QIcon | None = None
        self._is_trouble = False
        self.setAccessibleName(name)

    def make_room_for(self, least: str, usual: str) -> None:
        """Let it have room for other texts from the next time that places are shared out."""
        self._least, self._usual = least, usual

    def show_words(
        self, text: str, full: str = "", shorter: Sequence[str] = (), trouble: bool = False
    ) -> None:
        """Show `text`, or the first of `shorter` for which there is room; `full` is all there is to say."""
        full = full or text
        if (text, full, trouble) == (self.text, self.full, self._is_trouble):
            return
        self.text, self.full, self._shorter, self._is_trouble = text, full, shorter, trouble
        self.setAccessibleDescription(full)
        self.setToolTip(full)
        if self.underMouse() and QToolTip.isVisible() and not full:
            QToolTip.hideText()
        self.update()

    def show_chip(self, entry: KeyEntry | None, chips: Chips | None) -> None:
        """Show the chip of a thread before the words, or none."""
        if (entry, chips) != (self._entry, self._chips):
            self._entry, self._chips = entry, chips
            self.update()

    def show_icon(self, icon: QIcon | None) -> None:
        """Show an icon before the words, or none."""
        self._icon = icon
        self.update()

    def words_in(self, width: float) -> str:
        """Give what is said of the words in so many pixels."""
        advance = self.fontMetrics().horizontalAdvance
        fitting = (text for text in (self.text, *self._shorter) if advance(text) <= width)
        return next(fitting, None) or self._cut((self.text, *self._shorter)[-1], int(width))

    @property
    def least_width(self) -> int:
        """The width below which it says too little."""
        return self._width_for(self._least)

    @property
    def usual_width(self) -> int:
        """The width at which nearly everything fits."""
        return self._width_for(self._usual)

    def sizeHint(self) -> QSize:
        """Ask for the usual width and a line."""
        return QSize(self.usual_width, line_height(self))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint a hair line, the chip or icon, and as much of the words as fits."""
        painter = QPainter(self)
        shades = shades_of(self.palette())
        painter.fillRect(0, 5, 1, self.height() - 10, as_qt(shades.hair))
        room = QRectF(self.rect()).adjusted(GAP, 0, -GAP / 2, 0)
        side = self._picture_side
        spot = QRectF(room.x(), (self.height() - side) / 2, side, side)
        if self._entry is not None and self._chips is not None:
            draw_chip(painter, self._chips, self._entry, spot, shades)
            room.setLeft(spot.right() + GAP - 2)
        elif self._icon is not None:
            self._icon.paint(painter, spot.toRect())
            room.setLeft(spot.right() + GAP - 2)
        painter.setPen(as_qt(shades.trouble if self._is_trouble else shades.text))
        words = self.words_in(room.width())
        painter.drawText(room, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, words)
        painter.end()

    def _cut(self, text: str, width: int) -> str:
        cut = self.fontMetrics().elidedText(text, Qt.TextElideMode.ElideRight, width)
        return cut if cut == text else whole_numbers(text, len(cut) - len(ELLIPSIS))

    @property
    def _picture_side(self) -> int:
        return max(18, self.fontMetrics().height() + 2)

    def _width_for(self, text: str) -> int:
        return self.fontMetrics().horizontalAdvance(text) + self._picture_side + 3 * GAP


def whole_numbers(text: str, length: int) -> str:
    """Cut a text after so many characters, or before the number that would be cut in two; "" for no words."""
    kept, rest = text[: max(length, 0)], text[max(length, 0) :]
    if re.match(r"[.,]?\d", rest):
        kept = _NUMBER_AT_END.sub("", kept)
    kept = kept.rstrip(" ,:+(")
    return f"{kept}{ELLIPSIS}" if kept else ""


def line_height(widget: QWidget) -> int:
    """How high a line of the place line is."""
    return max(26, widget.fontMetrics().height() + 10)
