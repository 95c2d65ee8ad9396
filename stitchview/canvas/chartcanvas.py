"""The widget that shows the chart: it holds the view, draws what is exposed, and scrolls what is ready."""

import math
from dataclasses import replace
from enum import Enum, auto
from typing import Protocol

from PySide6.QtCore import QRect, QSize, Qt, QTimer
from PySide6.QtGui import QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from stitchview.canvas.devicepixels import exposed_in, painter_on, scrolls, size_of, update_pixels
from stitchview.canvas.frame import Pointers, reach_of_pointers
from stitchview.canvas.looks import Look
from stitchview.canvas.painting import ChartPainter
from stitchview.canvas.showing import Key, Showing
from stitchview.canvas.sight import altered_rooms
from stitchview.canvas.signs import Signs
from stitchview.canvas.strips import Tens
from stitchview.canvas.view import View
from stitchview.chart.area import Area
from stitchview.chart.turning import UPRIGHT, Turn
from stitchview.done.change import Change

IDLE_MS = 150
# So many pixels beyond each edge are got ready when nothing moves: several steps of any pan.
PREPARED_AROUND = 240
# A step of zoom by key or wheel; small squares step by whole pixels anyway.
ZOOM_STEP = 1.18
MOST_BACK = 50


class Steps(Enum):
    """Movements made of many steps, of which going back takes back all at once."""

    ZOOM = auto()
    PINCH = auto()
    DRIFT = auto()


class ViewListener(Protocol):
    """Who wants to know that the view has changed."""

    def view_changed(self, view: View) -> None:
        """Take note of a new view."""


class ChartCanvas(QWidget):
    """Shows one chart through a `View`; everything inside counts in device pixels."""

    def __init__(self, listener: ViewListener, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._listener = listener
        self._painter: ChartPainter | None = None
        self._showing = Showing()
        self.view = View(1, 1, 1, 1)
        self._back: list[View] = []
        self._steps: Steps | None = None
        self._idle = QTimer(self)
        self._idle.setSingleShot(True)
        self._idle.setInterval(IDLE_MS)
        self._idle.timeout.connect(self._prepare_neighbours)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setAttribute(Qt.WidgetAttribute.WA_AcceptTouchEvents)
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    # What is shown

    @property
    def showing(self) -> Showing:
        """What is shown beside the squares."""
        return self._showing

    @property
    def chart_painter(self) -> ChartPainter | None:
        """Who paints the chart, for the overview to share its far-out pictures."""
        return self._painter

    def set_painter(self, painter: ChartPainter | None) -> None:
        """Show another chart, as large as it fits."""
        self._painter = painter
        self._back.clear()
        columns, rows = (painter.upright.columns, painter.upright.rows) if painter else (1, 1)
        self._showing = Showing(look=self._showing.look, tens=self._showing.tens)
        self.view = View(columns, rows, *size_of(self), turn=painter.turn if painter else UPRIGHT)
        self._set_view(self.view.showing(Area(0, 0, columns, rows)))

    def set_turn(self, turn: Turn) -> None:
        """See the chart turned; the same point stays in the middle, and the way back is forgotten."""
        if self._painter is not None and turn != self._painter.turn:
            self._painter = self._painter.turned(turn)
            self._back.clear()
            self._set_view(self.view.turned(turn))

    def set_look(self, look: Look) -> None:
        """Draw in another look."""
        self._show(replace(self._showing, look=look))

    def set_in_hand(self, number: int) -> None:
        """Let the thread of key entry `number` stand out; 0 for none."""
        self._show(replace(self._showing, in_hand=number))

    def set_held_back(self, numbers: frozenset[int], key: Key = None) -> None:
        """Let what is left of these key entries stand back until the end, in the colours of `key`."""
        self._show(replace(self._showing, held_back=numbers, key=key))

    def set_tens(self, tens: Tens) -> None:
        """Put the bold lines elsewhere."""
        self._show(replace(self._showing, tens=tens))

    def set_signs(self, signs: Signs) -> None:
        """Lay other signs over the chart."""
        self._show(replace(self._showing, signs=signs))

    def set_lit(self, lit: Area | None) -> None:
        """Light only `lit` and dim the rest; None lights everything."""
        old = self._showing.lit
        if lit == old:
            return
        self._showing = replace(self._showing, lit=lit)
        if old is None or lit is None or not self._piecewise:
            self.update()
            return
        for room in altered_rooms(self.view, old, lit):
            update_pixels(self, room)

    def set_pointers(self, pointers: Pointers) -> None:
        """Point at something else."""
        for area in (*self._showing.pointers.areas, *pointers.areas):
            self._update_area(area)
        self._showing = replace(self._showing, pointers=pointers)

    def marks_changed(self, change: Change) -> None:
        """Draw anew what a change of the marks touches."""
        if self._painter is not None:
            self._painter.marks_changed(change.area, change.parts.indices, change.lines.indices)
            # Whole and part stitches keep within their squares, and most marks are of them alone.
            self._update_area(change.area, len(change.lines) > 0 or len(change.points) > 0)

    def _show(self, showing: Showing) -> None:
        if showing != self._showing:
            self._showing = showing
            self.update()

    @property
    def _piecewise(self) -> bool:
        """Whether a piece drawn anew fits what is around it: not so where colours or signs are smoothed."""
        return self.view.whole and not self._showing.signs.smoothed

    # Where it looks

    def go_to(self, view: View) -> None:
        """Look elsewhere, remembering where it looked before."""
        self._remember()
        self._set_view(view)

    def go_back(self) -> None:
        """Look again where it looked before the last jump, or the last zooms one after the other."""
        self._steps = None
        if self._back:
            last = self._back.pop()
            self._set_view(last.resized(*size_of(self)))

    def show_area(self, area: Area, margin: float = 0.03) -> None:
        """Show an area as large as it fits."""
        if not area.empty:
            self.go_to(self.view.showing(area, margin))

    def centre_on(self, x: float, y: float) -> None:
        """Put a point of the chart, in squares, in the middle."""
        self.go_to(self.view.centred(x, y))

    def drift_to(self, x: float, y: float) -> None:
        """Put a point of the chart in the middle, as one of many steps on the way to elsewhere."""
        self._remember(Steps.DRIFT)
        self._set_view(self.view.centred(x, y))

    def reveal(self, area: Area) -> None:
        """Move just as far as it takes to have an area in the window."""
        x, y, width, height = self.view.pixels_of(area)
        margin = min(self.view.width, self.view.height) // 8
        across = _overhang(x, width, self.view.width, margin)
        down = _overhang(y, height, self.view.height, margin)
        self.pan_by(across, down)

    def zoom_by(self, steps: float, x: float | None = None, y: float | None = None) -> None:
        """Zoom so many steps in (below 0: out) about a pixel position, the middle if none is given."""
        if not steps:
            return
        about = (self.view.width / 2 if x is None else x), (self.view.height / 2 if y is None else y)
        wanted = self.view.pitch * ZOOM_STEP**steps
        if self.view.pitch >= 1 and abs(wanted - self.view.pitch) < 1:
            whole = math.floor(self.view.pitch) + 1 if steps > 0 else math.ceil(self.view.pitch) - 1
            wanted = whole if whole >= 1 else 1 / ZOOM_STEP
        self._remember(Steps.ZOOM)
        self._set_view(self.view.zoomed(wanted, *about))

    def zoom_to_pitch(self, pitch: float, x: float, y: float) -> None:
        """Zoom to a size of square about a pixel position, as two fingers ask for it."""
        self._remember(Steps.PINCH)
        self._set_view(self.view.zoomed(pitch, x, y))

    def pan_by(self, right: int, down: int) -> None:
        """Look so many device pixels further, scrolling what is already drawn."""
        old, ratio = self.view, self.devicePixelRatioF()
        self.view = old.panned(right, down)
        across, along = old.left - self.view.left, old.top - self.view.top
        if not across and not along:
            return
        if self._steps is not Steps.PINCH:
            # Fingers that pinch move the chart too.
            self._steps = None
        if self._piecewise and scrolls(ratio, across, along):
            self.scroll(int(across / ratio), int(along / ratio))
        else:
            self.update()
        self._idle.start()
        self._listener.view_changed(self.view)

    def _remember(self, steps: Steps | None = None) -> None:
        goes_on, self._steps = steps is not None and steps is self._steps, steps
        if goes_on:
            return
        if not self._back or self._back[-1] != self.view:
            self._back.append(self.view)
            del self._back[:-MOST_BACK]

    def _set_view(self, view: View) -> None:
        self.view = view
        self.update()
        self._idle.start()
        self._listener.view_changed(view)

    def _prepare_neighbours(self) -> None:
        """Have the squares of the next pans and zoom steps ready before they are asked for."""
        if self._painter is None or not self.view.whole:
            return
        near = self.view.area.grown(math.ceil(PREPARED_AROUND / self.view.pitch))
        self._painter.prepare(near.clipped(self._painter.upright.area), int(self.view.pitch), self._showing)
        for factor in (ZOOM_STEP, 1 / ZOOM_STEP):
            pitch = round(self.view.pitch * factor)
            if pitch == self.view.pitch:
                pitch += 1 if factor > 1 else -1
            if pitch >= 1:
                there = self.view.zoomed(pitch, self.view.width / 2, self.view.height / 2)
                self._painter.prepare(there.area, pitch, self._showing)

    # Drawing

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw what is exposed, in device pixels, so that every line is crisp at any screen scaling."""
        painter = painter_on(self)
        for exposed in exposed_in(event.region(), self.devicePixelRatioF()):
            if self._painter is None:
                painter.fillRect(exposed, self.palette().window())
            else:
                self._painter.paint(painter, self.view, self._showing, exposed)
        painter.end()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the middle of the view where it was."""
        super().resizeEvent(event)
        self.view = self.view.resized(*size_of(self))
        self.update()
        self._listener.view_changed(self.view)

    def sizeHint(self) -> QSize:
        """Ask for room enough to work in."""
        return QSize(960, 640)

    def _update_area(self, area: Area, around: bool = True) -> None:
        """Draw squares anew, and what reaches a little `around` them."""
        if area.empty:
            return
        if not self._piecewise:
            self.update()
            return
        room = QRect(*self.view.pixels_of(area))
        if around:
            margin = reach_of_pointers() + round(self.view.pitch / 2)
            room.adjust(-margin, -margin, margin, margin)
        update_pixels(self, room)


def _overhang(start: int, size: int, window: int, margin: int) -> int:
    """Give how far to pan along one axis to have `size` pixels from `start` inside a window's margins."""
    if start < margin:
        return start - margin
    end = start + size
    return max(0, min(end - window + margin, start - margin))
