"""Which square is meant: the one under mouse or finger, or the one under the keyboard."""

from dataclasses import replace

from stitchview.canvas.chartcanvas import ChartCanvas
from stitchview.canvas.touch import Spot
from stitchview.chart.area import Area, spanning
from stitchview.chart.turning import Turn

Square = tuple[int, int]


class Pointer:
    """The two pointers on a canvas; whichever moved last is the one that is meant."""

    def __init__(self, canvas: ChartCanvas) -> None:
        self._canvas = canvas
        self._pixel: tuple[float, float] | None = None
        self._corner: Square | None = None
        self._by_keys = False

    @property
    def spot(self) -> Spot | None:
        """Where mouse or finger is, if it is on the canvas; a chart moved under it makes another spot."""
        return None if self._pixel is None else Spot(*self._canvas.view.exact_at(*self._pixel))

    @property
    def turn(self) -> Turn:
        """How the chart under the pointers is seen turned."""
        return self._canvas.view.turn

    @property
    def cursor(self) -> Square | None:
        """The square under the keyboard, if the keyboard pointer has been used."""
        return self._canvas.showing.pointers.cursor

    @property
    def corner(self) -> Square | None:
        """The first corner of a rectangle set by key, until the second is."""
        return self._corner

    @property
    def square(self) -> Square | None:
        """The square meant, None if neither pointer is on the chart."""
        spot = self.spot
        under = spot.square if spot is not None else None
        if under is not None and not self._chart_area.holds(*under):
            under = None
        return self.cursor or under if self._by_keys else under or self.cursor

    @property
    def square_or_middle(self) -> Square:
        """The square meant, and without one that in the middle of what is shown."""
        if self.square is not None:
            return self.square
        x, y = self._canvas.view.centre
        return self._on_chart(int(x), int(y))

    def hover(self, spot: Spot | None) -> None:
        """Follow mouse or finger."""
        view = self._canvas.view
        self._pixel = None
        if spot is not None:
            self._pixel = view.exact_pixel_of(spot.x, spot.y)
            self._by_keys = False

    def show(self) -> bool:
        """Bring the keyboard pointer into the window; whether it was there to be seen already."""
        cursor = self.cursor
        if cursor is None:
            self.put(*self.square_or_middle)
            return False
        self._by_keys = True
        seen = self._canvas.view.area.holds(*cursor)
        self._canvas.reveal(Area(*cursor, 1, 1))
        return seen

    def step(self, across: int, down: int) -> None:
        """Move the keyboard pointer by squares as they are seen; the view follows."""
        if self.cursor is None:
            self.show()
            return
        column, row = self.cursor
        across, down = self.turn.back.step(across, down)
        self.put(column + across, row + down)

    def put(self, column: int, row: int) -> None:
        """Put the keyboard pointer on a square of the chart; the view follows."""
        self._by_keys = True
        cursor = self._on_chart(column, row)
        self._canvas.set_pointers(replace(self._canvas.showing.pointers, cursor=cursor))
        self._show_stretched()
        self._canvas.reveal(Area(*cursor, 1, 1))

    def restore(self, cursor: Square | None) -> None:
        """Put the keyboard pointer where it was, without looking there."""
        if cursor is None or self._chart_area.holds(*cursor):
            self._canvas.set_pointers(replace(self._canvas.showing.pointers, cursor=cursor))

    def set_corner(self, corner: Square | None) -> None:
        """Set the first corner of a rectangle, or give it up."""
        self._corner = corner
        self._show_stretched()

    def give_up(self) -> bool:
        """Give up a corner, and without one the keyboard pointer; whether there was anything to give up."""
        if self._corner is not None:
            self.set_corner(None)
            return True
        there, self._by_keys = self.cursor is not None, False
        self._canvas.set_pointers(replace(self._canvas.showing.pointers, cursor=None))
        return there

    def recall(self, area: Area | None) -> None:
        """Point out an area, or nothing any more."""
        self._canvas.set_pointers(replace(self._canvas.showing.pointers, recalled=area))

    @property
    def _chart_area(self) -> Area:
        return Area(0, 0, self._canvas.view.columns, self._canvas.view.rows)

    def _on_chart(self, column: int, row: int) -> Square:
        area = self._chart_area
        return min(max(column, 0), area.columns - 1), min(max(row, 0), area.rows - 1)

    def _show_stretched(self) -> None:
        stretched = None
        if self._corner is not None and self.cursor is not None:
            stretched = spanning(self._corner, self.cursor)
        self._canvas.set_pointers(replace(self._canvas.showing.pointers, stretched=stretched))
