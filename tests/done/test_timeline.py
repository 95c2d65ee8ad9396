"""What holds now follows from all strokes in the order of their ids, and from nothing else."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from hypothesis import example, given
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.addresses import Addresses
from stitchview.done.change import DONE, OPEN, Altered, Change, Selection
from stitchview.done.history import Maker
from stitchview.done.ids import compose
from stitchview.done.marks import Marks, change_to
from stitchview.done.strokes import Stroke, row_of
from stitchview.done.timeline import Replay, Timeline, digest_of, fingerprint, timeline_of


def numbered(number: int) -> bytes:
    return compose(number, 0)


@example([("mark", 0), ("mark", 0), ("undo", 0), ("redo", 0)])
@given(st.lists(st.tuples(st.sampled_from(["mark", "undo", "redo"]), st.integers(0, 4)), max_size=40))
def test_live_strokes_are_those_not_left_undone(steps: list[tuple[str, int]]) -> None:
    """Undoing and redoing any strokes, in any order and of any target, agrees with the plain rule.

    The plain rule: a stroke holds unless the last undo or redo of it was an undo that took effect;
    what is undone can be redone until something new is marked.
    """
    timeline = Timeline()
    state: dict[int, str] = {}
    for number, (kind, about) in enumerate(steps):
        timeline.add(numbered(number), None, kind, None if kind == "mark" else numbered(about))
        if kind == "mark":
            state = {key: "gone" if value == "undone" else value for key, value in state.items()}
            state[number] = "live"
        elif kind == "undo" and state.get(about) == "live":
            state[about] = "undone"
        elif kind == "redo" and state.get(about) == "undone":
            state[about] = "live"
        assert timeline.live == [numbered(n) for n in sorted(state) if state[n] == "live"]
        assert sorted(timeline.undone) == [numbered(n) for n in sorted(state) if state[n] == "undone"]
    assert timeline.count == len(steps)
    assert timeline.newest == (numbered(len(steps) - 1) if steps else None)


def test_a_stroke_that_makes_nothing_only_ends_redoing() -> None:
    """It is no stroke to be undone; what was undone before it is gone for good."""
    maker = Maker("sofa")
    addresses = Addresses(Chart(np.ones((1, 1), np.uint16), ()))
    altered = Altered(np.array([0]), np.array([OPEN], np.uint8), np.array([DONE], np.uint8))
    made = maker.stroke("mark", change=Change(Area(0, 0, 1, 1), altered))
    strokes = made, maker.stroke("undo", target=made.id), maker.stroke("mark")
    timeline = timeline_of(row_of(stroke, addresses) for stroke in strokes)
    assert timeline.live == []
    assert timeline.undone == ()
    assert timeline.straight
    assert timeline.count == 3


def test_what_was_undone_last_is_redone_first() -> None:
    """The strokes that can be redone lie in the order of undoing."""
    timeline = Timeline()
    for number in range(3):
        timeline.add(numbered(number), None, "mark", None)
    for number, target in ((3, 2), (4, 1)):
        timeline.add(numbered(number), None, "undo", numbered(target))
    assert timeline.undone == (numbered(2), numbered(1))
    timeline.add(numbered(5), None, "redo", numbered(1))
    assert timeline.live == [numbered(0), numbered(1)]
    timeline.add(numbered(6), None, "mark", None)
    assert len(timeline.undone) == 0


@given(st.integers(0, 2**32 - 1))
def test_the_last_word_on_a_stitch_wins(small_chart: Callable[[], Chart], seed: int) -> None:
    """Going through many strokes at a time gives what one by one gives."""
    chart, random = small_chart(), np.random.default_rng(seed)
    addresses, replay, marks = Addresses(chart), Replay(chart, Addresses(chart)), Marks(chart)
    for number in range(30):
        chosen = [
            np.flatnonzero(random.random(states.size) < random.choice([0.02, 0.3]))
            for states in marks.families
        ]
        change = change_to(marks, Selection(*chosen), int(random.integers(2)))
        if change is None:
            continue
        replay.add(row_of(Stroke(numbered(number), None, 0, "", "mark", change=change), addresses))
        marks.apply(change)
    for mine, theirs in zip(replay.finish(), marks.families, strict=True):
        assert np.array_equal(mine, theirs)


def test_a_fingerprint_tells_charts_apart(small_chart: Callable[[], Chart]) -> None:
    """It changes with the stitches and their addresses, not with threads or words."""
    chart = small_chart()
    squares = chart.squares.copy()
    squares[squares == 2] = 1
    assert fingerprint(replace(chart, squares=squares, title="another")) == fingerprint(chart)
    squares = chart.squares.copy()
    squares[0, 0] = 1
    others = [
        replace(chart, squares=squares),
        replace(chart, squares=np.pad(chart.squares, ((0, 1), (0, 0)))),
        replace(chart, origin=(1, 0)),
        replace(chart, parts=type(chart.parts)()),
        replace(chart, lines=type(chart.lines)()),
        replace(chart, points=type(chart.points)()),
    ]
    assert len({fingerprint(each) for each in [chart, *others]}) == 1 + len(others)


def test_a_digest_tells_strokes_apart() -> None:
    """Other strokes, or the same in another order, are another digest."""
    one, two = numbered(1), numbered(2)
    assert len({digest_of(ids) for ids in ([], [one], [two], [one, two], [two, one])}) == 5


def test_a_timeline_is_straight_when_each_stroke_knew_of_the_one_before() -> None:
    """A stroke lost, or made elsewhere at the same time, is noticed."""
    for order, straight in (([1, 2, 3], True), ([1, 3], False), ([2, 3], False), ([], True)):
        timeline = Timeline()
        for number in order:
            timeline.add(numbered(number), numbered(number - 1) if number > 1 else None, "mark", None)
        assert timeline.straight is straight
