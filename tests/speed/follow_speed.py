"""How fast "where next" answers: nearest, islands, runs called out and blocks, by size of chart.

Run it with `python -m tests.speed.follow_speed [COLUMNS ...]` (1000 and 4000 where none are given).
It prints Markdown tables of CPU milliseconds of this process, and of the squares looked at, which no
other program on the machine can disturb. Nothing is asserted, because machines are noisy.
"""

import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import cycle

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.colour import Colour
from stitchview.chart.csvkey import plain_entry
from stitchview.chart.harbour.making import make_harbour
from stitchview.chart.model import Chart
from stitchview.done.change import DONE, OPEN, Change
from stitchview.done.marks import Marks, change_to, open_states
from stitchview.done.shapes import Takes, rectangle
from stitchview.follow.blocks import Blocks
from stitchview.follow.callout import CallOut
from stitchview.follow.clothpitch import pitch_of
from stitchview.follow.course import Course
from stitchview.follow.islands import islands_of
from stitchview.follow.nearest import following, nearest, preceding
from stitchview.follow.numbering import Numbering
from stitchview.follow.runs import Going, runs_left
from stitchview.follow.stragglers import stragglers
from stitchview.follow.threadwork import ThreadWork

THREADS, SEED = 90, 17
PATCH = 40
ASKED = 200
HEAVY = 15
BAND_ROWS = 10
WAYS = (3, 30, 300)

Place = tuple[int, int]


class Watched(ThreadWork):
    """Work that counts how many squares are looked at."""

    looked = 0

    def crosses_left(self, area: Area, number: int | None = None) -> NDArray[np.bool_]:
        """As always, and counted."""
        self.looked += area.clipped(self.chart.area).count
        return super().crosses_left(area, number)


@dataclass
class Evening:
    """A chart half done in patches, places on it where the stitcher may be, and the threads there."""

    work: Watched
    places: list[Place]
    threads: list[int]

    @property
    def chart(self) -> Chart:
        """The chart."""
        return self.work.chart


Case = tuple[str, int, Callable[[int], object]]


def half_done(chart: Chart) -> Marks:
    """Marks of a chart of which every other patch of 40 x 40 squares, chosen at random, is done."""
    random = np.random.default_rng(SEED)
    patches = random.random((-(-chart.rows // PATCH), -(-chart.columns // PATCH))) < 0.5
    done = np.kron(patches, np.ones((PATCH, PATCH), np.bool_))[: chart.rows, : chart.columns]
    squares = (done & (chart.squares != 0)).astype(np.uint8)
    tables = [(random.random(len(each)) < 0.5).astype(np.uint8) for each in open_states(chart)[1:]]
    return Marks(chart, (squares, *tables))


def evening_on(chart: Chart) -> Evening:
    """Places in unfinished parts of the chart, with the thread that is stitched there."""
    work = Watched(half_done(chart))
    random = np.random.default_rng(SEED + 1)
    open_squares = np.flatnonzero(work.crosses_left(chart.area))
    rows, columns = np.divmod(random.choice(open_squares, ASKED), chart.columns)
    places = list(zip(columns.tolist(), rows.tolist(), strict=True))
    return Evening(work, places, [int(chart.squares[row, column]) for column, row in places])


def cases(evening: Evening) -> list[Case]:
    """What is asked, how often, and how."""
    return [*thread_cases(evening), *call_cases(evening), *block_cases(evening)]


def thread_cases(evening: Evening) -> list[Case]:
    """The thread in hand: the next stitch, what is left, islands and stragglers."""
    work, places, threads = evening.work, evening.places, evening.threads
    pitch = pitch_of(evening.chart.cloth)
    stitches = work.marks.tally.stitches()
    most, elsewhere = int(stitches.argmax()), [threads[n - 1] for n in range(len(threads))]
    view = [Area(column - 60, row - 40, 120, 80) for column, row in places]
    beside = [(column + 1, row + 1) for column, row in places]
    return [
        ("made ready once for a chart", HEAVY, lambda _: ThreadWork(work.marks)),
        (
            "nearest, thread of the place",
            ASKED,
            lambda n: nearest(work, threads[n], beside[n], pitch),
        ),
        ("nearest, thread of another place", ASKED, lambda n: nearest(work, elsewhere[n], places[n], pitch)),
        ("next in reading order", ASKED, lambda n: following(work, threads[n], places[n], pitch)),
        ("the one before", ASKED, lambda n: preceding(work, threads[n], places[n], pitch)),
        ("left in a view of 120 x 80", ASKED, lambda n: work.left_in(view[n], threads[n])),
        ("left in all", ASKED, lambda n: work.left(threads[n])),
        ("islands, thread with most", HEAVY, lambda _: islands_of(work, most)),
        ("islands, thread of a place", HEAVY, lambda n: islands_of(work, threads[n])),
        ("islands cornerwise, thread with most", HEAVY, lambda _: islands_of(work, most, corners=True)),
        ("islands sorted by distance", HEAVY, _by_distance(evening, most)),
        ("stragglers, thread with most", HEAVY, lambda _: stragglers(work, most, pitch)),
    ]


def call_cases(evening: Evening) -> list[Case]:
    """Runs called out."""
    work, chart = evening.work, evening.chart
    rows = [Area(0, row, chart.columns, BAND_ROWS) for _, row in evening.places]
    columns = [Area(column, 0, BAND_ROWS, chart.rows) for column, _ in evening.places]
    views = [Area(column - 60, row, 120, BAND_ROWS) for column, row in evening.places]
    turning = Going.THERE_AND_BACK
    one = [[thread] for thread in evening.threads]
    call = CallOut(runs_left(work, rows[0], None, turning))
    return [
        (
            "call-out of ten rows, one thread",
            ASKED,
            lambda n: runs_left(work, rows[n], one[n], turning),
        ),
        ("call-out of ten rows, all threads", ASKED, lambda n: runs_left(work, rows[n], None, turning)),
        (
            "call-out of ten columns, all threads",
            50,
            lambda n: runs_left(work, columns[n], None, turning, Course(down=True)),
        ),
        ("call-out of 120 x 10, all threads", ASKED, lambda n: runs_left(work, views[n], None, turning)),
        ("one step of the call-out", ASKED, lambda n: CallOut(call.runs, n).after_step().selection),
        ("call-out found again at a square", ASKED, lambda n: call.at_square(*evening.places[n])),
    ]


def block_cases(evening: Evening) -> list[Case]:
    """Ten-by-ten blocks."""
    work, places, threads = evening.work, evening.places, evening.threads
    pitch, blocks = pitch_of(evening.chart.cloth), Blocks(work, Numbering.CENTRE)
    stroke = cycle(_there_and_back(work.marks, Area(*places[0], 7, 1)))
    band = cycle(_there_and_back(work.marks, Area(0, places[0][1], evening.chart.columns, BAND_ROWS)))
    here = [[blocks.grid.block_at(*place)] for place in places]
    return [
        ("all blocks counted", HEAVY, lambda _: Blocks(work, Numbering.CENTRE)),
        ("blocks after a stroke of 7 squares", ASKED, lambda _: _follow(blocks, next(stroke))),
        ("blocks after a band of ten rows", 50, lambda _: _follow(blocks, next(band))),
        ("next block with work", ASKED, lambda n: blocks.nearest(places[n], pitch, None, True)),
        (
            "next block with a thread's work",
            HEAVY,
            lambda n: blocks.nearest(places[n], pitch, threads[n], True),
        ),
        ("threads needed in a block", ASKED, lambda n: blocks.threads_needed(here[n])),
    ]


def _by_distance(evening: Evening, number: int) -> Callable[[int], object]:
    islands, pitch = islands_of(evening.work, number), pitch_of(evening.chart.cloth)
    return lambda n: islands.seen_from(evening.places[n], pitch).by_distance()


def _there_and_back(marks: Marks, area: Area) -> tuple[Change, Change]:
    """Marking all of an area and taking it back."""
    change = change_to(marks, rectangle(marks.chart, area, Takes()), DONE)
    if change is None:
        change = change_to(marks, rectangle(marks.chart, area, Takes()), OPEN)
    if change is None:
        raise RuntimeError("nothing in this area can be marked or unpicked, so there is nothing to measure")
    return change, change.inverse()


def _follow(blocks: Blocks, change: Change) -> None:
    blocks.work.marks.apply(change)
    blocks.changed(change)


def measured(case: Case, work: Watched) -> tuple[float, float, float]:
    """CPU milliseconds in the middle and of the slowest of twenty, and squares looked at in the middle."""
    _, count, ask = case
    ask(0)
    times, looked = np.empty(count), np.empty(count)
    for n in range(count):
        work.looked = 0
        begun = time.process_time_ns()
        ask(n)
        times[n] = (time.process_time_ns() - begun) / 1e6
        looked[n] = work.looked
    p50, p95 = np.percentile(times, (50, 95))
    return float(p50), float(p95), float(np.median(looked))


def table(sizes: Sequence[int]) -> str:
    """Every case on harbours of these sizes, half done."""
    rows: dict[str, list[str]] = {}
    for size in sizes:
        evening = evening_on(make_harbour(size, size, THREADS, SEED))
        for case in cases(evening):
            p50, p95, looked = measured(case, evening.work)
            rows.setdefault(case[0], []).append(f"{p50:.2f} | {p95:.2f} | {looked:,.0f}")
    told = (f"{size} x {size}: p50 ms | p95 ms | squares looked at" for size in sizes)
    head = f"| case | {' | '.join(told)} |\n|---|{'---|' * 3 * len(sizes)}\n"
    return head + "".join(f"| {name} | {' | '.join(cells)} |\n" for name, cells in rows.items())


def growth_table(sizes: Sequence[int]) -> str:
    """The nearest of a thread that lies so many squares off, on bare charts of ever larger sizes."""
    head = f"| squares away | {' | '.join(f'{size} x {size}: ms | looked at' for size in sizes)} |\n"
    lines = [f"| {way} | {' | '.join(_grown(size, way) for size in sizes)} |\n" for way in WAYS]
    return "".join([head, f"|---|{'---|' * 2 * len(sizes)}\n", *lines])


def _grown(size: int, way: int) -> str:
    squares = np.zeros((size, size), np.uint16)
    middle = size // 2
    squares[middle, middle + way] = squares[0, 0] = squares[-1, -1] = 1
    chart = Chart(squares, (plain_entry("a", "Sample cotton 17, slate blue", Colour(80, 100, 140)),))
    work, pitch = Watched(Marks(chart)), pitch_of(None)
    p50, _, looked = measured(("", ASKED, lambda _: nearest(work, 1, (middle, middle), pitch)), work)
    return f"{p50:.3f} | {looked:,.0f}"


def main(arguments: list[str]) -> None:
    """Measure the sizes asked for."""
    sizes = [int(each) for each in arguments] or [1000, 4000]
    sys.stdout.write(f"{growth_table([1000, 2000, 4000])}\n{table(sizes)}")


if __name__ == "__main__":
    main(sys.argv[1:])
