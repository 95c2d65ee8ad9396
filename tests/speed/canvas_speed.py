"""How fast the canvas draws, in floors of the same run: pans, jumps, zooms, marks and the band.

Run it with `python -m tests.speed.canvas_speed [RUNS] [COLUMNS ...] [--cadence NAME ...] [--differences N]`.
With `--differences` the cloth differs at so many places and stitches are in all states. It prints a
Markdown table for each chart size and each cadence of `tests.speed.cadence` (steady and emptied, if
none is named), and how a pan of the largest chart compares with one of the smallest. Nothing is
asserted, because machines are noisy.
"""

import argparse
import gc
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
from PySide6.QtWidgets import QWidget

from stitchview.canvas.chartcanvas import ChartCanvas
from stitchview.canvas.differsign import sign_of
from stitchview.canvas.items import ItemStates
from stitchview.canvas.painting import ChartPainter
from stitchview.canvas.signs import Signs
from stitchview.canvas.view import View
from stitchview.chart.area import Area
from stitchview.chart.harbour.making import make_harbour
from stitchview.chart.model import Chart
from stitchview.done.change import DONE, OPEN, Selection
from stitchview.done.marks import Marks, change_to
from stitchview.done.shapes import Takes, rectangle
from tests.speed.cadence import WARM, Cadence, Stopwatch
from tests.speed.differing import marks_that_differ
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
MOST_GROWTH = 1.3
ONE = Timing(1.0, 1.0, 1.0)


Case = tuple[str, Callable[[], Timing], dict[str, float]]
Pans = dict[tuple[Cadence, str], Timing]


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
    watch: Stopwatch

    def mark(self, area: Area, state: int) -> None:
        """Mark or unpick everything in an area, as a shape does."""
        self.apply(rectangle(self.chart, area, Takes()), state)

    def apply(self, selection: Selection, state: int) -> None:
        """Make a change and draw it."""
        change = change_to(self.marks, selection, state)
        if change is not None:
            self.marks.apply(change)
            self.canvas.marks_changed(change)

    def set_cadence(self, cadence: Cadence) -> None:
        """Measure so from now on."""
        self.watch = stopwatch(cadence, self.floor)

    def measure(
        self, frames: Callable[[int], object], count: int, ready: Callable[[], object] | None = None
    ) -> Timing:
        """Time frames in floors; before them come frames like them, numbered below 0, or `ready`."""
        gc.collect()
        return self.watch.timing(frames, count, ready or (lambda: [frames(n) for n in range(-WARM, 0)]))

    def at(self, pitch: float) -> View:
        """Give a view of the middle, where done and open squares meet inside the band."""
        view = View(self.chart.columns, self.chart.rows, WIDTH, HEIGHT, pitch)
        return view.centred(self.chart.columns / 2, self.chart.rows / 2)


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
    floor = floor or Stage(FloorWidget())
    return Bench(chart, marks, canvas, stage, floor, stopwatch(Cadence.STEADY, floor))


def stopwatch(cadence: Cadence, floor: Stage) -> Stopwatch:
    """Give what times frames against those of a floor on its stage."""
    return Stopwatch(cadence, partial(floor.frame, floor.widget.update))


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
    places = random.random((JUMPS + WARM, 2)) * (it.chart.columns, it.chart.rows)
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

    def ready() -> None:
        for _ in range(WARM):
            it.stage.frame(it.canvas.update)

    return it.measure(step, steps, ready)


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


def measured(it: Bench, cadence: Cadence, runs: int) -> tuple[list[Row], str]:
    """Measure every case in one cadence; gives the rows, and a table of them with the floor below."""
    it.set_cadence(cadence)
    rows = [Row(name, median_of([case() for _ in range(runs)]), bars) for name, case, bars in cases(it)]
    floor = timing_of(it.watch.floors)
    below = f"\nfloor: p50 {floor.p50:.3f} ms, p95 {floor.p95:.3f}, max {floor.max:.3f}\n"
    return rows, f"\n{it.chart.columns} x {it.chart.rows}, {cadence.value}:\n\n{table(rows, ONE)}{below}"


def run(size: int, runs: int, cadences: Sequence[Cadence], differences: int = 0) -> Pans:
    """Measure one chart size and print its tables; gives what pans took."""
    chart = make_harbour(size, size, 90, 1)
    it = bench(marks_that_differ(chart, differences) if differences else half_done(chart))
    it.canvas.set_signs(Signs(differ=tuple(sign_of(each) for each in it.marks.notes.differences)))
    # As the program does once a chart is open, so that the collector never walks over all of it.
    gc.collect()
    gc.freeze()
    pans: Pans = {}
    for cadence in cadences:
        rows, told = measured(it, cadence, runs)
        sys.stdout.write(told)
        sys.stdout.flush()
        pans |= {(cadence, row.name): row.timing for row in rows if row.name.startswith("pan")}
    sys.stdout.write(f"\n{len(chart.parts)} part stitches, {len(chart.lines)} lines\n")
    it.stage.close()
    it.floor.close()
    gc.unfreeze()
    return pans


def compared(largest: Pans, smallest: Pans) -> str:
    """Tell how pans of the largest chart compare with those of the smallest."""
    return "".join(
        f"{name}, {cadence.value}: largest against smallest chart, "
        f"p50 {timing.p50 / smallest[cadence, name].p50:.2f} x, "
        f"p95 {timing.p95 / smallest[cadence, name].p95:.2f} x (bar {MOST_GROWTH})\n"
        for (cadence, name), timing in largest.items()
        if (cadence, name) in smallest
    )


def main(arguments: list[str]) -> None:
    """Measure the sizes asked for."""
    parser = argparse.ArgumentParser()
    parser.add_argument("runs", nargs="?", type=int, default=3)
    parser.add_argument("sizes", nargs="*", type=int)
    parser.add_argument("--cadence", nargs="+", type=Cadence, default=[Cadence.STEADY, Cadence.EMPTIED])
    parser.add_argument("--differences", type=int, default=0, metavar="N")
    asked = parser.parse_args(arguments)
    application()
    pans = {
        size: run(size, asked.runs, asked.cadence, asked.differences)
        for size in asked.sizes or (250, 1000, 4000)
    }
    if len(pans) > 1:
        sys.stdout.write("\n" + compared(pans[max(pans)], pans[min(pans)]))
    for widget in application().topLevelWidgets():
        QWidget.close(widget)


if __name__ == "__main__":
    main(sys.argv[1:])
