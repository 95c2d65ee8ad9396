"""Draws one thread card: its title, and for each hole the number, symbol, colour, name and strands."""

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QFont, QImage, QPainter, QPen

from stitchview.canvas.cardtext import FittedWords, fitted
from stitchview.canvas.glyphs import GlyphPaths
from stitchview.canvas.qtcolours import as_qt
from stitchview.chart.colour import BLACK, WHITE, Colour
from stitchview.chart.model import UNTOLD, Chart, KeyEntry
from stitchview.plan.card import details_words, uses
from stitchview.plan.cardpages import Box, CardPlace, LabelPlace

UNITS = 100
"""Units of the painter to a millimetre: fonts and lines keep their places to a hundredth of one."""

# On white: the text 15 : 1, the small print 7 : 1, the warning 7 : 1; lines only divide.
_INK = Colour(0x22, 0x20, 0x1E)
_SMALL_PRINT = Colour(0x55, 0x51, 0x4C)
_WARNING = Colour(0x9A, 0x2B, 0x00)
_LINE = Colour(0xC9, 0xC5, 0xBD)
_EDGE = Colour(0x8D, 0x8B, 0x88)
_HEAD = Colour(0xF4, 0xF1, 0xEA)

_BOLD = QFont.Weight.DemiBold
_NUMBER_AT, _NUMBER_WIDE = 9.8, 9.0
_SYMBOL_AT, _SYMBOL_SIDE = 19.4, 7.6
_SWATCH_WIDE = 4.4
_WORDS_AT = _SYMBOL_AT + _SYMBOL_SIDE + _SWATCH_WIDE + 2.2
_RIGHT = 2.2
_SYMBOL_SIZE = 0.62


class CardFace:
    """Draws cards of a chart; made once for all its cards, for the symbols' outlines are kept.

    The painter's units are hundredths of a millimetre, see `UNITS`.
    """

    def __init__(self, chart: Chart) -> None:
        self._chart = chart
        self._uses = uses(chart)
        self._glyphs = GlyphPaths(chart.key, chart.attachments)
        self._pictures = [_picture(entry, chart) for entry in chart.key]
        self._title = chart.title or "Chart without a title"

    def draw(self, painter: QPainter, card: CardPlace) -> None:
        """Draw one card with its edge, all within it."""
        painter.setRenderHints(QPainter.RenderHint.Antialiasing | QPainter.RenderHint.SmoothPixmapTransform)
        painter.fillRect(_rect(card.head), as_qt(_HEAD))
        self._head(painter, card)
        for label in card.labels:
            self._label(painter, label)
        self._foot(painter, card)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(_pen(_EDGE, 0.2, Qt.PenStyle.DashLine))
        painter.drawRect(_rect(_shrunk(card.edge, 0.1)))

    def _head(self, painter: QPainter, card: CardPlace) -> None:
        room = _shrunk(Box(card.head.left + 3, card.head.top, card.head.width - 6, card.head.height), 0)
        title = fitted(self._title, room.width * UNITS, (520, 460, 400, 350, 300), 2, _BOLD)
        first, last = card.labels[0].hole.place, card.labels[-1].hole.place
        holes = f"holes {first} to {last}" if first != last else f"hole {first}"
        which = f"Thread card {card.number} of {card.of}" if card.of > 1 else "Thread card"
        below = fitted(f"{which} · {holes}", room.width * UNITS, (300, 260, 220))
        top = room.top * UNITS + (room.height * UNITS - title.height - below.height) / 2
        left, width = room.left * UNITS, room.width * UNITS
        _write(painter, title, QRectF(left, top, width, title.height), _INK)
        _write(painter, below, QRectF(left, top + title.height, width, below.height), _SMALL_PRINT)

    def _label(self, painter: QPainter, label: LabelPlace) -> None:
        row, entry = label.row, self._chart.key[label.hole.number - 1]
        painter.setPen(_pen(_LINE, 0.15))
        painter.drawLine(_point(row.left, row.top), _point(row.right, row.top))
        self._hole(painter, label)
        number = Box(row.left + _NUMBER_AT, row.top, _NUMBER_WIDE, row.height)
        words = fitted(str(label.hole.place), number.width * UNITS, (460, 400, 340), 1, _BOLD)
        room = QRectF(number.left * UNITS, 0, number.width * UNITS, words.height)
        room.moveTop((row.top + row.height / 2) * UNITS - words.height / 2)
        _write(painter, words, room, _INK, Qt.AlignmentFlag.AlignHCenter)
        self._symbol(painter, label)
        self._words(painter, label, entry)

    def _hole(self, painter: QPainter, label: LabelPlace) -> None:
        middle = _point(*label.middle)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(_pen(_EDGE, 0.25))
        painter.drawEllipse(middle, label.width / 2 * UNITS, label.width / 2 * UNITS)
        arm = 0.6 * UNITS
        painter.drawLine(middle - QPointF(arm, 0), middle + QPointF(arm, 0))
        painter.drawLine(middle - QPointF(0, arm), middle + QPointF(0, arm))

    def _symbol(self, painter: QPainter, label: LabelPlace) -> None:
        """The symbol as it stands in the chart, in black on white, and the thread's colour beside it."""
        side = min(_SYMBOL_SIDE, label.row.height - 1.6)
        top = label.row.top + (label.row.height - side) / 2
        box = _rect(Box(label.row.left + _SYMBOL_AT, top, side, side))
        swatch = QRectF(box.right(), box.top(), _SWATCH_WIDE * UNITS, box.height())
        index = label.hole.number - 1
        colour = self._chart.key[index].colour
        painter.fillRect(box, as_qt(WHITE))
        if colour != UNTOLD:
            painter.fillRect(swatch, as_qt(colour))
        else:
            painter.setPen(_pen(_LINE, 0.2))
            painter.drawLine(swatch.bottomLeft(), swatch.topRight())
        picture = self._pictures[index]
        if picture is not None:
            painter.drawImage(_within(box.adjusted(70, 70, -70, -70), picture), picture)
        else:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QBrush(as_qt(BLACK)))
            self._glyphs.draw(painter, index, box, _SYMBOL_SIZE)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(_pen(_EDGE, 0.2))
        painter.drawRect(box.united(swatch))
        painter.drawLine(box.topRight(), box.bottomRight())

    def _words(self, painter: QPainter, label: LabelPlace, entry: KeyEntry) -> None:
        row = label.row
        left = (row.left + _WORDS_AT) * UNITS
        width = (row.right - _RIGHT) * UNITS - left
        use = self._uses[label.hole.number - 1]
        text = entry.name or f"Thread of symbol {entry.symbol.text or entry.code}"
        name = fitted(text, width, (330, 300, 270, 240), 2, _BOLD)
        beware = fitted(_beware(label.hole.beware), width * 0.5, (250, 220, 200), 1, _BOLD)
        told, room = details_words(entry, use), width - beware.width - 100
        if label.hole.tested:
            told = f"{told} · {label.hole.tested}"
        details = fitted(told, room, (250, 230, 210, 190), 2 if len(name.lines) == 1 else 1)
        top = (row.top + row.height / 2) * UNITS - (name.height + details.height) / 2
        _write(painter, name, QRectF(left, top, width, name.height), _INK)
        top += name.height
        _write(painter, details, QRectF(left, top, width, details.height), _SMALL_PRINT)
        _write(
            painter, beware, QRectF(left, top, width, details.height), _WARNING, Qt.AlignmentFlag.AlignRight
        )

    def _foot(self, painter: QPainter, card: CardPlace) -> None:
        foot = card.foot
        painter.setPen(_pen(_LINE, 0.15))
        painter.drawLine(_point(foot.left, foot.top), _point(foot.right, foot.top))
        mixed = any(label.hole.beware for label in card.labels)
        text = "≈ looks like the thread in that hole" if mixed else self._title
        words = fitted(text, (foot.width - 6) * UNITS, (230, 200, 180))
        room = QRectF((foot.left + 3) * UNITS, 0, (foot.width - 6) * UNITS, words.height)
        room.moveTop((foot.top + foot.height / 2) * UNITS - words.height / 2)
        _write(painter, words, room, _WARNING if mixed else _SMALL_PRINT)


def _beware(holes: Sequence[int]) -> str:
    """Which holes hold a thread like this one, the nearest three."""
    if not holes:
        return ""
    more = " …" if len(holes) > 3 else ""
    return f"≈ {', '.join(map(str, holes[:3]))}{more}"


def _write(
    painter: QPainter,
    words: FittedWords,
    room: QRectF,
    ink: Colour,
    side: Qt.AlignmentFlag = Qt.AlignmentFlag.AlignLeft,
) -> None:
    painter.setPen(as_qt(ink))
    painter.setFont(words.font)
    for place, line in words.rooms(room):
        painter.drawText(place, int(side | Qt.AlignmentFlag.AlignVCenter), line)


def _picture(entry: KeyEntry, chart: Chart) -> QImage | None:
    """The symbol cut from paper as it was printed, None where there is none or it is no picture."""
    content = chart.attachments.get(entry.symbol.picture) if entry.symbol.picture else None
    image = QImage.fromData(content) if content is not None else QImage()
    return None if image.isNull() else image


def _within(room: QRectF, picture: QImage) -> QRectF:
    """The largest place in the middle of `room` with the picture's proportions."""
    scale = min(room.width() / picture.width(), room.height() / picture.height())
    place = QRectF(0, 0, picture.width() * scale, picture.height() * scale)
    place.moveCenter(room.center())
    return place


def _pen(colour: Colour, width: float, style: Qt.PenStyle = Qt.PenStyle.SolidLine) -> QPen:
    pen = QPen(as_qt(colour), width * UNITS, style)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    return pen


def _shrunk(box: Box, by: float) -> Box:
    return Box(box.left + by, box.top + by, box.width - 2 * by, box.height - 2 * by)


def _rect(box: Box) -> QRectF:
    return QRectF(box.left * UNITS, box.top * UNITS, box.width * UNITS, box.height * UNITS)


def _point(left: float, top: float) -> QPointF:
    return QPointF(left * UNITS, top * UNITS)
