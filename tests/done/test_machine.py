"""Any evenings of marking, noting, undoing, closing, crashing and correcting agree with plain tables."""

import tempfile
from collections import Counter
from dataclasses import replace
from pathlib import Path

import numpy as np
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from stitchview.chart.stitches import Lines, Parts, Points
from stitchview.done.change import DONE, FIRST_LEG, LATER, MISTAKE, OPEN, Change, Selection
from stitchview.done.keeper import Keeper
from stitchview.done.layerfile import OpenedLayer, open_layer
from stitchview.done.marks import change_to, noting
from stitchview.done.notebook import NO_NOTES, Notes, NotesChange
from stitchview.done.shapes import Takes, rectangle
from stitchview.errors import LayerError
from tests.done.evenings import (
    HANDS,
    JOTTINGS,
    STEPS,
    THREADS,
    Hand,
    Jotting,
    Stitch,
    Stroke,
    addressed,
    everything,
    first_chart,
    is_altered,
    on_cloth,
    on_paper,
    placed,
    stitches,
    subject_of,
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

    def mark(
        self,
        opened: OpenedLayer,
        keeper: Keeper,
        shown: dict[Stitch, int],
        hand: Hand,
        jotting: Jotting | None = None,
    ) -> None:
        """Mark or unpick in a window that shows these states, perhaps note with it; tell the model."""
        area, only, state = hand
        selection = rectangle(self.chart, area, Takes(only=only))
        altered = frozenset(
            each for each in stitches(self.chart, selection) if is_altered(each, shown.get(each, OPEN), state)
        )
        change = change_to(opened.marks, selection, state)
        assert (change is None) == (not altered)
        notes = None if jotting is None else self.jotted(opened, jotting)
        if change is None and notes is None:
            return
        assert change is None or set(stitches(self.chart, change.selection())) == altered
        self.make(opened, keeper, noting(self.chart, notes or NO_NOTES, change), altered, state)

    def jotted(self, opened: OpenedLayer, jotting: Jotting) -> NotesChange | None:
        """The notes that a hand puts in or takes off, in a window."""
        note, put = placed(self.chart, jotting[0]), jotting[1]
        return opened.marks.notes.putting(note) if put else opened.marks.notes.removing(note)

    def make(
        self, opened: OpenedLayer, keeper: Keeper, change: Change, altered: frozenset[Stitch], state: int
    ) -> None:
        """Make a change in a window, and tell the model."""
        opened.marks.apply(change)
        keeper.put(opened.history.record(change))
        notes = [(subject_of(self.chart, each.note), each.new) for each in change.notes.rewritten]
        told = tuple((subject, None if new is None else addressed(self.chart, new)) for subject, new in notes)
        self.live.append(Stroke(altered, state, told))
        self.undone.clear()

    @rule(hand=HANDS)
    def mark_or_unpick(self, hand: Hand) -> None:
        self.mark(self.opened, self.keeper, on_cloth(self.live), hand)

    @rule(jotting=JOTTINGS)
    def note(self, jotting: Jotting) -> None:
        """Note something by itself."""
        notes = self.jotted(self.opened, jotting)
        if notes is not None:
            assert notes
            self.make(self.opened, self.keeper, noting(self.chart, notes), frozenset(), DONE)

    @rule(hand=HANDS, jotting=JOTTINGS)
    def mark_and_note(self, hand: Hand, jotting: Jotting) -> None:
        """Note something with a mark, as one stroke."""
        self.mark(self.opened, self.keeper, on_cloth(self.live), hand, jotting)

    @rule(
        hands=st.lists(HANDS, min_size=2, max_size=2),
        jottings=st.lists(st.none() | JOTTINGS, min_size=2, max_size=2),
    )
    def mark_in_two_windows(self, hands: list[Hand], jottings: list[Jotting | None]) -> None:
        """Two windows on one chart that do not see each other's marks; closed, nothing of either is lost."""
        assert self.keeper.flush()
        before, path = on_cloth(self.live), Path(self.folder.name)
        other = open_layer(path / "harbour.svchart", self.chart, path / "elsewhere", "stool")
        other_keeper = Keeper(other, self.kept.extend, self.failed.append)
        self.mark(other, other_keeper, before, hands[0], jottings[0])
        assert other_keeper.close() is None
        self.mark(self.opened, self.keeper, before, hands[1], jottings[1])
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
        cloth = on_cloth(self.live)
        there = set(stitches(self.chart, everything(self.chart)))
        for state in (DONE, FIRST_LEG, LATER, MISTAKE):
            shown = Selection(*(np.flatnonzero(states == state) for states in marks.families))
            expected = {each for each, told in cloth.items() if told == state}
            assert set(stitches(self.chart, shown)) == expected & there

    @invariant()
    def notes_agree_with_the_model(self) -> None:
        chart = self.chart
        noted = {subject_of(chart, note): addressed(chart, note) for note in self.opened.marks.notes}
        assert noted == on_paper(self.live)

    @invariant()
    def where_she_stopped_is_the_last_mark(self) -> None:
        latest = self.opened.history.latest()
        assert (latest is None) == (not any(stroke.stitches for stroke in self.live))

    @invariant()
    def counts_agree_with_the_sets(self) -> None:
        total = self.opened.tally.total()
        there = set(stitches(self.chart, everything(self.chart)))
        assert total.stitches == len(there)
        counted = Counter(state for each, state in on_cloth(self.live).items() if each in there)
        told = (total.done, total.first_legs, total.later, total.mistakes)
        assert told == tuple(counted[state] for state in (DONE, FIRST_LEG, LATER, MISTAKE))

    def teardown(self) -> None:
        """Undo to the bottom gives the first state; the file says the same as memory."""
        if not hasattr(self, "opened"):
            return
        while self.live:
            self.undo()
        assert not self.opened.history.can_undo
        assert self.opened.tally.total().done == 0
        assert self.opened.marks.notes == Notes()
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
        assert again.marks.notes == Notes()
        again.layer.close()
        self.folder.cleanup()


TestEvenings = Evenings.TestCase
TestEvenings.settings = settings(max_examples=40, stateful_step_count=25, deadline=None)
