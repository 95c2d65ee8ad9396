"""How one row of the key is painted: chip, name, small words, what is left, and a bar."""

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import (
    QAbstractItemModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QPointF,
    QRect,
    QRectF,
    QSize,
    QSizeF,
    Qt,
)
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem

from stitchview.canvas.qtcolours import as_qt
from stitchview.done.counts import in_halves
from stitchview.ui.chips import Chips, draw_chip
from stitchview.ui.keymodel import ROW, KeyModel, KeyRow
from stitchview.ui.theme import Shades, shades_of

PAD = 6
RING = 2
BAR = 4
HAND_MARK = 5
LEAST_CHIP = 24
IN_HAND = "in hand"
USUAL_COUNT = "0,000"


@dataclass(frozen=True, slots=True)
class Fonts:
    """The list's own font, and what is made of it."""

    name: QFont
    bold: QFont
    small: QFont

    @classmethod
    def of(cls, font: QFont) -> "Fonts":
        """Make them from the list's font."""
        bold, small = QFont(font), QFont(font)
        bold.setBold(True)
        small.setPointSizeF(font.pointSizeF() * 0.9 if font.pointSizeF() > 0 else 9)
        return cls(font, bold, small)

    @property
    def lines(self) -> tuple[int, int]:
        """How high the first and the second line are."""
        return QFontMetrics(self.bold).height(), QFontMetrics(self.small).height()


@dataclass(frozen=True, slots=True)
class Room:
    """Where the parts of a row go."""

    chip: QRectF
    first: QRect
    second: QRect
    bar: QRectF

    @classmethod
    def of(cls, row: QRect, fonts: Fonts) -> "Room":
        """Lay out a row."""
        inner = row.adjusted(HAND_MARK + PAD, PAD, -PAD - RING, -PAD)
        above, below = fonts.lines
        side = chip_side(fonts)
        chip = QRectF(inner.x(), inner.y() + (inner.height() - side) / 2, side, side)
        left = round(chip.right()) + PAD + 3
        first = QRect(left, inner.y(), inner.right() + 1 - left, above)
        second = QRect(left, first.bottom() + 1, first.width(), below)
        return cls(chip, first, second, QRectF(left, second.bottom() + 4, first.width(), BAR))


class KeyRowPainter(QStyledItemDelegate):
    """Paints the rows of a `KeyModel`."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._chips = Chips()
        self._measured: tuple[str, int] | None = None
        self._all_short = False

    def set_chips(self, chips: Chips) -> None:
        """Draw the chips of another chart or look."""
        self._chips = chips
        self._measured = None

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        """Ask for two lines and the bar; every row is as high as any other."""
        fonts = Fonts.of(option.font)
        height = max(chip_side(fonts), sum(fonts.lines) + 4 + BAR) + 2 * PAD
        return QSize(12 * QFontMetrics(fonts.name).averageCharWidth() + chip_side(fonts), height)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Paint a row."""
        row = index.data(ROW)
        if not isinstance(row, KeyRow):
            return
        rect: QRect = option.rect
        shades = shades_of(option.palette)
        fonts = Fonts.of(option.font)
        state: QStyle.StateFlag = option.state
        room = Room.of(rect, fonts)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        _draw_ground(painter, rect, row, shades, bool(state & QStyle.StateFlag.State_MouseOver))
        draw_chip(painter, self._chips, row.entry, room.chip, shades)
        right = _draw_counts(painter, room, row, fonts, shades)
        names = [row.short_name]
        if not self._shortens(index.model(), fonts, room.first.width()):
            names.insert(0, row.name)
        first, second = (line.adjusted(0, 0, -right, 0) for line in (room.first, room.second))
        _write(painter, fonts.bold if row.in_hand else fonts.name, as_qt(shades.text))
        painter.drawText(first, _LEFT, _fitting(names, painter.fontMetrics(), first.width()))
        _draw_small_words(painter, second, row, fonts.small, shades)
        _draw_bar(painter, room.bar, row, shades)
        if state & QStyle.StateFlag.State_HasFocus:
            _draw_ring(painter, rect, shades)
        painter.restore()

    def _shortens(self, model: QAbstractItemModel, fonts: Fonts, width: int) -> bool:
        """Whether more than one name in ten does not fit: all are short then, or the list would be ragged."""
        measured = fonts.name.key(), width
        if measured != self._measured and isinstance(model, KeyModel):
            self._measured = measured
            room = width - QFontMetrics(fonts.bold).horizontalAdvance(USUAL_COUNT) - PAD
            widths = sorted(map(QFontMetrics(fonts.name).horizontalAdvance, model.names))
            self._all_short = bool(widths) and widths[len(widths) * 9 // 10] > room
        return self._all_short


def chip_side(fonts: Fonts) -> int:
    """How large a chip is beside lines of these fonts."""
    return max(LEAST_CHIP, sum(fonts.lines))


def _draw_ground(painter: QPainter, rect: QRect, row: KeyRow, shades: Shades, hovered: bool) -> None:
    if row.in_hand:
        painter.fillRect(rect, as_qt(shades.hand))
        painter.fillRect(rect.x(), rect.y(), HAND_MARK, rect.height(), as_qt(shades.accent))
    elif hovered:
        painter.fillRect(rect, as_qt(shades.alternate))
    painter.fillRect(rect.x(), rect.bottom(), rect.width(), 1, as_qt(shades.hair))


def _draw_counts(painter: QPainter, room: Room, row: KeyRow, fonts: Fonts, shades: Shades) -> int:
    """Write what is left at the right; give how much of the width that takes."""
    if not row.stitches:
        return 0
    first, second = (
        ("done", f"{row.stitches:,}") if row.finished else (in_halves(row.to_go), f"of {row.stitches:,}")
    )
    above, below = QFontMetrics(fonts.bold), QFontMetrics(fonts.small)
    width = max(above.horizontalAdvance(first), below.horizontalAdvance(second))
    colour = shades.done if row.finished else shades.text
    right = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
    _write(painter, fonts.bold, as_qt(colour))
    painter.drawText(room.first, right, first)
    _write(painter, fonts.small, as_qt(shades.quiet))
    painter.drawText(room.second, right, second)
    if row.finished:
        side = above.ascent()
        left = room.first.right() - above.horizontalAdvance(first) - side - 3
        draw_tick(painter, QRectF(left, room.first.center().y() - side / 2, side, side), as_qt(colour))
        width = max(width, above.horizontalAdvance(first) + side + 3)
    return width + PAD


def _draw_small_words(painter: QPainter, room: QRect, row: KeyRow, font: QFont, shades: Shades) -> None:
    rest = _draw_badge(painter, room, font, shades) if row.in_hand else room
    _write(painter, font, as_qt(shades.quiet))
    painter.drawText(rest, _LEFT, _cut(row.small_words, font, rest.width()))


def _draw_badge(painter: QPainter, room: QRect, font: QFont, shades: Shades) -> QRect:
    """Write that the thread is in hand, as white on the accent; give the room that is left beside it."""
    width = min(QFontMetrics(font).horizontalAdvance(IN_HAND) + 2 * PAD, room.width())
    badge = QRect(room.x(), room.y(), width, room.height())
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(as_qt(shades.accent))
    painter.drawRoundedRect(badge, 3, 3)
    _write(painter, font, as_qt(shades.on_accent))
    painter.drawText(badge, Qt.AlignmentFlag.AlignCenter, _cut(IN_HAND, font, width))
    return room.adjusted(width + PAD, 0, 0, 0)


def _draw_bar(painter: QPainter, room: QRectF, row: KeyRow, shades: Shades) -> None:
    if not row.stitches:
        return
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(as_qt(shades.track))
    painter.drawRoundedRect(room, BAR / 2, BAR / 2)
    # Never quite full before the last stitch, and never quite empty after the first.
    share = row.done / row.stitches
    width = room.width() if row.finished else min(max(share * room.width(), BAR), room.width() - BAR)
    if row.done:
        painter.setBrush(as_qt(shades.done if row.finished else shades.accent))
        painter.drawRoundedRect(QRectF(room.x(), room.y(), width, BAR), BAR / 2, BAR / 2)
    _draw_other_states(painter, room, width if row.done else 0.0, row, shades)


def _draw_other_states(painter: QPainter, room: QRectF, start: float, row: KeyRow, shades: Shades) -> None:
    """Draw behind what is done: first legs half as high, later as dots, mistakes as upright strokes."""
    told, ink = row.progress, as_qt(shades.text)
    painter.setBrush(as_qt(shades.accent))
    place = room.x() + start
    for count, kind in ((told.first_legs, "half"), (told.later, "dots"), (told.mistakes, "strokes")):
        # Never invisible, never out of the bar.
        wide = min(max(count / row.stitches * room.width(), BAR), room.right() - place) if count else 0.0
        if wide <= 0:
            continue
        if kind == "half":
            painter.drawRect(QRectF(place, room.y() + BAR / 2, wide, BAR / 2))
        else:
            size = QSizeF(1.5, 1.5) if kind == "dots" else QSizeF(1.2, BAR + 2)
            steps = max(1, int(wide // 4))
            for step in range(steps):
                corner = QPointF(place + step * 4 + 1, room.center().y() - size.height() / 2)
                painter.fillRect(QRectF(corner, size), ink)
        place += wide


def draw_tick(painter: QPainter, room: QRectF, colour: QColor) -> None:
    """Draw a tick into a square."""
    pen = QPen(colour, max(1.6, room.width() * 0.15))
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    points = ((0.12, 0.55), (0.38, 0.82), (0.88, 0.22))
    painter.drawPolyline(
        QPolygonF([QPointF(room.x() + x * room.width(), room.y() + y * room.height()) for x, y in points])
    )


def _draw_ring(painter: QPainter, rect: QRect, shades: Shades) -> None:
    """Draw where the keyboard is: all round, inside the row."""
    painter.setPen(QPen(as_qt(shades.focus), RING))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    half = RING / 2
    painter.drawRect(QRectF(rect).adjusted(half, half, -half, -half - 1))


_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter


def _write(painter: QPainter, font: QFont, colour: QColor) -> None:
    painter.setFont(font)
    painter.setPen(colour)


def _fitting(names: Sequence[str], metrics: QFontMetrics, width: int) -> str:
    """The first name that fits, or the last, cut."""
    fits = (name for name in names if metrics.horizontalAdvance(name) <= width)
    return next(fits, "") or metrics.elidedText(names[-1], Qt.TextElideMode.ElideRight, width)


def _cut(text: str, font: QFont, width: int) -> str:
    return QFontMetrics(font).elidedText(text, Qt.TextElideMode.ElideRight, width)
