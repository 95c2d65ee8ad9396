"""Words fitted into the narrow room of a label: smaller first, then on two lines, then shortened."""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF

# The first that is installed is taken; signs it lacks come from others.
FAMILIES = ("Noto Sans", "Segoe UI", "Helvetica Neue", "DejaVu Sans")


@dataclass(frozen=True, slots=True)
class FittedWords:
    """Lines of words, and the font in which they fit."""

    lines: tuple[str, ...]
    font: QFont

    @property
    def line_height(self) -> float:
        """From one line to the next."""
        return QFontMetricsF(self.font).height() * 0.94

    @property
    def height(self) -> float:
        """How high all lines stand."""
        return self.line_height * len(self.lines)

    @property
    def width(self) -> float:
        """How wide the widest line runs."""
        return max((QFontMetricsF(self.font).horizontalAdvance(line) for line in self.lines), default=0.0)

    def rooms(self, room: QRectF) -> list[tuple[QRectF, str]]:
        """Each line with its room, from the top of `room` down."""
        step = self.line_height
        return [
            (QRectF(room.left(), room.top() + place * step, room.width(), step), line)
            for place, line in enumerate(self.lines)
        ]


def font_of(size: float, weight: QFont.Weight = QFont.Weight.Normal) -> QFont:
    """A font with letters `size` units high from line to line, not bent to any screen's pixels."""
    font = QFont()
    font.setFamilies(FAMILIES)
    font.setPixelSize(max(1, round(size)))
    font.setWeight(weight)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    return font


def fitted(
    text: str, width: float, sizes: Sequence[int], lines: int = 1, weight: QFont.Weight = QFont.Weight.Normal
) -> FittedWords:
    """The words in the largest of `sizes` (falling) in which one line holds them, else in several lines.

    Several lines begin at the next to largest size; what fits in no way is shortened in its middle
    or, on several lines, at the end of the last.
    """
    plain = " ".join(text.split())
    font = font_of(sizes[-1], weight)
    for size in sizes:
        font = font_of(size, weight)
        if QFontMetricsF(font).horizontalAdvance(plain) <= width:
            return FittedWords((plain,), font)
        if lines > 1 and size != sizes[0]:
            broken = _broken(plain, font, width)
            if len(broken) <= lines:
                return FittedWords(tuple(broken), font)
    return FittedWords(_shortened(plain, font, width, lines), font)


def _broken(text: str, font: QFont, width: float) -> list[str]:
    """The words on as many lines as they take; a word wider than a line makes one line too many."""
    metrics, lines = QFontMetricsF(font), [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if metrics.horizontalAdvance(longer) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    if any(metrics.horizontalAdvance(line) > width for line in lines):
        return [*lines, *lines]
    return [line for line in lines if line] or [""]


def _shortened(text: str, font: QFont, width: float, lines: int) -> tuple[str, ...]:
    metrics = QFontMetricsF(font)
    if lines == 1:
        return (metrics.elidedText(text, Qt.TextElideMode.ElideMiddle, width),)
    first = _longest_start(text, font, width)
    rest = text[len(first) :].strip()
    tail = Qt.TextElideMode.ElideMiddle if lines == 2 else Qt.TextElideMode.ElideRight
    return first.strip(), metrics.elidedText(rest, tail, width)


def _longest_start(text: str, font: QFont, width: float) -> str:
    """As many whole words as one line holds, or as many letters of the first word."""
    metrics = QFontMetricsF(font)
    low, high = 1, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if metrics.horizontalAdvance(text[:middle]) <= width:
            low = middle
        else:
            high = middle - 1
    head = text[:low].rpartition(" ")[0]
    return head if len(head) > low // 2 and low < len(text) else text[:low]
