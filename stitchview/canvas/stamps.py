"""Small pictures of signs, drawn once and set down again and again."""

from collections.abc import Callable

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QPainter, QPixmap

MOST_STAMPS = 3000


class Stamps:
    """Small pictures of signs, drawn once and then set down on whole pixels: what is drawn anew fits so."""

    def __init__(self) -> None:
        self._kept: dict[tuple[object, ...], QPixmap] = {}

    def stamp(self, name: tuple[object, ...], size: QSize, drawing: Callable[[QPainter], None]) -> QPixmap:
        """Give the picture called `name`, drawn by `drawing` if it is not there yet."""
        found = self._kept.get(name)
        if found is None:
            if len(self._kept) >= MOST_STAMPS:
                self._kept.clear()
            found = QPixmap(size)
            found.fill(Qt.GlobalColor.transparent)
            painter = QPainter(found)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            drawing(painter)
            painter.end()
            self._kept[name] = found
        return found
