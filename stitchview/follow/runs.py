"""An area as runs to stitch from: what is left of a thread, or of all, line by line in the order of work."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.joined import Indices, Mask, expanded
from stitchview.chart.stitches import PartShape
from stitchview.done.change import Selection
from stitchview.follow.course import Course
from stitchview.follow.threadwork import ThreadWork

SHAPES = 16
"""More than there are part shapes; 0 stands for the whole stitch."""


class Going(StrEnum):
    """Which way the lines are worked; the values are what files and settings hold."""

    ON = "on"
    BACK = "back"
    THERE_AND_BACK = "there-and-back"


@dataclass(frozen=True, slots=True)
class Run:
    """Neighbouring stitches of one thread and kind, in the order in which they are worked.

    (`column`, `row`) is the first square. `shape` is None for whole stitches. `skip` is how many
    squares lie between it and the run before in the same line; -1 if both have a stitch in one
    square. `begins_line` tells the first run of its thread in a row (or, when `down`, a column).
    `backwards` is leftwards, or upwards when `down`.
    """

    column: int
    row: int
    length: int
    number: int
    shape: PartShape | None
    skip: int
    begins_line: bool
    down: bool
    backwards: bool

    @property
    def squares(self) -> tuple[tuple[int, int], ...]:
        """Its squares (column, row) in the order of work."""
        step = -1 if self.backwards else 1
        along = range(0, step * self.length, step)
        if self.down:
            return tuple((self.column, self.row + at) for at in along)
        return tuple((self.column + at, self.row) for at in along)


@dataclass(frozen=True, eq=False, slots=True)
class RunList:
    """n runs in the order of work; arrays of shape (n,) save the last.

    `lines` are their rows (columns when `down`), `starts` the places along them where work begins.
    `shapes` are 0 for whole stitches. A run of part stitches is `parts[firsts[i]]` and on, which
    index the chart's table in reading order.
    """

    lines: Indices
    starts: Indices
    lengths: Indices
    numbers: Indices
    shapes: Indices
    skips: Indices
    begins: Mask
    backwards: Mask
    firsts: Indices
    parts: Indices
    columns: int
    course: Course

    @property
    def down(self) -> bool:
        """Whether the lines are columns."""
        return self.course.down

    def __len__(self) -> int:
        return len(self.lengths)

    def __getitem__(self, at: int) -> Run:
        along, line, shape = int(self.starts[at]), int(self.lines[at]), int(self.shapes[at])
        return Run(
            line if self.down else along,
            along if self.down else line,
            int(self.lengths[at]),
            int(self.numbers[at]),
            PartShape(shape) if shape else None,
            int(self.skips[at]),
            bool(self.begins[at]),
            self.down,
            bool(self.backwards[at]),
        )

    def selection(self, first: int, last: int) -> Selection:
        """The stitches of the runs from `first` up to before `last`, to be marked or unpicked."""
        mine = slice(first, last)
        lengths, whole = self.lengths[mine], self.shapes[mine] == 0
        low = self.starts[mine] - np.where(self.backwards[mine], lengths - 1, 0)
        along = expanded(low[whole], lengths[whole])
        lines = np.repeat(self.lines[mine][whole], lengths[whole])
        squares = along * self.columns + lines if self.down else lines * self.columns + along
        parts = self.parts[expanded(self.firsts[mine][~whole], lengths[~whole])]
        return Selection.of(squares=squares, parts=parts)

    def line_of(self, at: int) -> tuple[int, int]:
        """The first run of the line that run `at` is in, and the first run after that line."""
        begins = np.flatnonzero(self.begins)
        place = int(np.searchsorted(begins, at, side="right"))
        return int(begins[place - 1]), int(begins[place]) if place < len(begins) else len(self)


def runs_left(
    work: ThreadWork,
    area: Area,
    numbers: Sequence[int] | None,
    going: Going,
    course: Course = Course(),  # noqa: B008 (frozen, so one default can be shared)
) -> RunList:
    """The runs left in `area` of the key entries `numbers`, thread by thread in their order.

    None stands for the key in its order, but for threads that `work` leaves out. Each thread goes
    through the lines of the area in their `course`: usually rows from the top, each from the left.
    There and back turns with every line in which the thread has work. Whole and part stitches only.
    O(area).
    """
    threads = work.numbers if numbers is None else [work.checked(n) for n in numbers]
    order = _WorkOrder(work, tuple(threads), course)
    items, part_places, parts = order.items_left(area.clipped(work.chart.area))
    firsts = np.flatnonzero(np.diff(items, prepend=-2 * SHAPES) != SHAPES)
    lengths = np.diff(np.append(firsts, len(items)))
    ranks, lines, along, shapes = order.read(items[firsts])
    begins = (np.diff(ranks, prepend=-1) != 0) | (np.diff(lines, prepend=-1) != 0)
    backwards = _backwards(ranks, begins, going) != course.against
    turned = _turned(begins, backwards)
    return RunList(
        lines=lines,
        starts=(along + np.where(backwards, lengths - 1, 0))[turned],
        lengths=lengths[turned],
        numbers=np.array([*threads, 0], np.int64)[ranks],
        shapes=shapes[turned],
        skips=_skips(along, lengths, begins, backwards)[turned],
        begins=begins,
        backwards=backwards,
        firsts=np.searchsorted(part_places, firsts)[turned],
        parts=parts,
        columns=work.chart.columns,
        course=course,
    )


class _WorkOrder:
    """Stitches as one whole number each, by which they sort in the order of work.

    By thread, then line, then place along the line, then shape. A line has one place more than
    squares, so that only neighbours of one thread, line and shape differ by exactly SHAPES.
    """

    def __init__(self, work: ThreadWork, threads: tuple[int, ...], course: Course) -> None:
        self._work, self._down, self._from_last = work, course.down, course.from_last
        self._only = threads[0] if len(threads) == 1 else None
        self._ranks = np.full(len(work.chart.key) + 1, -1)
        # Backwards, so that a thread named twice keeps its first place.
        for rank in reversed(range(len(threads))):
            self._ranks[threads[rank]] = rank
        size = work.chart.columns, work.chart.rows
        if course.down:
            size = size[::-1]
        self._line_count, self._width = max(1, size[1]), size[0] + 1

    def items_left(self, area: Area) -> tuple[Indices, Indices, Indices]:
        """What is left in `area`, sorted; the places of part stitches among it, and their indices."""
        chart = self._work.chart
        left, keys = self._work.crosses_left(area, self._only), chart.squares[area.slices()]
        if self._down:
            left, keys = left.T, keys.T
        lines, along = np.divmod(np.flatnonzero(left), max(1, left.shape[1]))
        first_line, first_along = (area.column, area.row) if self._down else (area.row, area.column)
        items = self._items(lines + first_line, along + first_along, keys[left], 0)
        items = np.sort(items[items >= 0])
        found = self._work.parts_left(area, self._only)
        lines, along = chart.parts.rows[found].astype(np.int64), chart.parts.columns[found].astype(np.int64)
        if self._down:
            lines, along = along, lines
        parts = self._items(lines, along, chart.parts.keys[found], chart.parts.shapes[found])
        order = np.argsort(parts, kind="stable")
        order = order[np.count_nonzero(parts < 0) :]
        before = np.searchsorted(items, parts[order])
        merged: Indices = np.insert(items, before, parts[order])
        return merged, before + np.arange(len(order)), found[order]

    def read(self, items: Indices) -> tuple[Indices, Indices, Indices, Indices]:
        """Places in the order of threads, lines, places along the lines, and shapes."""
        places, shapes = np.divmod(items, SHAPES)
        lines, along = np.divmod(places, self._width)
        ranks, lines = np.divmod(lines, self._line_count)
        return ranks, self._in_turn(lines), along, shapes

    def _in_turn(self, lines: Indices) -> Indices:
        """The places of lines in the order of work, and of these places the lines."""
        return self._line_count - 1 - lines if self._from_last else lines

    def _items(
        self, lines: Indices, along: Indices, keys: NDArray[np.uint16], shapes: NDArray[np.uint8] | int
    ) -> Indices:
        """One number for each stitch; below 0 for those of threads not asked for."""
        placed = self._ranks[keys] * self._line_count + self._in_turn(lines)
        return (placed * self._width + along) * SHAPES + shapes


def _backwards(ranks: Indices, opens: Mask, going: Going) -> Mask:
    if going is not Going.THERE_AND_BACK:
        return np.full(len(opens), going is Going.BACK)
    line = np.cumsum(opens) - 1
    first_of_thread = np.flatnonzero(np.diff(ranks, prepend=-1) != 0)
    threads = np.cumsum(np.diff(ranks, prepend=-1) != 0) - 1
    odd: Mask = (line - line[first_of_thread][threads]) % 2 == 1
    return odd


def _turned(opens: Mask, backwards: Mask) -> Indices:
    """The order of the runs with those of each backward line turned round."""
    firsts = np.flatnonzero(opens)
    ends = np.append(firsts[1:], len(opens))
    line = np.cumsum(opens) - 1
    at = np.arange(len(opens))
    # Turning is its own inverse, so the places the runs go to are also those they come from.
    return np.where(backwards, firsts[line] + ends[line] - 1 - at, at)


def _skips(starts: Indices, lengths: Indices, opens: Mask, backwards: Mask) -> Indices:
    """Squares between each run and the one worked before it in its line, 0 for the first of a line."""
    before = np.where(opens, 0, starts - np.concatenate(([0], (starts + lengths)[:-1])))
    after = np.append(before[1:], 0)
    return np.where(backwards, after, before)
