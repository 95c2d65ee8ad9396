"""What each sitting added, kept up stroke by stroke, is what the piece before and after it tells."""

from collections.abc import Callable, Sequence

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.model import Chart
from stitchview.done import ledger as ledgers
from stitchview.done.addresses import Addresses
from stitchview.done.change import DONE, FIRST_LEG, LATER, MISTAKE, OPEN, Change, Selection
from stitchview.done.counts import Tally
from stitchview.done.deflated import MalformedStroke
from stitchview.done.diary import Diary
from stitchview.done.history import History, Maker, Past
from stitchview.done.ids import compose
from stitchview.done.ledger import Ledger, Worked
from stitchview.done.marks import Marks, change_to
from stitchview.done.strokes import StrokeRow, row_of
from tests.done.evenings import first_chart

STEPS = st.lists(
    st.one_of(
        st.tuples(
            st.integers(0, 62), st.integers(1, 20),
            st.sampled_from([DONE, DONE, OPEN, FIRST_LEG, LATER, MISTAKE]),
        ),
        st.sampled_from(["undo", "redo", "pause"]),
    ),
    max_size=25,
)  # fmt: skip


def rows_of(chart: Chart, steps: Sequence[object], minute: int = 0) -> list[StrokeRow]:
    """An evening's strokes, a minute apart; a pause is an hour."""
    clock = [60_000 * (1_000_000 + minute)]
    marks, addresses = Marks(chart), Addresses(chart)
    history = History(Maker("sofa", clock=lambda: clock[0]), Past(_nothing_to_load))
    rows = []
    for step in steps:
        clock[0] += 60_000 * (60 if step == "pause" else 1)
        if isinstance(step, tuple):
            start, count, state = step
            squares = np.arange(start, min(start + count, chart.squares.size))
            others = (np.arange(min(count, len(each))) for each in (chart.parts, chart.lines, chart.points))
            whole = state == FIRST_LEG
            chosen = Selection(squares) if whole else Selection(squares, *others)
            change = change_to(marks, chosen, state)
            if change is not None:
                marks.apply(change)
                rows.append(row_of(history.record(change), addresses))
        elif step in ("undo", "redo"):
            done = history.undo() if step == "undo" else history.redo()
            if done is not None:
                marks.apply(done.change)
                rows.append(row_of(done.stroke, addresses))
    return rows


def _nothing_to_load(_: bytes) -> Change:
    raise AssertionError("all strokes of these evenings are at hand")


def told_by_states(chart: Chart, rows: Sequence[StrokeRow]) -> tuple[Diary, Worked]:
    """Each sitting's gain from whole tallies before and after it, the way the program counted at first."""
    diary = Diary(chart, rows)
    found, before = [], np.zeros(len(chart.key) + 1)
    for states in diary.states([each.last for each in diary.sittings]):
        tally = Tally(chart, states)
        after = np.array([0.0] + [tally.of_key(number + 1).worked for number in range(len(chart.key))])
        found.append(after - before)
        before = after
    return diary, np.array(found).reshape(len(found), len(chart.key) + 1)


@given(st.integers(0, 50), STEPS)
def test_the_ledger_agrees_with_the_piece(seed: int, steps: Sequence[object]) -> None:
    """Any evening of marks, first legs, mistakes, undoing and redoing; the whole way and step by step."""
    chart = first_chart(seed)
    rows = rows_of(chart, steps)
    diary, expected = told_by_states(chart, rows)
    whole, grown = Ledger(chart), Ledger(chart)
    whole.take(rows)
    for end in range(len(rows) + 1):
        grown.take(rows[:end])
    assert np.array_equal(whole.by_sitting(diary.sittings), expected)
    assert np.array_equal(grown.by_sitting(diary.sittings), expected)
    assert grown.count == len(rows)


@given(st.integers(0, 50), STEPS, STEPS, st.integers(0, 40))
def test_strokes_of_two_places_agree_too(
    seed: int, here: Sequence[object], there: Sequence[object], later: int
) -> None:
    """Two windows that did not know of one another: undo takes back what is not the latest stroke."""
    chart = first_chart(seed)
    first = rows_of(chart, here)
    rows = sorted(
        {row.id: row for row in (*first, *rows_of(chart, there, later))}.values(), key=lambda r: r.id
    )
    diary, expected = told_by_states(chart, rows)
    ledger = Ledger(chart)
    ledger.take(first)
    ledger.take(rows)
    assert np.array_equal(ledger.by_sitting(diary.sittings), expected)


def test_little_at_hand_tells_the_same(
    small_chart: Callable[[], Chart], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where hardly anything is kept at hand, undoing all of an evening is gone through again, and agrees."""
    chart = small_chart()
    rows = rows_of(chart, [(at, 9, DONE) for at in range(0, 90, 9)] + ["pause"] + ["undo"] * 10)
    diary, expected = told_by_states(chart, rows)
    monkeypatch.setattr(ledgers, "MOST_AT_HAND", 200)
    ledger = Ledger(chart)
    ledger.take(rows)
    assert np.array_equal(ledger.by_sitting(diary.sittings), expected)
    assert expected.sum() == 0


def test_a_stroke_without_sense_is_not_half_taken(small_chart: Callable[[], Chart]) -> None:
    """Hindered by it, the ledger begins anew once it is mended, and counts nothing twice."""
    chart = small_chart()
    rows = rows_of(chart, [*((at, 9, DONE) for at in range(0, 36, 9)), "undo", "undo", "redo"])
    _, expected = told_by_states(chart, rows)
    ledger = Ledger(chart)
    with pytest.raises(MalformedStroke):
        ledger.take([*rows[:3], rows[3]._replace(squares=b"no stitches")])
    ledger.take(rows)
    assert np.array_equal(ledger.by_sitting(Diary(chart, rows).sittings), expected)


def test_nothing_begun_adds_nothing(small_chart: Callable[[], Chart]) -> None:
    """No strokes, no sittings; a stroke before all sittings that are asked for counts for none."""
    ledger = Ledger(small_chart())
    ledger.take([])
    assert ledger.by_sitting(()).shape == (0, len(small_chart().key) + 1)
    rows = rows_of(small_chart(), [(0, 9, DONE), "pause", (20, 9, DONE)])
    ledger.take(rows)
    last = Diary(small_chart(), rows).sittings[-1:]
    assert ledger.by_sitting(last).sum() > 0
    assert compose(1, 1) < rows[0].id
