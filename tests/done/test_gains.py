"""What is new since an earlier stroke, against plain sets and against the marks as they were that evening."""

from collections.abc import Callable
from contextlib import closing
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.model import Chart, KeyEntry, Symbol
from stitchview.done.change import DONE, FIRST_LEG, MISTAKE, OPEN, STATES
from stitchview.done.gains import gains_between
from stitchview.done.marks import open_states
from stitchview.done.pasts import states_after
from stitchview.done.schema import connect, read_rows
from stitchview.done.strokes import StrokeRow

if TYPE_CHECKING:
    from tests.done.conftest import Evening

NEVER = b"\0" * 16


def rows_of(evening: "Evening") -> list[StrokeRow]:
    with closing(connect(evening.layer_path, read_only=True)) as connection:
        return list(read_rows(connection))


def test_every_earlier_time_is_as_it_was(evening: "Evening", small_chart: Callable[[], Chart]) -> None:
    """After marks, unpicking, undo across sittings and redo, each moment is as it was seen."""
    opened = evening.open(small_chart())
    seen = []

    def note() -> None:
        seen.append([each.copy() for each in opened.marks.families])

    for area, state in ((Area(1, 1, 8, 2), DONE), (Area(1, 3, 8, 3), DONE), (Area(2, 1, 3, 3), OPEN)):
        evening.mark(opened, area, state)
        note()
    for step in (evening.undo, evening.undo, evening.redo, evening.undo, evening.undo, evening.redo):
        step(opened)
        note()
    evening.mark(opened, Area(0, 0, 12, 12))
    note()
    rows = rows_of(evening)
    assert len(rows) == len(seen)
    found = states_after(small_chart(), rows, [NEVER, *(row.id for row in rows)])
    for expected, states in zip([open_states(small_chart()), *seen], found, strict=True):
        assert all(np.array_equal(one, other) for one, other in zip(expected, states, strict=True))


def test_what_came_and_went_is_counted_by_thread(
    evening: "Evening", small_chart: Callable[[], Chart]
) -> None:
    """Of three sittings the gains add up to what the tally says, and unpicking counts below 0."""
    chart = small_chart()
    opened = evening.open(chart)
    for area, state in ((Area(0, 0, 12, 6), DONE), (Area(0, 0, 3, 3), OPEN), (Area(2, 2, 9, 8), FIRST_LEG)):
        evening.mark(opened, area, state)
    rows = rows_of(evening)
    states = [open_states(chart), *states_after(chart, rows, [row.id for row in rows])]
    gains = [gains_between(chart, one, other) for one, other in pairwise(states)]
    assert gains[1].stitches < 0
    assert gains[1].area.empty
    assert gains[1].came.empty
    total = np.sum([each.by_thread for each in gains], axis=0)
    assert np.array_equal(total.sum(axis=1), opened.tally.done())
    assert sum(each.stitches for each in gains) == opened.tally.total().worked
    assert sum(each.first_legs for each in gains) == opened.tally.total().first_legs > 0
    assert sum(gains[2].of_thread(n) for n in range(1, len(chart.key) + 1)) == gains[2].stitches
    assert [gains[0].of_thread(n) for n in range(1, len(chart.key) + 1)] == gains[0].by_thread[1:].sum(
        axis=1
    ).tolist()


@given(st.integers(0, 2**32), st.integers(0, 2**32))
def test_gains_are_those_of_plain_sets(one: int, other: int) -> None:
    """Any two states: what came and went are differences of the sets of done squares (Python's sets)."""
    squares = np.random.default_rng(one).integers(0, 4, (6, 7)).astype(np.uint16)
    before, after = (
        (np.random.default_rng(seed).integers(0, STATES, squares.shape) * (squares > 0)).astype(np.uint8)
        for seed in (one, other)
    )
    rest = open_states(Chart(squares, ()))[1:]
    key = tuple(KeyEntry(code, Symbol(code), code) for code in "abc")
    gains = gains_between(Chart(squares, key), (before, *rest), (after, *rest))
    then, now = ({tuple(at) for at in np.argwhere(each == DONE).tolist()} for each in (before, after))
    assert {divmod(int(at), 7) for at in gains.came.squares} == now - then
    assert {divmod(int(at), 7) for at in gains.went.squares} == then - now
    legs = [int((each == FIRST_LEG).sum()) for each in (before, after)]
    assert gains.crosses == len(now) - len(then)
    assert gains.stitches == len(now) - len(then) + (legs[1] - legs[0]) / 2
    assert gains.found_wrong == len(then & {tuple(at) for at in np.argwhere(after == MISTAKE).tolist()})
