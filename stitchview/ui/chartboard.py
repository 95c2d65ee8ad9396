"""The chart in the middle of the window: the canvas between its rulers, and the overview beside it."""

from typing import Protocol

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QGridLayout, QWidget

from stitchview.canvas.chartcanvas import ChartCanvas
from stitchview.canvas.looks import Look
from stitchview.canvas.overview import Overview
from stitchview.canvas.rulers import Ruler
from stitchview.canvas.topsign import TopSign
from stitchview.canvas.view import View
from stitchview.chart.turning import UPRIGHT
from stitchview.done.change import Change
from stitchview.follow.band import Band
from stitchview.follow.numbering import Numbering
from stitchview.ui.bench import Bench
from stitchview.ui.handling import Handling
from stitchview.ui.pointer import Square
from stitchview.ui.unmet import unmet_words


class BoardListener(Protocol):
    """Who takes keys that the canvas leaves."""

    def give_up(self) -> bool:
        """Give up what is under way by key; whether there was anything."""

    def hint(self, sentence: str) -> None:
        """Say a sentence over the chart for a moment."""


class ChartBoard(QWidget):
    """Lays canvas and rulers out, and hands on to them what changes."""

    def __init__(self, bench: Bench, handling: Handling, listener: BoardListener) -> None:
        super().__init__()
        self._bench, self._listener = bench, listener
        self._corner = TopSign()
        self._top = Ruler(Qt.Orientation.Horizontal, handling)
        self._left = Ruler(Qt.Orientation.Vertical, handling)
        self.overview = Overview(bench.canvas, handling)
        self._grid = grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setSpacing(0)
        for part, row, column in (
            (self._corner, 0, 0),
            (self._top, 0, 1),
            (self._left, 1, 0),
            (bench.canvas, 1, 1),
        ):
            grid.addWidget(part, row, column)
        self.alone, self._turn = False, UPRIGHT
        bench.canvas.setAccessibleName("Chart")
        self.setFocusProxy(bench.canvas)

    @property
    def canvas(self) -> ChartCanvas:
        """The canvas in the middle."""
        return self._bench.canvas

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Give up on Escape what a key began, and say what a key lacks; others go on to the window."""
        if event.key() == Qt.Key.Key_Escape and self._listener.give_up():
            return
        lacking = unmet_words(self.window().actions(), event)
        if lacking:
            self._listener.hint(lacking)
            return
        super().keyPressEvent(event)

    def set_alone(self, alone: bool) -> None:
        """Show the canvas without rulers, or with them."""
        self.alone = alone
        for part in (self._top, self._left):
            part.setVisible(not alone)
        self._place_corner()

    def set_numbering(self, numbering: Numbering) -> None:
        """Count otherwise."""
        for ruler in (self._top, self._left):
            ruler.set_numbering(numbering)

    def show_band(self, look: Look, band: Band | None) -> None:
        """Show another look or band."""
        self._corner.set_look(look)
        for ruler in (self._top, self._left):
            ruler.set_look(look)
            ruler.set_band(band)
        self.overview.showing_changed()

    def view_changed(self, view: View) -> None:
        """Follow the view."""
        if view.turn != self._turn:
            self._turn = view.turn
            self._corner.set_turn(view.turn)
            self._place_corner()
        for ruler in (self._top, self._left):
            ruler.set_view(view)
        self.overview.view_changed(view)

    def marks_changed(self, change: Change) -> None:
        """Follow the marks."""
        self.overview.marks_changed(change)

    def point_at(self, square: Square | None) -> None:
        """Point at a square on the rulers."""
        for ruler in (self._top, self._left):
            ruler.point_at(square)

    def _place_corner(self) -> None:
        """Put the sign of the top between the rulers, or on the chart where that is alone and turned."""
        self._corner.set_framed(self.alone)
        if self.alone:
            self._grid.removeWidget(self._corner)
            self._corner.move(8, 8)
            self._corner.raise_()
        else:
            self._grid.addWidget(self._corner, 0, 0)
        self._corner.setVisible(not self.alone or not self._turn.upright)
