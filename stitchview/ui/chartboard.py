"""The chart in the middle of the window: the canvas between its rulers, and the overview beside it."""

from typing import Protocol

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QGridLayout, QWidget

from stitchview.canvas.chartcanvas import ChartCanvas
from stitchview.canvas.looks import Look
from stitchview.canvas.view import View
from stitchview.done.change import Change
from stitchview.follow.numbering import Numbering
from stitchview.ui.bandwork import BandWork
from stitchview.ui.bench import Bench
from stitchview.ui.handling import Handling
from stitchview.ui.pointer import Square


class BoardListener(Protocol):
    """Who takes keys that the canvas leaves."""

    def give_up(self) -> bool:
        """Give up what is under way by key; whether there was anything."""


class ChartBoard(QWidget):
    """Lays canvas and rulers out, and hands on to them what changes."""

    def __init__(self, bench: Bench, handling: Handling, listener: BoardListener) -> None:
        super().__init__()
        self._bench, self._listener = bench, listener
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setSpacing(0)
        grid.addWidget(bench.canvas, 1, 1)
        bench.canvas.setAccessibleName("Chart")
        self.setFocusProxy(bench.canvas)
        self.overview = QWidget()

    @property
    def canvas(self) -> ChartCanvas:
        """The canvas in the middle."""
        return self._bench.canvas

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Give up on Escape what a key began; without anything to give up it goes on to the window."""
        if event.key() == Qt.Key.Key_Escape and self._listener.give_up():
            return
        super().keyPressEvent(event)

    def set_alone(self, alone: bool) -> None:
        """Show the canvas without rulers, or with them."""

    def set_numbering(self, numbering: Numbering) -> None:
        """Count otherwise."""

    def show_band(self, look: Look, band: BandWork) -> None:
        """Show another look or band."""

    def view_changed(self, view: View) -> None:
        """Follow the view."""

    def marks_changed(self, change: Change) -> None:
        """Follow the marks."""

    def point_at(self, square: Square | None) -> None:
        """Point at a square on the rulers."""
