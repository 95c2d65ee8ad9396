"""A picture of a thread card, on which the colour of a thread is pointed out."""

from collections.abc import Callable

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QPixmap
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QLabel,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from stitchview.canvas.qtcolours import as_qt
from stitchview.sheets.cardcolour import colour_around
from stitchview.sheets.onesheet import preview_of
from stitchview.sheets.paperpicture import PaperPicture
from stitchview.ui.reading.sheetmodel import image_of
from stitchview.ui.screenroom import open_at
from stitchview.ui.theme import shades_of

SIZE = QSize(760, 520)
HOW = (
    "Press on the thread, or move the ring with the arrow keys (with Shift by more). A photograph taken by "
    "daylight, without flash, shows colours best."
)
REACH = 0.008
_ARROWS = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}


class CardPicture(QDialog):
    """`use` is called with the colour that was taken."""

    def __init__(self, picture: PaperPicture, use: Callable[[QColor], None], parent: QWidget) -> None:
        super().__init__(parent)
        self._use = use
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("Colour from a picture")
        self._patch, self._said = QLabel(), QLabel()
        self._patch.setFixedSize(64, 44)
        self.pointed = PointedPicture(picture, self._pointed)
        how = QLabel(HOW)
        how.setWordWrap(True)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        self.take_button = buttons.addButton("&Take this colour", QDialogButtonBox.ButtonRole.AcceptRole)
        buttons.accepted.connect(self._take)
        buttons.rejected.connect(self.reject)
        foot = QHBoxLayout()
        for part in (self._patch, self._said):
            foot.addWidget(part)
        foot.addStretch(1)
        foot.addWidget(buttons)
        outer = QVBoxLayout(self)
        outer.addWidget(how)
        outer.addWidget(self.pointed, 1)
        outer.addLayout(foot)
        open_at(self, SIZE)
        self._pointed()
        self.pointed.setFocus()

    def _pointed(self) -> None:
        colour = self.pointed.colour
        pixmap = QPixmap(self._patch.size())
        pixmap.fill(colour)
        self._patch.setPixmap(pixmap)
        self._said.setText(colour.name())

    def _take(self) -> None:
        self._use(self.pointed.colour)
        self.accept()


class PointedPicture(QWidget):
    """The picture as large as it fits, a ring around what is taken; `pointed` is called when it moves."""

    def __init__(self, picture: PaperPicture, pointed: Callable[[], None]) -> None:
        super().__init__()
        self._pointed = pointed
        self._preview = preview_of(picture)
        self._pixmap = QPixmap.fromImage(image_of(self._preview))
        self._place = QPointF(self._pixmap.width() / 2, self._pixmap.height() / 2)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(200, 160)
        self.setAccessibleName("Picture of the thread card")

    @property
    def colour(self) -> QColor:
        """The colour inside the ring."""
        red, green, blue = colour_around(self._preview.colour, self._place.x(), self._place.y(), self._reach)
        return QColor(red, green, blue)

    @property
    def _reach(self) -> float:
        return max(2.0, REACH * max(self._pixmap.width(), self._pixmap.height()))

    def place_of(self, x: float, y: float) -> QPointF:
        """Where a pixel of the shown picture stands on the widget."""
        room, scale = self._room()
        return QPointF(room.x() + x * scale, room.y() + y * scale)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the picture and the ring."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), as_qt(shades_of(self.palette()).track))
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        room, scale = self._room()
        painter.drawPixmap(room, self._pixmap, QRectF(self._pixmap.rect()))
        reach = max(6.0, self._reach * scale)
        place = self.place_of(self._place.x(), self._place.y())
        for colour, width in ((QColor(255, 255, 255), 5), (QColor(0, 0, 0), 2)):
            painter.setPen(QPen(colour, width))
            painter.drawEllipse(place, reach, reach)
        painter.end()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Put the ring where it is pressed."""
        self.mouseMoveEvent(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Take the ring along."""
        room, scale = self._room()
        place = (event.position() - room.topLeft()) / scale
        self._put(place.x(), place.y())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The arrows move the ring."""
        if event.key() not in _ARROWS:
            super().keyPressEvent(event)
            return
        across, down = _ARROWS[Qt.Key(event.key())]
        step = self._reach * (5 if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1)
        self._put(self._place.x() + across * step, self._place.y() + down * step)

    def _put(self, x: float, y: float) -> None:
        wide, high = self._pixmap.width(), self._pixmap.height()
        self._place = QPointF(min(max(x, 0.0), wide - 1.0), min(max(y, 0.0), high - 1.0))
        self.setAccessibleDescription(self.colour.name())
        self._pointed()
        self.update()

    def _room(self) -> tuple[QRectF, float]:
        """Where the picture stands, and widget pixels a pixel of it."""
        wide, high = max(1, self._pixmap.width()), max(1, self._pixmap.height())
        scale = max(1e-3, min(self.width() / wide, self.height() / high))
        left, top = (self.width() - wide * scale) / 2, (self.height() - high * scale) / 2
        return QRectF(left, top, wide * scale, high * scale), scale
