"""The program's own icons, tinted in the colours of the theme and drawn sharp at any size."""

import re
from functools import lru_cache

from PySide6.QtCore import QByteArray, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QIcon, QIconEngine, QPainter, QPalette, QPixmap
from PySide6.QtSvg import QSvgRenderer

from stitchview.chart.shipped import shipped

# The icons are drawn in this one colour, so that it can be changed; longer ones only begin like it.
_INK = re.compile(rb"#000(?![0-9A-Fa-f])")
MOST_KEPT = 256


def icon(name: str, palette: QPalette) -> QIcon:
    """Give the icon `resources/icons/<name>.svg` in the text colours of `palette`.

    Ask again when the theme has changed. Raises `StitchviewError` when the program was installed
    without it.
    """
    normal, disabled = (
        palette.color(group, QPalette.ColorRole.WindowText).name()
        for group in (QPalette.ColorGroup.Active, QPalette.ColorGroup.Disabled)
    )
    return _tinted(name, normal, disabled)


@lru_cache(MOST_KEPT)
def _tinted(name: str, normal: str, disabled: str) -> QIcon:
    return QIcon(_Tinted(_drawing(name), normal, disabled))


@lru_cache(MOST_KEPT)
def _drawing(name: str) -> bytes:
    return shipped(f"resources/icons/{name}.svg").read_bytes()


class _Tinted(QIconEngine):
    """Draws one icon anew for each size and scaling of the screen that is asked for, and keeps it."""

    def __init__(self, svg: bytes, normal: str, disabled: str) -> None:
        super().__init__()
        self._svg, self._normal, self._disabled = svg, normal, disabled
        self._pixmaps: dict[tuple[int, int, bool, float], QPixmap] = {}

    def clone(self) -> QIconEngine:
        """Make another of the same, as `QIcon` wants before it is altered."""
        return _Tinted(self._svg, self._normal, self._disabled)

    def paint(self, painter: QPainter, rect: QRect, mode: QIcon.Mode, state: QIcon.State) -> None:
        """Draw it where it is wanted."""
        self._renderer(mode).render(painter, QRectF(rect))

    def pixmap(self, size: QSize, mode: QIcon.Mode, state: QIcon.State) -> QPixmap:
        """Give it in `size` device pixels."""
        return self.scaledPixmap(size, mode, state, 1.0)

    def scaledPixmap(self, size: QSize, mode: QIcon.Mode, state: QIcon.State, scale: float) -> QPixmap:
        """Give it in `size` logical pixels of a screen scaled by `scale`."""
        wanted = size.width(), size.height(), mode == QIcon.Mode.Disabled, scale
        pixmap = self._pixmaps.get(wanted)
        if pixmap is None:
            pixmap = self._pixmaps[wanted] = self._drawn(size * scale, mode)
        return pixmap

    def _drawn(self, size: QSize, mode: QIcon.Mode) -> QPixmap:
        pixmap = QPixmap(size)
        pixmap.fill(Qt.GlobalColor.transparent)
        painter = QPainter(pixmap)
        self._renderer(mode).render(painter, QRectF(0, 0, size.width(), size.height()))
        painter.end()
        return pixmap

    def _renderer(self, mode: QIcon.Mode) -> QSvgRenderer:
        ink = self._disabled if mode == QIcon.Mode.Disabled else self._normal
        renderer = QSvgRenderer(QByteArray(_INK.sub(ink.encode("ascii"), self._svg)))
        renderer.setAspectRatioMode(Qt.AspectRatioMode.KeepAspectRatio)
        return renderer
