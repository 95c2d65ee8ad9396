"""How a card of the workbasket is painted: the picture, the title, how far it is, and what waits."""

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QPen
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem

from stitchview.canvas.qtcolours import as_qt
from stitchview.ui.basketmodel import FACE, BasketModel, Face
from stitchview.ui.theme import Shades, shades_of

CARD = 236
PICTURE = QSize(212, 148)
PAD = 12
BAR = 5
RADIUS = 6
_LEFT = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)


class CardPainter(QStyledItemDelegate):
    """Paints the cards of a `BasketModel`."""

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        """Ask for the picture and four lines: every card is as large as any other."""
        bold, small = _fonts(option.font)
        words = QFontMetrics(bold).height() + 3 * QFontMetrics(small).height()
        return QSize(CARD, PICTURE.height() + words + BAR + 4 * PAD)

    def paint(
        self,
        painter: QPainter,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Paint a card."""
        face, model = index.data(FACE), index.model()
        if not isinstance(face, Face) or not isinstance(model, BasketModel):
            return
        rect: QRect = option.rect
        shades, state = shades_of(option.palette), option.state
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        _draw_ground(painter, rect.adjusted(5, 5, -5, -5), shades, state)
        inner = rect.adjusted(PAD, PAD, -PAD, -PAD)
        _draw_picture(painter, QRect(inner.topLeft(), PICTURE), model, face, shades)
        _write_words(painter, inner.adjusted(0, PICTURE.height() + 6, 0, 0), face, option.font, shades)
        painter.restore()


def _fonts(font: QFont) -> tuple[QFont, QFont]:
    bold, small = QFont(font), QFont(font)
    bold.setBold(True)
    small.setPointSizeF(font.pointSizeF() * 0.92 if font.pointSizeF() > 0 else 9)
    return bold, small


def _draw_ground(painter: QPainter, rect: QRect, shades: Shades, state: QStyle.StateFlag) -> None:
    chosen = bool(state & QStyle.StateFlag.State_Selected)
    over = bool(state & QStyle.StateFlag.State_MouseOver)
    painter.setBrush(as_qt(shades.hand if chosen or over else shades.base))
    painter.setPen(QPen(as_qt(shades.link if chosen else shades.hair), 2 if chosen else 1))
    painter.drawRoundedRect(rect, RADIUS, RADIUS)


def _draw_picture(painter: QPainter, room: QRect, model: BasketModel, face: Face, shades: Shades) -> None:
    painter.fillRect(room, as_qt(shades.alternate))
    picture = model.picture_of(face)
    if picture.isNull():
        painter.setPen(as_qt(shades.quiet))
        painter.drawText(room, int(Qt.AlignmentFlag.AlignCenter), "No picture yet")
        return
    size = picture.size().scaled(room.size(), Qt.AspectRatioMode.KeepAspectRatio)
    place = QRect(room.topLeft(), size)
    place.moveCenter(room.center())
    painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
    if not face.there:
        painter.setOpacity(0.45)
    painter.drawPixmap(place, picture)
    painter.setOpacity(1)


def _write_words(painter: QPainter, room: QRect, face: Face, font: QFont, shades: Shades) -> None:
    bold, small = _fonts(font)
    top = room.y()
    lines = ((face.title, bold, shades.text), (face.far, small, shades.text))
    for words, own, colour in lines:
        top += _write(painter, QRect(room.x(), top, room.width(), 0), words, (own, as_qt(colour)))
    bar = QRect(room.x(), top + 3, room.width(), BAR)
    painter.fillRect(bar, as_qt(shades.alternate))
    painter.setPen(QPen(as_qt(shades.edge), 1))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(bar)
    left = bar.width() * (100 - face.filled) // 100
    painter.fillRect(bar.adjusted(0, 0, -left, 0), as_qt(shades.done))
    colour = shades.quiet if face.there else shades.trouble
    rest = QRect(room.x(), bar.bottom() + 4, room.width(), 2 * QFontMetrics(small).height())
    painter.setFont(small)
    painter.setPen(as_qt(colour))
    painter.drawText(rest, int(Qt.AlignmentFlag.AlignLeft | Qt.TextFlag.TextWordWrap), face.waits)


def _write(painter: QPainter, room: QRect, words: str, pen: tuple[QFont, QColor]) -> int:
    """Write a line that is cut where it does not fit; gives its height."""
    font, colour = pen
    metrics = QFontMetrics(font)
    painter.setFont(font)
    painter.setPen(colour)
    line = QRect(room.x(), room.y(), room.width(), metrics.height())
    painter.drawText(line, _LEFT, metrics.elidedText(words, Qt.TextElideMode.ElideRight, room.width()))
    return metrics.height()
