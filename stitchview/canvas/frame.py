"""The pointers: rims around the squares that are pointed at."""

from dataclasses import dataclass, replace

from PySide6.QtCore import QRect
from PySide6.QtGui import QColor, QPainter, QPen

from stitchview.canvas.looks import Ground
from stitchview.canvas.qtcolours import as_qt
from stitchview.canvas.touch import Preview
from stitchview.canvas.view import View
from stitchview.chart.area import Area


@dataclass(frozen=True, slots=True)
class Pointers:
    """What is pointed at: the square under the keyboard, what a gesture would take, the last marks made.

    `called` is the run that is called out to be worked now.
    """

    cursor: tuple[int, int] | None = None
    stretched: Area | None = None
    swept: tuple[tuple[int, int], ...] = ()
    recalled: Area | None = None
    called: Area | None = None

    @property
    def areas(self) -> list[Area]:
        """Everything that is pointed at."""
        areas = [area for area in (self.stretched, self.recalled, self.called) if area is not None]
        if self.cursor is not None:
            areas.append(Area(*self.cursor, 1, 1))
        return areas + [Area(column, row, 1, 1) for column, row in self.swept]


NOTHING_POINTED_AT = Pointers()


def with_preview(pointers: Pointers, preview: Preview) -> Pointers:
    """Give the pointers with what a gesture would take now in place of what it would have taken."""
    return replace(pointers, stretched=preview.area, swept=preview.path)


def draw_pointers(painter: QPainter, view: View, pointers: Pointers, ground: Ground) -> None:
    """Draw the pointers: rims outside their squares, so that no symbol is hidden."""
    if pointers == NOTHING_POINTED_AT:
        return
    ink, paper = as_qt(ground.pointer), as_qt(ground.paper)
    if pointers.recalled is not None:
        room = QRect(*view.pixels_of(pointers.recalled))
        rim(painter, room, 4, ink)
        rim(painter, room.adjusted(-4, -4, 4, 4), 2, paper)
    if pointers.called is not None:
        room = QRect(*view.pixels_of(pointers.called))
        rim(painter, room, 3, as_qt(ground.edge))
        rim(painter, room.adjusted(-3, -3, 3, 3), 2, paper)
    if pointers.stretched is not None:
        _stretched(painter, QRect(*view.pixels_of(pointers.stretched)), ink, paper)
    if pointers.swept:
        _swept(painter, view, pointers.swept, ink, paper)
    if pointers.cursor is not None:
        room = QRect(*view.pixels_of(Area(*pointers.cursor, 1, 1)))
        rim(painter, room, 2, ink)
        rim(painter, room.adjusted(-2, -2, 2, 2), 1, paper)


def reach_of_pointers() -> int:
    """Give how many pixels beyond its squares a pointer or an edge is drawn, at most."""
    return 8


def _stretched(painter: QPainter, room: QRect, ink: QColor, paper: QColor) -> None:
    wash = QColor(ink)
    wash.setAlpha(40)
    painter.fillRect(room, wash)
    # No dashes: Qt begins them where its clipping does, so a piece drawn anew would not fit.
    rim(painter, room, 2, ink)
    rim(painter, room.adjusted(-2, -2, 2, 2), 1, paper)


def _swept(
    painter: QPainter, view: View, squares: tuple[tuple[int, int], ...], ink: QColor, paper: QColor
) -> None:
    shown = view.area.grown(1)
    for column, row in squares:
        if shown.holds(column, row):
            room = QRect(*view.pixels_of(Area(column, row, 1, 1)))
            painter.setPen(QPen(paper, 3))
            painter.drawRect(room.adjusted(1, 1, -2, -2))
            painter.setPen(QPen(ink, 1))
            painter.drawRect(room.adjusted(1, 1, -2, -2))


def rim(painter: QPainter, room: QRect, width: int, ink: QColor) -> None:
    """Draw a rim of `width` pixels around a rectangle, outside it."""
    x, y, wide, high = room.x(), room.y(), room.width(), room.height()
    painter.fillRect(x - width, y - width, wide + 2 * width, width, ink)
    painter.fillRect(x - width, y + high, wide + 2 * width, width, ink)
    painter.fillRect(x - width, y, width, high, ink)
    painter.fillRect(x + wide, y, width, high, ink)
