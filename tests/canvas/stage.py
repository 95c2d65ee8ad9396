"""A canvas on a stage: it takes steps as an evening brings them, and is compared with one drawn afresh."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QWidget

from stitchview.canvas.chartcanvas import ChartCanvas
from stitchview.canvas.frame import Pointers
from stitchview.canvas.items import ItemStates
from stitchview.canvas.looks import Look
from stitchview.canvas.painting import ChartPainter
from stitchview.canvas.signs import ParkSign, PinSign, Signs
from stitchview.canvas.strips import Tens
from stitchview.canvas.view import View
from stitchview.chart.area import Area
from stitchview.chart.colour import Colour
from stitchview.chart.model import Chart
from stitchview.chart.turning import Turn
from stitchview.done.change import Change, Selection
from stitchview.done.marks import Marks, change_to

Picture = NDArray[np.uint32]

# Where the canvas begins in its window: an odd number of pixels, as beside a ruler.
CORNER = 7

LOOKS = tuple(
    Look(paper=paper, worked=worked, night=night, dim=dim)
    for paper in (False, True)
    for worked in (False, True)
    for night in (False, True)
    for dim in (0.6, 0.3)
)


@dataclass(frozen=True)
class Step:
    """One thing that happens: its name, one of `Stage`'s, and whole or broken numbers for it."""

    name: str
    numbers: tuple[float, ...] = ()


@dataclass
class Onlooker:
    """Takes note of the views it was told of."""

    views: list[View] = field(default_factory=list)

    def view_changed(self, view: View) -> None:
        self.views.append(view)


class Stage:
    """A chart on a canvas in a window of its own, its marks, and what has been done."""

    def __init__(self, chart: Chart, width: int = 130, height: int = 90) -> None:
        self.marks = Marks(chart)
        self.onlooker = Onlooker()
        self.canvas = ChartCanvas(self.onlooker)
        self.window = framed(self.canvas)
        self.size(width, height)
        self.canvas.set_painter(painter_of(self.marks))
        self.changes: list[Change] = []
        self.window.show()
        self.turn()

    @property
    def chart(self) -> Chart:
        return self.marks.chart

    def take(self, steps: Sequence[Step]) -> None:
        for step in steps:
            getattr(self, step.name)(*step.numbers)

    def close(self) -> None:
        close(self.window)

    # What the screen shows

    def shown(self) -> Picture:
        """What stands in the window's memory: pieces drawn at different times, and scrolled."""
        self.turn()
        device = self.window.backingStore().paintDevice()
        assert isinstance(device, QImage)
        return pixels_of(device)

    def shown_canvas(self) -> Picture:
        """What the window's memory holds of the canvas; on a scaled screen a pixel may be the window's."""
        ratio = self.canvas.devicePixelRatioF()
        ends = CORNER, CORNER + self.canvas.height(), CORNER + self.canvas.width()
        corner, bottom, right = (math.floor(end * ratio + 0.5) for end in ends)
        return self.shown()[corner:bottom, corner:right]

    def shown_of(self, area: Area) -> Picture:
        """What the window's memory holds of some squares."""
        x, y, width, height = self.canvas.view.pixels_of(area)
        return self.shown_canvas()[max(y, 0) : y + height, max(x, 0) : x + width]

    def fresh(self) -> Picture:
        """The same state drawn at once by a canvas that has seen nothing before."""
        canvas = ChartCanvas(Onlooker())
        window = framed(canvas)
        window.resize(self.window.size())
        canvas.resize(self.canvas.size())
        canvas.set_painter(painter_of(self.marks))
        showing = self.canvas.showing
        canvas.set_turn(self.canvas.view.turn)
        canvas.set_look(showing.look)
        canvas.set_in_hand(showing.in_hand)
        canvas.set_held_back(showing.held_back)
        canvas.set_tens(showing.tens)
        canvas.set_lit(showing.lit)
        canvas.set_pointers(showing.pointers)
        canvas.set_signs(showing.signs)
        canvas.go_to(self.canvas.view)
        picture = pixels_of(window.grab().toImage())
        close(window)
        return picture

    def difference(self) -> str:
        """Say where the window shows anything else than a fresh one would; empty if nowhere."""
        shown, fresh = self.shown(), self.fresh()
        if shown.shape != fresh.shape:
            return f"the window has {shown.shape} pixels, a fresh one {fresh.shape}"
        if not len(places := np.argwhere(shown != fresh)):
            return ""
        low, high = places.min(0).tolist(), places.max(0).tolist()
        return f"{len(places)} pixels differ, rows and columns {low} to {high}, seen by {self.canvas.view}"

    # Steps

    def turn(self) -> None:
        """Let the window draw what has changed."""
        QCoreApplication.processEvents()

    def mark(self, family: float, first: float, count: float, state: float) -> None:
        """Mark or unpick some stitches of one family, as they come in the chart's order."""
        sizes = [len(states.reshape(-1)) for states in self.marks.families]
        size = sizes[int(family)]
        chosen = np.unique((int(first) + 3 * np.arange(int(count))) % max(size, 1))[:size]
        families = [np.zeros(0, np.int64)] * 4
        families[int(family)] = chosen.astype(np.int64)
        self.apply(change_to(self.marks, Selection(*families), int(state)))

    def undo(self) -> None:
        if self.changes:
            change = self.changes.pop().inverse()
            self.marks.apply(change)
            self.canvas.marks_changed(change)

    def apply(self, change: Change | None) -> None:
        if change is not None:
            self.marks.apply(change)
            self.changes.append(change)
            self.canvas.marks_changed(change)

    def pan(self, right: float, down: float) -> None:
        self.canvas.pan_by(int(right), int(down))

    def zoom(self, pitch: float, x: float, y: float) -> None:
        self.canvas.zoom_to_pitch(pitch, x, y)

    def zoom_steps(self, steps: float) -> None:
        self.canvas.zoom_by(steps)

    def whole(self) -> None:
        self.canvas.show_area(self.chart.area)

    def back(self) -> None:
        self.canvas.go_back()

    def reveal(self, column: float, row: float) -> None:
        self.canvas.reveal(self._square(column, row))

    def band(self, column: float, row: float, columns: float, rows: float) -> None:
        """Put the band on a frame of squares, or with sizes of 0 on whole rows or columns."""
        chart = self.chart
        across = Area(int(column) % chart.columns, 0, int(columns), chart.rows)
        down = Area(0, int(row) % chart.rows, chart.columns, int(rows))
        lit = chart.area
        for span in (across, down):
            lit = lit if span.empty else lit.clipped(span)
        self.canvas.set_lit(lit)

    def unband(self) -> None:
        self.canvas.set_lit(None)

    def turn_hoop(self, quarters: float, mirrored: float) -> None:
        self.canvas.set_turn(self.canvas.view.turn.then(Turn(int(quarters) % 4, bool(mirrored))))

    def look(self, number: float) -> None:
        self.canvas.set_look(LOOKS[int(number) % len(LOOKS)])

    def hand(self, number: float) -> None:
        self.canvas.set_in_hand(int(number) % (len(self.chart.key) + 1))

    def hold_back(self, every: float) -> None:
        step = int(every) or len(self.chart.key) + 1
        self.canvas.set_held_back(frozenset(range(step, len(self.chart.key) + 1, step)))

    def tens(self, column: float, row: float) -> None:
        self.canvas.set_tens(Tens(int(column), int(row)))

    def tens_around(self, column: float, row: float) -> None:
        centre_column, centre_row = int(column), int(row)
        self.canvas.set_tens(Tens(centre_column % 10, centre_row % 10, centre_column, centre_row))

    def cursor(self, column: float, row: float) -> None:
        square = self._square(column, row)
        self.canvas.set_pointers(
            Pointers(cursor=(square.column, square.row), recalled=self._pointers.recalled)
        )

    def stretch(self, column: float, row: float, columns: float, rows: float) -> None:
        stretched = Area(int(column) - 1, int(row) - 1, int(columns) + 1, int(rows) + 1)
        self.canvas.set_pointers(Pointers(stretched=stretched, cursor=self._pointers.cursor))

    def sweep(self, column: float, row: float, count: float) -> None:
        path = tuple((int(column) + n, int(row) + n // 2) for n in range(int(count) + 1))
        self.canvas.set_pointers(Pointers(swept=path, recalled=self._pointers.recalled))

    def recall(self, column: float, row: float, columns: float, rows: float) -> None:
        area = Area(int(column), int(row), int(columns) + 1, int(rows) + 1)
        self.canvas.set_pointers(Pointers(recalled=area, swept=self._pointers.swept))

    def sign(self, column: float, row: float, count: float) -> None:
        """Lay every kind of sign over the chart: near and far steps, pins, threads, a tape, places found."""
        chart, way = self.chart, []
        for number in range(int(count)):
            step = 1 if number % 3 else 9
            way.append(((int(column) + number * step) % chart.columns, (int(row) + 7 * number) % chart.rows))
        here, there = self._square(column, row), self._square(row, column)
        square, other = (here.column, here.row), (there.column, there.row)
        signs = Signs(
            route=tuple(way),
            pins=(PinSign(square, "1"), PinSign((0, 0), "a pin"), PinSign((chart.columns - 1, 0), "7")),
            parks=(ParkSign(other, Colour(200, 40, 40)), ParkSign((0, chart.rows - 1), Colour(0, 90, 20))),
            tape=(square, other),
            found=(here.grown(2).clipped(chart.area), there.grown(int(count)).clipped(chart.area)),
        )
        self.canvas.set_signs(signs)

    def unsign(self) -> None:
        self.canvas.set_signs(Signs())

    def unpoint(self) -> None:
        self.canvas.set_pointers(Pointers())

    def size(self, width: float, height: float) -> None:
        self.canvas.resize(int(width), int(height))
        self.window.resize(int(width) + 2 * CORNER, int(height) + 2 * CORNER)

    def make_ready(self, pitch: float) -> None:
        painter = self.canvas.chart_painter
        assert painter is not None
        painter.prepare(self.canvas.view.area, int(pitch), self.canvas.showing)

    @property
    def _pointers(self) -> Pointers:
        return self.canvas.showing.pointers

    def _square(self, column: float, row: float) -> Area:
        return Area(int(column) % self.chart.columns, int(row) % self.chart.rows, 1, 1)


def painter_of(marks: Marks) -> ChartPainter:
    """A painter of a chart and its marks."""
    return ChartPainter(marks.chart, marks.squares, ItemStates(marks.parts, marks.lines, marks.points))


def pixels_of(image: QImage) -> Picture:
    """Copy a picture into an array of shape (height, width), RGB32."""
    image = image.convertToFormat(QImage.Format.Format_RGB32)
    rows = np.frombuffer(image.constBits(), np.uint32).reshape(image.height(), image.bytesPerLine() // 4)
    return rows[:, : image.width()].copy()


def framed(canvas: ChartCanvas) -> QWidget:
    """Put a canvas into a window, where it begins between two pixels if the screen is scaled so."""
    window = QWidget()
    canvas.setParent(window)
    canvas.move(CORNER, CORNER)
    return window


def close(window: QWidget) -> None:
    """Take a window off the screen and let Qt delete it."""
    window.close()
    window.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
