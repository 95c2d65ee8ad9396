"""How fast the canvas draws, in floors of the same run: pans, jumps, zooms, marks and the band.

Run it with `python -m tests.speed.canvas_speed [RUNS] [COLUMNS ...]`. It prints a Markdown table for
each chart size; nothing is asserted, because machines are noisy.
"""

import gc
import resource
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import numpy as np
from PySide6.QtWidgets import QWidget

from stitchview.canvas.chartcanvas import ChartCanvas
from stitchview.canvas.items import ItemStates
from stitchview.canvas.painting import ChartPainter
from stitchview.canvas.view import View
from stitchview.chart.area import Area
from stitchview.chart.harbour.making import make_harbour
from stitchview.chart.model import Chart
from stitchview.done.change import DONE, OPEN, Selection
from stitchview.done.marks import Marks, change_to
from stitchview.done.shapes import Takes, rectangle
from tests.speed.floor import (
    HEIGHT,
    WIDTH,
    FloorWidget,
    Row,
    Stage,
    Timing,
    application,
    median_of,
    table,
    timing_of,
)

PITCHES = (2, 6, 10, 16, 40)
PAN = 37
FRAMES = 100
JUMPS = 60
BAND_ROWS = 10
TURN = 5
ONE = Timing(1.0, 1.0, 1.0)


Case = tuple[str, Callable[[], Timing], dict[str, float]]


class Quiet:
    """Listens to the canvas and does nothing."""

    def view_changed(self, view: View) -> None:
        """Let it be."""


@dataclass
class Bench:
    """A canvas on a stage, with a chart half done and a band on it."""

    chart: Chart
    marks: Marks
    canvas: ChartCanvas
    stage: Stage
    floor: Stage
    floors: list[float]

    def mark(self, area: Area, state: int) -> None:
        """Mark or unpick everything in an area, as a shape does."""
        self.apply(rectangle(self.chart, area, Takes()), state)

    def apply(self, selection: Selection, state: int) -> None:
        """Make a change and draw it."""
        change = change_to(self.marks, selection, state)
        if change is not None:
            self.marks.apply(change)
            self.canvas.marks_changed(change)

    def measure(self, frames: Callable[[int], object], count: int) -> Timing:
        """Time frames in floors, a few frames of each in turn, because a shared machine drifts."""
        gc.collect()
        mine, floors = [], []
        for n in range(count):
            if n % TURN == 0:
                floors += [cpu_ms(partial(self.floor.frame, self.floor.widget.update)) for _ in range(TURN)]
            mine.append(cpu_ms(partial(frames, n)))
        floor = timing_of(floors).p50
        self.floors.append(floor)
        timing = timing_of(mine)
        return Timing(timing.p50 / floor, timing.p95 / floor, timing.max / floor)

    def at(self, pitch: float) -> View:
        """Give a view of the middle, where done and open squares meet inside the band."""
        view = View(self.chart.columns, self.chart.rows, WIDTH, HEIGHT, pitch)
        return view.centred(self.chart.columns / 2, self.chart.rows / 2)


def cpu_ms(work: Callable[[], object]) -> float:
    """Give the CPU milliseconds of this process that some work takes."""
    begun = time.process_time_ns()
    work()
    return (time.process_time_ns() - begun) / 1e6


def half_done(chart: Chart) -> Marks:
    """Give the marks of a chart whose upper half is done."""
    marks = Marks(chart)
    half = rectangle(chart, Area(0, 0, chart.columns, chart.rows // 2), Takes())
    change = change_to(marks, half, DONE)
    if change is not None:
        marks.apply(change)
    return marks


def bench(marks: Marks, floor: Stage | None = None) -> Bench:
    """Set a chart up with a band of ten rows in the middle."""
    chart = marks.chart
    canvas = ChartCanvas(Quiet())
    stage = Stage(canvas)
    canvas.set_painter(painter_of(chart, marks))
    canvas.set_lit(Area(0, chart.rows // 2 - BAND_ROWS // 2, chart.columns, BAND_ROWS))
    return Bench(chart, marks, canvas, stage, floor or Stage(FloorWidget()), [])


def painter_of(chart: Chart, marks: Marks) -> ChartPainter:
    """Give a painter that has nothing ready yet."""
    return ChartPainter(chart, marks.squares, ItemStates(marks.parts, marks.lines, marks.points))


def pan_times(it: Bench, pitch: int) -> Timing:
    """Pan 37 px a frame, to and fro, across and down."""
    it.stage.frame(lambda: it.canvas.go_to(it.at(pitch)))
    steps = ((PAN, 0), (0, PAN), (-PAN, 0), (0, -PAN))
    return it.measure(lambda n: it.stage.frame(lambda: it.canvas.pan_by(*steps[n // 10 % 4])), FRAMES)


def jump_times(it: Bench, pitch: int) -> Timing:
    """Jump to places not seen before."""
    random = np.random.default_rng(7)
    places = random.random((JUMPS + 1, 2)) * (it.chart.columns, it.chart.rows)
    view = it.at(pitch)
    it.stage.frame(lambda: it.canvas.go_to(view.centred(*places[-1])))
    return it.measure(lambda n: it.stage.frame(lambda: it.canvas.go_to(view.centred(*places[n]))), JUMPS)


def zoom_times(it: Bench, fresh: bool) -> Timing:
    """Zoom from 2 to 40 px a square, step by step; `fresh` draws every size for the first time."""
    if fresh:
        look = it.canvas.showing.look
        it.canvas.set_painter(painter_of(it.chart, it.marks))
        it.canvas.set_look(look)
        it.canvas.set_lit(Area(0, it.chart.rows // 2 - BAND_ROWS // 2, it.chart.columns, BAND_ROWS))
    it.stage.frame(lambda: it.canvas.go_to(it.at(2)))
    steps = 0
    view = it.at(2)
    while view.pitch < 40:
        view = view.zoomed(max(view.pitch + 1, view.pitch * 1.05), WIDTH / 2, HEIGHT / 2)
        steps += 1

    def step(_: int) -> None:
        wanted = max(it.canvas.view.pitch + 1, it.canvas.view.pitch * 1.05)
        it.stage.frame(lambda: it.canvas.zoom_to_pitch(wanted, WIDTH / 2, HEIGHT / 2))

    return it.measure(step, steps)


def mark_times(it: Bench, pitch: int, side: int) -> Timing:
    """Mark and unpick `side` x `side` squares in the middle of the window: the picture, not the choosing."""
    it.stage.frame(lambda: it.canvas.go_to(it.at(pitch)))
    column, row = (int(x) for x in it.canvas.view.centre)
    area = Area(column - side // 2, row - side // 2, side, side).clipped(it.chart.area)
    here = area.slices()
    flat = np.arange(it.chart.rows * it.chart.columns).reshape(it.chart.rows, -1)[here].ravel()
    selection = Selection(flat[it.chart.squares[here].ravel() != 0])
    changes = [change_to(it.marks, selection, state) for state in (OPEN, DONE)]
    change = next(each for each in changes if each is not None)
    turns = (change, change.inverse())

    def step(n: int) -> None:
        it.marks.apply(turns[n % 2])
        it.stage.frame(lambda: it.canvas.marks_changed(turns[n % 2]))

    return it.measure(step, 40)


def band_times(it: Bench, pitch: int) -> Timing:
    """Move the band a row a frame."""
    it.stage.frame(lambda: it.canvas.go_to(it.at(pitch)))
    first = it.chart.rows // 2 - BAND_ROWS // 2

    def step(n: int) -> None:
        row = first + (n % 2)
        it.stage.frame(lambda: it.canvas.set_lit(Area(0, row, it.chart.columns, BAND_ROWS)))

    # Begin elsewhere, so that the first move is a move in every run.
    it.canvas.set_lit(Area(0, first + 2, it.chart.columns, BAND_ROWS))
    return it.measure(step, FRAMES)


def whole_times(it: Bench) -> Timing:
    """Draw with the whole chart in view."""
    it.stage.frame(lambda: it.canvas.show_area(it.chart.area))
    return it.measure(lambda _: it.stage.frame(it.canvas.update), JUMPS)


def cases(it: Bench) -> list[Case]:
    """Give every case with its bars, in floors."""
    # A chart that has room in the window stands still, so there is no pan of it to measure.
    wider = [pitch for pitch in PITCHES if min(it.chart.columns, it.chart.rows) * pitch > WIDTH]
    pans = [(f"pan {PAN} px at {pitch}", partial(pan_times, it, pitch), {"p95": 2.0}) for pitch in wider]
    jumps = [
        (f"cold jump at {pitch}", partial(jump_times, it, pitch), {"p95": 4.0 if pitch >= 6 else 6.0})
        for pitch in PITCHES
    ]
    return [
        *pans,
        *jumps,
        ("zoom step, glyphs absent", partial(zoom_times, it, fresh=True), {"p95": 16.0}),
        ("zoom step, glyphs at hand", partial(zoom_times, it, fresh=False), {"p95": 6.0}),
        ("one mark at 16", partial(mark_times, it, 16, 1), {"p50": 0.3}),
        ("10,000 marks at 10", partial(mark_times, it, 10, 100), {"p50": 3.0}),
        ("band a row at 16", partial(band_times, it, 16), {"p50": 0.6}),
        ("whole chart in view", partial(whole_times, it), {"p95": 8.0}),
    ]


def run(size: int, runs: int) -> str:
    """Measure one chart size and give its table."""
    before = _resident()
    chart = make_harbour(size, size, 90, 1)
    gc.collect()
    it = bench(half_done(chart))
    rows = []
    for name, case, bars in cases(it):
        rows.append(Row(name, median_of([case() for _ in range(runs)]), bars))
    arrays = chart.squares.nbytes + it.marks.squares.nbytes
    after = _resident()
    it.stage.close()
    it.floor.close()
    return (
        f"\n{size} x {size}, {len(chart.parts)} part stitches, {len(chart.lines)} lines:\n\n"
        + table(rows, ONE)
        + f"\nresident {after:.0f} MiB now, {before:.0f} before the chart was made; "
        + f"squares and states {arrays / 2**20:.0f} MiB; "
        + f"the floor took {timing_of(it.floors).p50:.3f} ms\n"
    )


def _resident() -> float:
    with open("/proc/self/statm", encoding="ascii") as file:
        pages = int(file.read().split()[1])
    return pages * resource.getpagesize() / 2**20


def main(arguments: list[str]) -> None:
    """Measure the sizes asked for."""
    application()
    runs = int(arguments[0]) if arguments else 3
    sizes = [int(each) for each in arguments[1:]] or [250, 1000, 4000]
    for size in sizes:
        sys.stdout.write(run(size, runs))
        sys.stdout.flush()
    for widget in application().topLevelWidgets():
        QWidget.close(widget)


if __name__ == "__main__":
    main(sys.argv[1:])
