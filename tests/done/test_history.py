"""Undo and redo have no end and need little memory."""

from collections.abc import Callable

import numpy as np
import pytest

from stitchview.chart.model import Chart
from stitchview.done.change import DONE, OPEN, Change, Selection
from stitchview.done.history import History, Maker, Past
from stitchview.done.ids import compose
from stitchview.done.marks import Marks, change_to
from stitchview.errors import LayerError


class Shelf:
    """Where changes are loaded from; counts how often."""

    def __init__(self) -> None:
        self.changes: dict[bytes, Change] = {}
        self.loads = 0

    def load(self, stroke_id: bytes) -> Change:
        self.loads += 1
        if stroke_id not in self.changes:
            raise LayerError("An earlier stroke cannot be read.")
        return self.changes[stroke_id]


def record_squares(history: History, marks: Marks, shelf: Shelf, count: int) -> None:
    for flat in np.flatnonzero((marks.chart.squares != 0) & (marks.squares == OPEN))[:count]:
        change = change_to(marks, Selection(np.array([flat])), DONE)
        assert change is not None
        marks.apply(change)
        shelf.changes[history.record(change).id] = change


def test_undo_to_the_bottom_and_redo_to_the_top(small_chart: Callable[[], Chart]) -> None:
    """Everything ever marked can be taken back and made again, with hardly anything held in memory."""
    marks, shelf = Marks(small_chart()), Shelf()
    history = History(Maker("sofa"), Past(shelf.load), most_bytes=100)
    record_squares(history, marks, shelf, 40)
    done = marks.squares.copy()
    undone = 0
    while step := history.undo():
        marks.apply(step.change)
        assert step.stroke.kind == "undo"
        undone += 1
    assert undone == 40
    assert shelf.loads >= 30  # 100 bytes hold a few changes of 10 bytes each
    assert (marks.squares == OPEN).all()
    assert not history.can_undo
    while step := history.redo():
        marks.apply(step.change)
        assert step.stroke.kind == "redo"
    assert np.array_equal(marks.squares, done)
    assert not history.can_redo


def test_strokes_of_this_evening_need_no_disk(small_chart: Callable[[], Chart]) -> None:
    """What was just marked is undone without reading anything."""
    marks, shelf = Marks(small_chart()), Shelf()
    history = History(Maker("sofa"), Past(shelf.load))
    record_squares(history, marks, shelf, 10)
    for _ in range(10):
        history.undo()
    assert shelf.loads == 0


def test_a_new_mark_ends_redoing(small_chart: Callable[[], Chart]) -> None:
    """After a new mark nothing undone before it can be redone."""
    marks, shelf = Marks(small_chart()), Shelf()
    history = History(Maker("sofa"), Past(shelf.load))
    record_squares(history, marks, shelf, 2)
    step = history.undo()
    assert step is not None
    marks.apply(step.change)
    assert history.can_redo
    record_squares(history, marks, shelf, 1)
    assert history.redo() is None


def test_a_stroke_never_meant_leaves_nothing_to_redo(small_chart: Callable[[], Chart]) -> None:
    """What is withdrawn is gone from undo and redo, and the strokes before it stay to be undone."""
    marks, shelf = Marks(small_chart()), Shelf()
    history = History(Maker("sofa"), Past(shelf.load))
    assert history.withdraw() is None
    record_squares(history, marks, shelf, 2)
    first, second = history.live
    found = history.withdraw()
    assert found is not None
    change, strokes = found
    assert change.squares.new.tolist() == [OPEN]
    assert [(each.kind, each.target) for each in strokes] == [("undo", second), ("mark", None)]
    assert history.live == (first,)
    assert not history.can_redo


def test_a_stroke_that_cannot_be_read_alters_nothing(small_chart: Callable[[], Chart]) -> None:
    """When an old stroke cannot be loaded, undo says so and stays where it was."""
    shelf, maker = Shelf(), Maker("sofa")
    ids = [maker.stroke("mark").id, maker.stroke("mark").id]
    history = History(maker, Past(shelf.load, live=ids[:1], undone=ids[1:]))
    for step in (history.undo, history.redo, history.latest):
        with pytest.raises(LayerError):
            step()
    assert history.live == (ids[0],)
    assert history.can_redo


def test_the_latest_stroke_shows_where_she_stopped(small_chart: Callable[[], Chart]) -> None:
    """The latest stroke that still holds is the place to point out."""
    marks, shelf = Marks(small_chart()), Shelf()
    history = History(Maker("sofa"), Past(shelf.load))
    assert history.latest() is None
    record_squares(history, marks, shelf, 3)
    latest = history.latest()
    assert latest is not None
    history.undo()
    before = history.latest()
    assert before is not None
    assert before.area != latest.area


def test_the_name_of_a_device_may_hold_anything() -> None:
    """A computer's name that is no proper text does not keep a stroke from being kept."""
    maker = Maker("so\udcfffa")
    assert maker.stroke("mark").device.encode()


def test_times_are_those_of_the_clock() -> None:
    """A stroke knows when it was made even when ids must run ahead of a clock set back."""
    late = Maker("sofa", clock=lambda: 5_000_000).stroke("mark")
    early = Maker("sofa", after=late.id, clock=lambda: 1_000_000).stroke("mark")
    assert early.time == 1_000_000
    assert early.id > late.id


def test_a_stroke_names_the_one_before_it() -> None:
    """Every stroke tells what its maker knew of, from the last one in the file on."""
    maker = Maker("sofa", after=compose(7, 7))
    first, second = maker.stroke("mark"), maker.stroke("mark")
    assert (first.after, second.after) == (compose(7, 7), first.id)
    assert Maker("sofa").stroke("mark").after is None
