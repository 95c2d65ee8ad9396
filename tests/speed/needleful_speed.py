"""How good and how fast needlefuls and patch searches are: thread at the back, and milliseconds.

Run it with `python -m tests.speed.needleful_speed [SIDE ...]`. It prints Markdown tables; nothing is
asserted. Times are CPU times of this process, because machines are shared.
"""

import json
import os
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.harbour.making import make_harbour
from stitchview.chart.model import Chart, KeyEntry, Symbol
from stitchview.done.change import DONE
from stitchview.done.marks import Marks, change_to, open_states
from stitchview.follow.clothpatch import OPEN_SQUARE, ClothPatch
from stitchview.follow.clothpitch import Pitch
from stitchview.follow.finding import Looking, PlaceFinder
from stitchview.follow.length import Needle, Working
from stitchview.follow.needleful import Needleful, Wish
from stitchview.follow.proposing import next_needleful
from stitchview.follow.route import least_back, measured, simple_order
from stitchview.follow.threadwork import ThreadWork
from stitchview.follow.treebound import back_bound_mm, tree_mm

SIDES = (1000, 4000)
THREADS, SEED = 90, 1
NEEDLEFULS = 100
CLOTHS = ((14, 2), (40, 1))
PATCHES = 12
FEW_STITCHES = 3

Grid = NDArray[np.int64]
T = TypeVar("T")


@dataclass
class Score:
    """What came of many needlefuls."""

    ms: list[float] = field(default_factory=list)
    stitches: list[float] = field(default_factory=list)
    to_bound: list[float] = field(default_factory=list)
    to_tree: list[float] = field(default_factory=list)
    to_rows: list[float] = field(default_factory=list)
    middles: list[float] = field(default_factory=list)

    def add(self, path: Needleful, ms: float) -> None:
        """Weigh one needleful against the tree and against row order."""
        self.ms.append(ms)
        self.stitches.append(len(path))
        if len(path) < FEW_STITCHES:
            return
        needle, stitches = path.wish.needle, path.stitches
        bound = back_bound_mm(stitches, needle)
        inside = sum(least_back(shape, needle.pitch) for shape in stitches.shapes.tolist())
        rows = measured(stitches, simple_order(stitches, needle), needle).back_mm
        apart = np.hypot(
            (stitches.columns[:, None] - stitches.columns) * needle.pitch.across_mm,
            (stitches.rows[:, None] - stitches.rows) * needle.pitch.down_mm,
        )
        self.to_bound.append(path.back_mm / bound)
        self.to_tree.append((path.back_mm - inside) / (bound - inside))
        self.to_rows.append(path.back_mm / rows)
        if needle.working is Working.AT_ONCE and tree_mm(apart) > 0:
            along = np.diagonal(apart, 1).sum()
            self.middles.append(float(along / tree_mm(apart)))

    def line(self, name: str) -> str:
        """One line of the table."""
        over = sum(ratio > 1.25 for ratio in self.to_bound)
        told = [
            name,
            f"{np.mean(self.stitches):.1f}",
            spread(self.ms, 1),
            spread(self.to_bound, 3),
            f"{over} of {len(self.to_bound)}",
            spread(self.to_tree, 3),
            f"{np.mean(self.middles):.3f}" if self.middles else "",
            spread(self.to_rows, 3),
        ]
        return f"| {' | '.join(told)} |\n"


HEAD = (
    "| needlefuls | stitches | ms mean / p95 / max | back : bound mean / p95 / max | above 1.25 "
    "| travel : tree | middles : tree | back : row order |\n|---|---|---|---|---|---|---|---|\n"
)


def spread(values: Sequence[float], digits: int) -> str:
    """Mean, the value that 95 of 100 keep within, and the largest."""
    if not values:
        return ""
    told = (np.mean(values), np.percentile(values, 95), np.max(values))
    return " / ".join(f"{each:.{digits}f}" for each in told)


def cpu_ms(work: Callable[[], T]) -> tuple[T, float]:
    """What some work gives, and its CPU milliseconds."""
    begun = time.process_time_ns()
    result = work()
    return result, (time.process_time_ns() - begun) / 1e6


def needleful_scores(chart: Chart, name: str, beside: bool) -> Iterator[str]:
    """Needlefuls of random threads, from a square beside the thread or from anywhere."""
    work = ThreadWork(Marks(chart))
    counts = np.bincount(chart.squares.ravel(), minlength=len(chart.key) + 1)
    numbers = np.flatnonzero(counts[1:]) + 1
    for count, strands in CLOTHS:
        for working in Working:
            random, score = np.random.default_rng(7), Score()
            needle = Needle(Pitch(25.4 / count, 25.4 / count), working, strands)
            for _ in range(NEEDLEFULS):
                number = int(random.choice(numbers))
                place = square_of(chart, number, random) if beside else anywhere(chart, random)
                path, ms = cpu_ms(partial(next_needleful, work, Wish(number, place, needle)))
                if path is not None:
                    score.add(path, ms)
            where = "beside it" if beside else "from anywhere"
            yield score.line(f"{name}, {count} to the inch, {working.value}, {where}")


def whole_thread(chart: Chart, name: str, number: int, working: Working) -> str:
    """One thread from the first needleful to the last, each from where the one before ended."""
    marks, score, place = Marks(chart), Score(), (0, 0)
    work = ThreadWork(marks)
    while True:
        wish = Wish(number, place, Needle(working=working))
        path, ms = cpu_ms(partial(next_needleful, work, wish))
        if path is None:
            return score.line(f"{name}, all of thread {number}, {working.value}")
        score.add(path, ms)
        change = change_to(marks, path.selection(chart.columns), DONE)
        if change is not None:
            marks.apply(change)
        last = path.journeys[-1].start
        place = int(path.stitches.columns[last]), int(path.stitches.rows[last])


def square_of(chart: Chart, number: int, random: np.random.Generator) -> tuple[int, int]:
    """A random square of a thread."""
    flat = np.flatnonzero(chart.squares.reshape(-1) == number)
    row, column = divmod(int(random.choice(flat)), chart.columns)
    return column, row


def anywhere(chart: Chart, random: np.random.Generator) -> tuple[int, int]:
    """A random square."""
    return int(random.integers(chart.columns)), int(random.integers(chart.rows))


def plates() -> Iterator[tuple[str, Chart]]:
    """The two printed plates with verified truth, where the outside material is at hand."""
    folder = Path(os.environ.get("STITCHVIEW_SHARED", Path(__file__).parents[3] / "shared")) / "plates"
    for file in sorted(folder.glob("plate-*.truth.json")):
        grid = json.loads(file.read_text("utf-8"))["grid"]
        codes = sorted(set("".join(grid)))
        squares = np.array([[codes.index(code) + 1 for code in row] for row in grid], np.uint16)
        yield file.name[:9], Chart(squares, tuple(KeyEntry(c, Symbol(c), f"Sign {c}") for c in codes))


def patches_of(chart: Chart) -> Iterator[tuple[str, Grid]]:
    """Patches cut from the chart, and those that are hard because they say little."""
    random = np.random.default_rng(11)
    for _ in range(PATCHES):
        column, row = (int(random.integers(0, size - 6)) for size in (chart.columns, chart.rows))
        yield "7 x 7 cut out", chart.squares[row : row + 7, column : column + 7].astype(np.int64)
    for _ in range(PATCHES):
        column, row = (int(random.integers(0, size - 6)) for size in (chart.columns, chart.rows))
        loose = chart.squares[row : row + 7, column : column + 7].astype(np.int64)
        yield "7 x 7 cut out, half open", np.where(random.random((7, 7)) < 0.5, loose, OPEN_SQUARE)
    counts = np.bincount(chart.squares.ravel(), minlength=3)
    counts[0] = 0
    most, second = (int(number) for number in np.argsort(counts)[::-1][:2])
    yield "one square of the commonest thread", np.array([[most]])
    plain = np.full((7, 7), most)
    yield "7 x 7 of the commonest thread", plain
    plain = plain.copy()
    plain[1, 2] = second
    yield "the same but for one square", plain
    corners = np.full((7, 7), OPEN_SQUARE)
    corners[[0, 2, 5], [0, 6, 1]] = most, second, most
    yield "three squares far apart", corners


def patch_lines(chart: Chart, name: str) -> Iterator[str]:
    """The longest time of each kind of patch, upright and turned, without and with one wrong square."""
    states = open_states(chart)
    states[0][: chart.rows // 2][chart.squares[: chart.rows // 2] != 0] = DONE
    marks = Marks(chart, states)
    finder, warm = cpu_ms(lambda: PlaceFinder(marks))
    yield f"| {name}: warm-up {warm:.0f} ms, {finder.weight / 1e6:.1f} MB kept | | | | | | |\n"
    ways = [Looking(turned, mirrored, wrong) for wrong in (False, True) for turned, mirrored in TURNS]
    worst: dict[str, list[float]] = {}
    for kind, squares in patches_of(chart):
        if not (squares > 0).any():
            continue
        patch, place = ClothPatch(squares.astype(np.int32)), (chart.columns // 2, chart.rows // 2)
        for at, looking in enumerate(ways):
            search = partial(finder.find, patch, place, looking)
            times = [cpu_ms(search)[1] for _ in range(3)]
            worst.setdefault(kind, [0.0] * len(ways))
            worst[kind][at] = max(worst[kind][at], float(np.median(times)))
    for kind, times in worst.items():
        yield f"| {name}: {kind} | {' | '.join(f'{each:.1f}' for each in times)} |\n"


TURNS = ((False, False), (True, False), (True, True))
PATCH_HEAD = (
    "| patches, ms | exact | exact, turned | and mirrored | one wrong | one wrong, turned | and mirrored |\n"
    "|---|---|---|---|---|---|---|\n"
)


def noise(side: int, threads: int) -> Chart:
    """A chart that no one would stitch: every square any thread, which is the worst for a search."""
    squares = np.random.default_rng(3).integers(1, threads + 1, (side, side)).astype(np.uint16)
    key = tuple(KeyEntry(chr(0x4E00 + n), Symbol("*"), f"Sample cotton {n}") for n in range(threads))
    return Chart(squares, key)


def needleful_lines(harbours: dict[int, Chart]) -> Iterator[str]:
    """The table of needlefuls."""
    for side, chart in harbours.items():
        for beside in (True, False):
            yield from needleful_scores(chart, f"harbour {side}", beside)
    for working in Working:
        for name, chart in plates():
            yield whole_thread(chart, name, 1, working)
            yield whole_thread(chart, name, 2, working)
        side = min(harbours)
        number = int(np.argsort(np.bincount(harbours[side].squares.ravel()))[::-1][60])
        yield whole_thread(harbours[side], f"harbour {side}", number, working)


def main(sides: Sequence[int]) -> None:
    """Print both tables."""
    harbours = {side: make_harbour(side, side, THREADS, SEED) for side in sides}
    sys.stdout.write(HEAD)
    sys.stdout.writelines(needleful_lines(harbours))
    sys.stdout.write(f"\n{PATCH_HEAD}")
    for side, chart in harbours.items():
        sys.stdout.writelines(patch_lines(chart, f"harbour {side}"))
    for threads in (2, THREADS):
        name = f"noise of {threads} threads, {sides[-1]}"
        sys.stdout.writelines(patch_lines(noise(sides[-1], threads), name))


if __name__ == "__main__":
    main([int(side) for side in sys.argv[1:]] or SIDES)
