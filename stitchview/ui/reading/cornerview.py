"""Shows one picture of paper with the squares found in it, and four handles to correct its corners."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QPixmap, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from stitchview.canvas.qtcolours import as_qt
from stitchview.sheets.lattice import Lattice
from stitchview.sheets.onesheet import Preview
from stitchview.ui.reading.sheetmodel import image_of
from stitchview.ui.theme import shades_of

Points = NDArray[np.float64]
RADIUS = 9
REACH = 24
STEP, LARGE_STEP = 1, 10
NAMES = ("top left", "top right", "bottom right", "bottom left")
_INSET = 0.08
_ARROWS = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}


class CornerView(QWidget):
    """The picture as large as it fits; a corner is dragged, or moved by arrow keys after Space has chosen it.

    `moved` is called when a corner has been put elsewhere.
    """

    def __init__(self, moved: Callable[[], None]) -> None:
        super().__init__()
        self._moved = moved
        self._preview: Preview | None = None
        self._pixmap = QPixmap()
        self._lines: list[QPolygonF] = []
        self._corners: Points = np.zeros((4, 2))
        self._held: int | None = None
        self._dragging = False
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumSize(220, 200)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName("Picture of the sheet with its four corners")

    # What is shown

    def show_sheet(self, preview: Preview | None, lattice: Lattice | None, told: Points | None) -> None:
        """Show another picture, the squares found in it, and its corners: hers, the found ones, a guess."""
        if preview is not self._preview:
            self._preview, self._held = preview, None
            self._pixmap = QPixmap() if preview is None else QPixmap.fromImage(image_of(preview))
        self._lines = [] if preview is None or lattice is None else _lines_of(preview, lattice)
        if preview is not None:
            self._corners = _corners_of(preview, lattice, told)
        self._dragging = False
        self._describe()
        self.update()

    @property
    def corners(self) -> Points | None:
        """The four corners as they stand, (4, 2) in pixels of the whole picture; None without a picture."""
        return None if self._preview is None else self._preview.original(self._corners)

    def place_of(self, corner: int) -> QPointF:
        """Where a corner's handle stands on the widget."""
        picture = self._picture()
        x, y = self._corners[corner]
        scale = self._scale()
        return QPointF(picture.x() + (x + 0.5) * scale, picture.y() + (y + 0.5) * scale)

    def sizeHint(self) -> QSize:
        """Ask for room enough to see squares."""
        return QSize(420, 360)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the picture, the squares' lines, and the handles."""
        painter = QPainter(self)
        shades = shades_of(self.palette())
        painter.fillRect(self.rect(), as_qt(shades.track))
        if self._preview is None:
            painter.setPen(as_qt(shades.quiet))
            painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter, "No picture yet")
            painter.end()
            return
        painter.setRenderHints(
            QPainter.RenderHint.Antialiasing | QPainter.RenderHint.SmoothPixmapTransform, on=True
        )
        picture, scale = self._picture(), self._scale()
        painter.drawPixmap(picture, self._pixmap, QRectF(self._pixmap.rect()))
        painter.save()
        painter.translate(picture.topLeft())
        painter.scale(scale, scale)
        # Over paper of any shade one of the two can be seen.
        for colour, width in ((QColor(255, 255, 255, 150), 3.0), (QColor(0, 90, 160), 1.2)):
            painter.setPen(QPen(colour, width / scale))
            for line in self._lines:
                painter.drawPolyline(line)
        painter.restore()
        self._draw_handles(painter)
        painter.end()

    def _draw_handles(self, painter: QPainter) -> None:
        places = [self.place_of(corner) for corner in range(4)]
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(QColor(255, 255, 255), 3))
        painter.drawPolygon(places)
        painter.setPen(QPen(QColor(163, 84, 10), 1.5, Qt.PenStyle.DashLine))
        painter.drawPolygon(places)
        for corner, place in enumerate(places):
            held = corner == self._held and (self._dragging or self.hasFocus())
            painter.setPen(QPen(QColor(255, 255, 255), 4))
            painter.drawEllipse(place, RADIUS, RADIUS)
            painter.setPen(QPen(QColor(163, 84, 10), 3 if held else 2))
            painter.setBrush(QColor(242, 176, 76) if held else QColor(255, 255, 255, 90))
            painter.drawEllipse(place, RADIUS, RADIUS)
            painter.setBrush(Qt.BrushStyle.NoBrush)

    # Hands

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of the corner that is near."""
        if self._preview is None or event.button() is not Qt.MouseButton.LeftButton:
            return
        far = [_apart(self.place_of(corner), event.position()) for corner in range(4)]
        nearest = int(np.argmin(far))
        if far[nearest] <= REACH:
            self._held, self._dragging = nearest, True
            self.update()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Take the corner along."""
        if self._dragging and self._held is not None:
            picture, scale = self._picture(), self._scale()
            place = (event.position() - picture.topLeft()) / scale
            self._put(self._held, place.x() - 0.5, place.y() - 0.5)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Leave the corner where it is."""
        if self._dragging:
            self._dragging = False
            self.update()
            self._moved()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Space goes from corner to corner, the arrows move one, with Shift by more."""
        if self._preview is not None and event.key() == Qt.Key.Key_Space:
            self._held = 0 if self._held is None else (self._held + 1) % 4
            self._describe()
            self.update()
        elif self._preview is not None and self._held is not None and event.key() in _ARROWS:
            across, down = _ARROWS[Qt.Key(event.key())]
            large = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
            step = (LARGE_STEP if large else STEP) / self._scale()
            x, y = self._corners[self._held]
            self._put(self._held, x + across * step, y + down * step)
            self._moved()
        else:
            super().keyPressEvent(event)

    def _put(self, corner: int, x: float, y: float) -> None:
        if self._preview is None:
            return
        high, wide = self._preview.colour.shape[:2]
        self._corners[corner] = min(max(x, 0.0), wide - 1.0), min(max(y, 0.0), high - 1.0)
        self._describe()
        self.update()

    def _describe(self) -> None:
        if self._held is None:
            self.setAccessibleDescription("Space chooses a corner, arrow keys move it")
            return
        x, y = self._corners[self._held]
        self.setAccessibleDescription(f"Corner {NAMES[self._held]} at {x:.0f}, {y:.0f}")

    def _scale(self) -> float:
        """Widget pixels a preview pixel."""
        wide, high = self._pixmap.width(), self._pixmap.height()
        room = self.width() - 2 * RADIUS, self.height() - 2 * RADIUS
        return max(1e-3, min(room[0] / max(1, wide), room[1] / max(1, high)))

    def _picture(self) -> QRectF:
        scale = self._scale()
        wide, high = self._pixmap.width() * scale, self._pixmap.height() * scale
        return QRectF((self.width() - wide) / 2, (self.height() - high) / 2, wide, high)


def _corners_of(preview: Preview, lattice: Lattice | None, told: Points | None) -> Points:
    if told is not None:
        return preview.shown(told)
    if lattice is not None:
        nodes = lattice.nodes
        return preview.shown(np.array([nodes[0, 0], nodes[0, -1], nodes[-1, -1], nodes[-1, 0]]))
    high, wide = preview.colour.shape[:2]
    left, top, right, bottom = wide * _INSET, high * _INSET, wide * (1 - _INSET), high * (1 - _INSET)
    return np.array([(left, top), (right, top), (right, bottom), (left, bottom)])


def _lines_of(preview: Preview, lattice: Lattice) -> list[QPolygonF]:
    """Every tenth line and the edges, as the lattice bends."""
    nodes = preview.shown(lattice.nodes)
    columns = sorted({*range(0, lattice.columns, 10), lattice.columns})
    rows = sorted({*range(0, lattice.rows, 10), lattice.rows})
    ways = [nodes[:, column] for column in columns] + [nodes[row] for row in rows]
    return [QPolygonF([QPointF(float(x) + 0.5, float(y) + 0.5) for x, y in way]) for way in ways]


def _apart(one: QPointF, other: QPointF) -> float:
    return float(np.hypot(one.x() - other.x(), one.y() - other.y()))
