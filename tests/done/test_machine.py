"""Any evenings of marking, unpicking, undoing, closing, crashing and correcting agree with plain sets."""

import tempfile
from dataclasses import replace
from pathlib import Path

import numpy as np
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from stitchview.chart.area import Area
from stitchview.chart.model import Chart, KeyEntry, Symbol
from stitchview.chart.stitches import Lines, Parts, Points
from stitchview.done.change import DONE, OPEN, Selection
from stitchview.done.keeper import Keeper
from stitchview.done.layerfile import OpenedLayer, open_layer
from stitchview.done.marks import change_to
from stitchview.done.shapes import Takes, rectangle
from stitchview.errors import LayerError

COLUMNS, ROWS, THREADS = 9, 7, 3
STEPS = st.integers(0, 2)
AREAS = st.builds(
    Area, st.integers(0, COLUMNS), st.integers(0, ROWS), st.integers(1, COLUMNS), st.integers(1, ROWS)
)

# What a hand does: an area, the thread in hand or all of them, and whether it marks or unpicks.
Hand = tuple[Area, int | None, int]
HANDS: st.SearchStrategy[Hand] = st.tuples(
    AREAS, st.sampled_from([None, 1, 2, 3]), st.sampled_from([DONE, DONE, OPEN])
)

# A stitch in the plain model: its family and its address, which no sheet and no correction changes.
Stitch = tuple[object, ...]
Stroke = tuple[frozenset[Stitch], int]


def first_chart(seed: int) -> Chart:
    random = np.random.default_rng(seed)
    squares = random.integers(0, THREADS + 1, (ROWS, COLUMNS), np.uint16)
    spots = random.integers(0, 14, (6, 4)).astype(np.int32)
    spots[:, 2:] = spots[:, :2] + random.integers(0, 3, (6, 2))
    spots = np.unique(spots, axis=0)
    keys = random.integers(1, THREADS + 1, len(spots)).astype(np.uint16)
    small = np.ones(len(spots), np.uint8)
    x1, y1, x2, y2 = (np.ascontiguousarray(each) for each in spots.T)
    corners = np.unique(spots[:, :2], axis=0)
    x, y = (np.ascontiguousarray(each) for each in corners.T)
    return Chart(
        squares,
        tuple(KeyEntry(code, Symbol(code), code) for code in "abc"),
        identity="evenings",
        parts=Parts(x // 2, y // 2, np.arange(1, len(x) + 1).astype(np.uint8), keys[: len(x)]),
        lines=Lines(x1, y1, x2, y2, small, keys),
        points=Points(x, y, small[: len(x)], keys[: len(x)]),
    )


def stitches(chart: Chart, selection: Selection) -> list[Stitch]:
    """The stitches selected, named by their addresses, as a plain loop finds them."""
    column, row = chart.origin
    parts, lines, points = chart.parts, chart.lines, chart.points
    named: list[Stitch] = []
    for flat in selection.squares.tolist():
        named.append(("square", flat % chart.columns + column, flat // chart.columns + row))
    for at in selection.parts.tolist():
        named.append(("part", parts.columns[at] + column, parts.rows[at] + row, int(parts.shapes[at])))
    for at in selection.lines.tolist():
        ends = sorted([(lines.x1[at], lines.y1[at]), (lines.x2[at], lines.y2[at])])
        named.append(("line", *((x + 2 * column, y + 2 * row) for x, y in ends)))
    for at in selection.points.tolist():
        named.append(("point", points.x[at] + 2 * column, points.y[at] + 2 * row))
    return named


def everything(chart: Chart) -> Selection:
    return Selection(
        np.flatnonzero(chart.squares.ravel()),
        np.arange(len(chart.parts)),
        np.arange(len(chart.lines)),
        np.arange(len(chart.points)),
    )


class Evenings(RuleBasedStateMachine):
    """The program's marks, history and file beside a model of plain Python sets."""

    opened: OpenedLayer
    keeper: Keeper

    @initialize(seed=st.integers(0, 1000))
    def begin(self, seed: int) -> None:
        self.folder = tempfile.TemporaryDirectory(prefix="stitchview-test-")
        self.chart = first_chart(seed)
        self.removed: dict[int, int] = {}
        self.live: list[Stroke] = []
        self.undone: list[Stroke] = []
        self.kept: list[bytes] = []
        self.failed: list[LayerError] = []
        self.open()

    def open(self) -> None:
        path = Path(self.folder.name)
        self.opened = open_layer(path / "harbour.svchart", self.chart, path / "elsewhere", "sofa")
        assert self.opened.notices == ()
        self.keeper = Keeper(self.opened, self.kept.extend, self.failed.append)

    def on_cloth(self) -> set[Stitch]:
        """What is done by the model: the last word of the strokes that hold."""
        done: set[Stitch] = set()
        for stroke, state in self.live:
            done = done | stroke if state == DONE else done - stroke
        return done

    def mark(self, opened: OpenedLayer, keeper: Keeper, done: set[Stitch], hand: Hand) -> None:
        """Mark or unpick in a window that shows `done`, and tell the model."""
        area, only, state = hand
        selection = rectangle(self.chart, area, Takes(only=only))
        altered = frozenset(
            each for each in stitches(self.chart, selection) if (each in done) is not (state == DONE)
        )
        change = change_to(opened.marks, selection, state)
        assert (change is None) == (not altered)
        if change is None:
            return
        assert set(stitches(self.chart, change.selection())) == altered
        opened.marks.apply(change)
        keeper.put(opened.history.record(change))
        self.live.append((altered, state))
        self.undone.clear()

    @rule(hand=HANDS)
    def mark_or_unpick(self, hand: Hand) -> None:
        self.mark(self.opened, self.keeper, self.on_cloth(), hand)

    @rule(hands=st.lists(HANDS, min_size=2, max_size=2))
    def mark_in_two_windows(self, hands: list[Hand]) -> None:
        """Two windows on one chart that do not see each other's marks; closed, nothing of either is lost."""
        assert self.keeper.flush()
        before, path = self.on_cloth(), Path(self.folder.name)
        other = open_layer(path / "harbour.svchart", self.chart, path / "elsewhere", "stool")
        other_keeper = Keeper(other, self.kept.extend, self.failed.append)
        self.mark(other, other_keeper, before, hands[0])
        assert other_keeper.close() is None
        self.mark(self.opened, self.keeper, before, hands[1])
        assert self.keeper.close() is None
        self.open()

    @rule()
    def undo(self) -> None:
        step = self.opened.history.undo()
        assert (step is None) == (not self.live)
        if step is not None:
            self.opened.marks.apply(step.change)
            self.keeper.put(step.stroke)
            self.undone.append(self.live.pop())

    @rule()
    def redo(self) -> None:
        step = self.opened.history.redo()
        assert (step is None) == (not self.undone)
        if step is not None:
            self.opened.marks.apply(step.change)
            self.keeper.put(step.stroke)
            self.live.append(self.undone.pop())

    @rule()
    def close_and_reopen(self) -> None:
        assert self.keeper.close() is None
        self.open()

    @rule()
    def crash_and_reopen(self) -> None:
        """All strokes that were reported as kept are there; the file is not closed in good order."""
        assert self.keeper.flush()
        # Without a snapshot of the last strokes, and with the old connection still open.
        crashed, self.crashed_keeper = self.opened, self.keeper
        self.open()
        crashed.layer.keep_snapshot = lambda *given: None  # type: ignore[method-assign] # crashed programs do nothing
        assert self.crashed_keeper.close() is None

    @rule(left=STEPS, top=STEPS)
    @precondition(lambda self: self.chart.columns < 20)
    def add_a_sheet(self, left: int, top: int) -> None:
        """The chart grows at its left and top, with stitches on the new squares."""
        assert self.keeper.close() is None
        chart, parts, lines, points = self.chart, self.chart.parts, self.chart.lines, self.chart.points
        x, y = 2 * left, 2 * top
        self.chart = replace(
            chart,
            squares=np.pad(chart.squares, ((top, 0), (left, 0)), constant_values=1),
            origin=(chart.origin[0] - left, chart.origin[1] - top),
            parts=Parts(parts.columns + left, parts.rows + top, parts.shapes, parts.keys),
            lines=Lines(lines.x1 + x, lines.y1 + y, lines.x2 + x, lines.y2 + y, lines.kinds, lines.keys),
            points=Points(points.x + x, points.y + y, points.kinds, points.keys),
        )
        self.open()

    @rule(data=st.data())
    def correct_the_chart(self, data: st.DataObject) -> None:
        """A stitch is taken out of the chart, or another thread is given to one, or one is put in."""
        assert self.keeper.close() is None
        squares = self.chart.squares.copy()
        # Few squares, so that the same one is often taken out, marked round, and put in again.
        row, column = data.draw(st.sampled_from([(1, 1), (1, 2), (self.chart.rows - 1, 3)]))
        squares[row, column] = data.draw(st.integers(0, THREADS))
        self.chart = replace(self.chart, squares=squares)
        self.open()

    @invariant()
    def marks_agree_with_the_sets(self) -> None:
        marks = self.opened.marks
        shown = Selection(*(np.flatnonzero(states == DONE) for states in marks.families))
        there = set(stitches(self.chart, everything(self.chart)))
        assert set(stitches(self.chart, shown)) == self.on_cloth() & there

    @invariant()
    def counts_agree_with_the_sets(self) -> None:
        total = self.opened.tally.total()
        there = set(stitches(self.chart, everything(self.chart)))
        assert total.stitches == len(there)
        assert total.done == len(self.on_cloth() & there)

    def teardown(self) -> None:
        """Undo to the bottom gives the first state; the file says the same as memory."""
        if not hasattr(self, "opened"):
            return
        while self.live:
            self.undo()
        assert not self.opened.history.can_undo
        assert self.opened.tally.total().done == 0
        assert self.keeper.close() is None
        assert self.failed == []
        again = open_layer(
            Path(self.folder.name) / "harbour.svchart",
            self.chart,
            Path(self.folder.name),
            "sofa",
            look_only=True,
        )
        assert again.tally.total().done == 0
        again.layer.close()
        self.folder.cleanup()


TestEvenings = Evenings.TestCase
TestEvenings.settings = settings(max_examples=40, stateful_step_count=25, deadline=None)
