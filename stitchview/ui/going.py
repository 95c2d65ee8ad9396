"""Where one looks: pans and zooms by key, the whole chart, the band's width, and what is kept of a view."""

import math
from dataclasses import dataclass, replace

from stitchview.canvas.chartcanvas import ChartCanvas
from stitchview.canvas.view import LARGEST_FRACTION, SMALLEST_PITCH, View, snapped
from stitchview.chart.area import Area
from stitchview.ui.bandwork import BandWork
from stitchview.ui.pointer import Pointer

# The share of the window that stays free around the whole chart.
MARGIN = 0.03
# A key press looks about a tenth of the window further.
STEPS_ACROSS = 10
# Logical pixels a square to which a narrow band is zoomed at most.
LARGEST_IN_BAND = 48


@dataclass(frozen=True, slots=True)
class Spectacles:
    """A view to come back to: the point in the middle, in squares, and a square's size in logical pixels."""

    column: float
    row: float
    pitch: float


class Going:
    """Moves the view of one canvas, and keeps its middle where it was when the window changes its size."""

    def __init__(self, canvas: ChartCanvas, pointer: Pointer, band: BandWork) -> None:
        self._canvas, self._pointer, self._band = canvas, pointer, band
        self._middle = canvas.view.centre
        self._size = (0, 0)
        self._last = canvas.view

    @property
    def spectacles(self) -> Spectacles:
        """The view as it is kept."""
        return Spectacles(*self._middle, self._canvas.view.pitch / self._canvas.devicePixelRatioF())

    def restore(self, kept: Spectacles) -> None:
        """Look exactly where one looked when the chart was closed."""
        view = replace(self._canvas.view, pitch=_drawable(kept.pitch * self._canvas.devicePixelRatioF()))
        self._canvas.go_to(view.centred(kept.column, kept.row))
        self._middle = (kept.column, kept.row)

    def view_changed(self, view: View) -> None:
        """Take note of where one looks; a window that changed its size looks at the same middle still.

        Where it showed the whole chart as large as it fitted, it does so again.
        """
        before, self._last = self._last, view
        if self._size in ((view.width, view.height), (0, 0)):
            self._size, self._middle = (view.width, view.height), view.centre
            return
        middle, self._size = self._middle, (view.width, view.height)
        if (margin := _margin_around_all(before)) is not None:
            # It is no jump to come back from, so it is not gone to.
            self._canvas.view = view.showing(_all_of(view), margin)
            self._canvas.update()
            self._last, self._middle = self._canvas.view, self._canvas.view.centre
            return
        wanted = view.centred(*middle)
        self._canvas.pan_by(wanted.left - view.left, wanted.top - view.top)
        # Whole pixels are nearest to the middle, not on it: many sizes later it must not have wandered.
        self._middle = middle

    def pan(self, across: int, down: int) -> None:
        """Look so many tenths of the window further, by whole squares where these are not huge."""
        view = self._canvas.view
        step = max(1, min(view.width, view.height) // STEPS_ACROSS)
        if view.whole and view.pitch <= 2 * step:
            step = max(1, round(step / view.pitch)) * int(view.pitch)
        self._canvas.pan_by(across * step, down * step)

    def step(self, across: int, down: int) -> None:
        """Move the keyboard pointer; the view follows."""
        self._pointer.step(across, down)

    def zoom(self, steps: int) -> None:
        """Zoom about the pointer, or about the middle where there is none to be seen."""
        self._canvas.zoom_by(steps, *self._pixel_meant())

    def whole_chart(self) -> None:
        """Show the whole chart."""
        self._canvas.show_area(_all_of(self._canvas.view), MARGIN)

    def band_width(self) -> None:
        """Show the band as wide as the window, its middle row in the middle."""
        lit, view = self._band.lit, self._canvas.view
        if lit is None or lit.empty:
            return
        fitted = view.width * 0.96 / view.turn.size(lit.columns, lit.rows)[0]
        pitch = min(fitted, LARGEST_IN_BAND * self._canvas.devicePixelRatioF())
        shown = replace(view, pitch=_drawable(math.floor(pitch) if pitch >= LARGEST_FRACTION else pitch))
        self._canvas.go_to(shown.centred(lit.column + lit.columns / 2, lit.row + lit.rows / 2))

    def last_view(self) -> None:
        """Look where one looked before."""
        self._canvas.go_back()

    def follow_band(self) -> None:
        """Look just as far further as it takes to see the band."""
        lit, band = self._band.lit, self._band.band
        if lit is None or band is None or lit.empty:
            return
        column, row = (int(part) for part in self._canvas.view.centre)
        across = (lit.column, lit.columns) if band.columns is not None else (column, 1)
        down = (lit.row, lit.rows) if band.rows is not None else (row, 1)
        self._canvas.reveal(Area(across[0], down[0], across[1], down[1]))

    def visit(self, area: Area) -> None:
        """Look at an area unless it can be seen already."""
        shown = self._canvas.view.area
        if area.clipped(shown) != area:
            self._canvas.centre_on(area.column + area.columns / 2, area.row + area.rows / 2)

    def _pixel_meant(self) -> tuple[float, float]:
        view, square = self._canvas.view, self._pointer.square
        if square is None or not view.area.holds(*square):
            return view.width / 2, view.height / 2
        spot = self._pointer.spot
        if spot is not None and spot.square == square:
            return view.exact_pixel_of(spot.x, spot.y)
        x, y, width, height = view.pixels_of(Area(*square, 1, 1))
        return x + width / 2, y + height / 2


def _all_of(view: View) -> Area:
    return Area(0, 0, view.columns, view.rows)


def _margin_around_all(view: View) -> float | None:
    """The margin with which a view shows the whole chart as large as it fits; None where it does not."""
    for margin in (0.0, MARGIN):
        fitted = view.showing(_all_of(view), margin)
        off = max(abs(fitted.left - view.left), abs(fitted.top - view.top))
        # A view that was kept comes back with its size of square to the last digits but one.
        if math.isclose(fitted.pitch, view.pitch, rel_tol=1e-9) and off <= 1:
            return margin
    return None


def _drawable(pitch: float) -> float:
    """The size of square to draw for a wished one: whole, or below `LARGEST_FRACTION` any fraction."""
    whole = round(pitch)
    if pitch >= LARGEST_FRACTION or abs(pitch - whole) < 1e-6:
        return snapped(whole) if whole else SMALLEST_PITCH
    return max(pitch, SMALLEST_PITCH)
