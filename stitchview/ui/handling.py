"""What hands do on the canvas, the rulers and the overview, put to work on the bench."""

from typing import Protocol

from PySide6.QtCore import QPoint

from stitchview.canvas.hands import Tool
from stitchview.canvas.touch import Spot, Touch
from stitchview.follow.band import Edge
from stitchview.ui.bench import Bench
from stitchview.ui.marking import Marking
from stitchview.ui.pointer import Square


class Door(Protocol):
    """Who shows what hands have altered."""

    def show(self) -> None:
        """Show everything as it is now."""

    def tell_place(self) -> None:
        """Tell where the pointer is."""

    def open_menu(self, square: Square, place: QPoint) -> None:
        """Open the menu of a square at a place of the screen."""


class Handling:
    """Listens to hands, rulers and overview of one sitting."""

    def __init__(self, bench: Bench, marking: Marking, door: Door) -> None:
        self._bench, self._marking, self._door = bench, marking, door

    def touched(self, touch: Touch, unpick: bool) -> bool:
        """Mark or unpick what was touched; whether anything altered."""
        self._bench.pointer.set_corner(None)
        altered = self._marking.touch(touch, unpick)
        self._door.show()
        return altered

    def touch_taken_back(self) -> None:
        """Take back the touch just made: it was the first half of a double click."""
        self._marking.withdraw()
        self._door.show()

    def pointed_at(self, spot: Spot | None) -> None:
        """Take note of where the pointer is."""
        before = self._bench.pointer.square
        self._bench.pointer.hover(spot)
        if self._bench.pointer.square != before:
            self._door.tell_place()

    def band_edge_dragged(self, edge: Edge, line: int) -> None:
        """Put an edge of the band on another line."""
        self._bench.band.drag_edge(edge, line)
        self._door.show()

    def band_moved_to(self, first_column: int | None, first_row: int | None) -> None:
        """Let the band begin at another column or row."""
        self._bench.band.move_to(first_column, first_row)
        self._door.show()

    def band_called_to(self, column: int, row: int) -> None:
        """Bring the band to a square."""
        self._bench.band.call_to(column, row)
        self._door.show()

    def tool_used_up(self) -> None:
        """Take up the tool before the region again."""
        if self._bench.holding.tool is Tool.REGION:
            self._bench.holding.region()
        self._door.show()

    def menu_asked(self, spot: Spot, place: QPoint) -> None:
        """Open the menu of the square under a spot."""
        self._door.open_menu(spot.square, place)

    def look_at(self, x: float, y: float) -> None:
        """Put a point of the chart, in squares, in the middle."""
        self._bench.canvas.drift_to(x, y)
