"""The key as a list: sorted and sought as she asks, and told of changes only where there are some."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtTest import QAbstractItemModelTester

from stitchview.canvas.desk import Desk
from stitchview.chart.model import Chart, KeyEntry, Symbol, Thread
from stitchview.done.change import FIRST_LEG, LATER, MISTAKE, Change, Selection
from stitchview.done.counts import in_halves
from stitchview.ui.keymodel import KeyModel, KeyRow, Order
from stitchview.ui.keywords import natural, short_names

MakeDesk = Callable[[Chart], Desk]
MarkThread = Callable[[Desk, int], Change | None]

BLEND = (Thread("Sample cotton 3"), Thread("Sample cotton 7"))
HARBOUR_KEY = (
    KeyEntry("a", Symbol("a"), "Sample cotton 10, slate blue", "10"),
    KeyEntry("b", Symbol("b"), "Sample cotton 9, slate grey", "9"),
    KeyEntry("c", Symbol("c"), "Lamp light", "B2", kind="bead"),
    KeyEntry("d", Symbol("d"), "", "", kind="silk", blend=BLEND, held_back=True),
)


@pytest.fixture
def model(make_desk: MakeDesk, small_chart: Callable[[], Chart]) -> KeyModel:
    """The key of the small harbour, with names that differ."""
    model = KeyModel()
    # Qt's own check of what a model may do watches all that follows.
    QAbstractItemModelTester(model, QAbstractItemModelTester.FailureReportingMode.Fatal, model)
    model.set_desk(make_desk(replace(small_chart(), key=HARBOUR_KEY)))
    return model


def numbers(model: KeyModel) -> list[int]:
    """The key entries in the order in which they are shown."""
    return [model.number_at(place) for place in range(model.rowCount())]


def test_each_row_tells_what_is_left(small_desk: Desk) -> None:
    """The counts of every row are those of a plain count over the chart."""
    model, chart = KeyModel(), small_desk.chart
    model.set_desk(small_desk)
    for number in range(1, 5):
        keys = (chart.squares.ravel(), chart.parts.keys, chart.lines.keys, chart.points.keys)
        plain = sum(each.tolist().count(number) for each in keys)
        assert model.row_at(number - 1).left == plain


def test_the_key_is_sorted_four_ways(model: KeyModel) -> None:
    """By the key, by what is left, by name and by number, in which 9 comes before 10 and none last."""
    assert numbers(model) == [1, 2, 3, 4]
    model.set_order(Order.NAME)
    assert numbers(model) == [3, 2, 1, 4]
    model.set_order(Order.NUMBER)
    assert numbers(model) == [2, 1, 3, 4]
    model.set_order(Order.LEFT)
    lefts = [model.row_at(place).left for place in range(4)]
    assert lefts == sorted(lefts, reverse=True)
    model.set_order(Order.KEY)
    assert numbers(model) == [1, 2, 3, 4]


@pytest.mark.parametrize(
    ("wanted", "found"),
    [
        ("slate", [1, 2]),
        ("GREY sample", [2]),
        ("bead", [3]),
        ("b2", [3]),
        ("held back", [4]),
        ("blend cotton 7", [4]),
        ("foxglove", []),
        ("  ", [1, 2, 3, 4]),
    ],
)
def test_threads_are_found_by_their_words(model: KeyModel, wanted: str, found: list[int]) -> None:
    """Every word she types must be found in the name, the number, the kind or the blend."""
    model.set_wanted(wanted)
    assert numbers(model) == found
    assert [model.place_of(number) for number in range(1, 5)] == [
        found.index(number) if number in found else -1 for number in range(1, 5)
    ]


def test_after_marks_only_what_changed_is_told(
    small_desk: Desk, mark_thread: MarkThread, qtbot: object
) -> None:
    """A stroke in one thread has one row drawn anew, however long the key is."""
    model = KeyModel()
    model.set_desk(small_desk)
    told: list[tuple[int, int]] = []

    def note(first: QModelIndex, last: QModelIndex) -> None:
        told.append((first.row(), last.row()))

    model.dataChanged.connect(note)
    model.refresh()
    assert told == []
    mark_thread(small_desk, 3)
    model.refresh()
    assert told == [(2, 2)]
    assert model.row_at(2).finished


def test_what_is_pointed_at_stays_the_same_thread(small_desk: Desk, mark_thread: MarkThread) -> None:
    """When marks change the order, the row under the keyboard moves along."""
    model = KeyModel()
    model.set_desk(small_desk)
    model.set_order(Order.LEFT)
    first = model.number_at(0)
    kept = QPersistentModelIndex(model.index(0))
    mark_thread(small_desk, first)
    model.refresh()
    assert kept.row() == model.place_of(first) == 3


def test_after_undo_the_list_is_as_it_was(small_desk: Desk, mark_thread: MarkThread) -> None:
    """Marked and taken back, no number differs from before."""
    model, fresh = KeyModel(), KeyModel()
    model.set_desk(small_desk)
    before = [model.row_at(place) for place in range(4)]
    mark_thread(small_desk, 2)
    model.refresh()
    fresh.set_desk(small_desk)
    assert [model.row_at(place) for place in range(4)] == [fresh.row_at(place) for place in range(4)]
    small_desk.undo()
    model.refresh()
    assert [model.row_at(place) for place in range(4)] == before


def test_a_row_is_spoken_in_plain_words(model: KeyModel) -> None:
    """A screen reader says name, whether in hand or finished, and what is left."""
    row = KeyRow(1, HARBOUR_KEY[0], "", 300, 180, in_hand=False)
    assert row.spoken == "Sample cotton 10, slate blue, 120 of 300 left"
    held = KeyRow(4, HARBOUR_KEY[3], "", 1200, 1200, in_hand=True)
    assert held.spoken == "Thread of symbol d, in hand, finished, 0 of 1,200 left, held back until last"
    assert KeyRow(3, HARBOUR_KEY[2], "", 0, 0, in_hand=False).spoken == "Lamp light, not used in the chart"
    assert not KeyRow(3, HARBOUR_KEY[2], "", 0, 0, in_hand=False).finished
    assert held.small_words == "silk · blend of 2 · held back"
    spoken = model.data(model.index(0), Qt.ItemDataRole.AccessibleTextRole)
    assert spoken == model.row_at(0).spoken


def test_the_sums_are_those_of_the_whole_key(small_desk: Desk, mark_thread: MarkThread) -> None:
    """The line at the foot counts the whole chart, even while only some threads are shown."""
    model = KeyModel()
    assert model.totals == ""
    model.set_desk(small_desk)
    total = small_desk.tally.total()
    assert model.totals == f"{total.stitches:,} left · 0 % done · 0 of 4 threads finished"
    mark_thread(small_desk, 4)
    model.set_wanted("shade 1")
    model.refresh()
    after = small_desk.tally.total()
    assert model.totals == (
        f"1 of 4 threads shown · {after.left:,} left · {after.share} done · 1 of 4 threads finished"
    )


def test_the_sums_of_a_chart_with_little_on_it(make_desk: MakeDesk) -> None:
    """One thread is a thread, and a bare chart is not called done."""
    model, bare = KeyModel(), np.zeros((3, 4), np.uint16)
    model.set_desk(make_desk(Chart(bare, HARBOUR_KEY)))
    assert model.totals == "Nothing to stitch on this chart"
    one = bare.copy()
    one[1, 1] = 2
    model.set_desk(make_desk(Chart(one, HARBOUR_KEY)))
    assert model.totals == "1 left · 0 % done · 0 of 1 thread finished"


def test_typing_goes_from_one_thread_to_the_next(model: KeyModel) -> None:
    """By the number, by any word of the name, round and round; the whole number wins."""
    assert model.place_begun_by("9", 0) == 1
    assert model.place_begun_by("slate", 0) == 0
    assert model.place_begun_by("slate", 1) == 1
    assert model.place_begun_by("slate", 2) == 0
    assert model.place_begun_by("LAMP L", 0) == 2
    assert model.place_begun_by("10", 1) == 0
    assert model.place_begun_by("x", 0) == -1


def test_two_thousand_threads_are_a_list_like_any_other(
    make_desk: MakeDesk, random_chart: Callable[[int, int, int, int], Chart]
) -> None:
    """The longest key the format allows is sorted and sought as a short one."""
    model = KeyModel()
    # The builder's letters end before 2,000; further codes are only names here.
    chart = random_chart(60, 60, 1900, 1)
    more = tuple(
        KeyEntry(chr(0x10000 + n), Symbol("x"), f"Sample silk {n}", str(n)) for n in range(1901, 2001)
    )
    model.set_desk(make_desk(replace(chart, key=chart.key + more)))
    assert model.rowCount() == 2000
    model.set_order(Order.NUMBER)
    assert numbers(model) == list(range(1, 2001))
    model.set_wanted("silk 2000")
    assert numbers(model) == [2000]


def test_short_names_leave_out_what_neighbours_share() -> None:
    """In a narrow panel the words are shown by which threads are told apart."""
    names = ["Sample cotton 1, red", "Sample cotton 2, red", "Gold", "Sample blend", "Sample bead"]
    assert short_names(names) == ["… 1, red", "… 2, red", "Gold", "… blend", "… bead"]
    assert short_names([]) == []
    assert short_names(["Gold"]) == ["Gold"]
    assert short_names(["Gold", "Gold"]) == ["Gold", "Gold"]


@given(st.lists(st.integers(0, 10**30), min_size=2), st.text("abcÄ ", max_size=3))
def test_numbers_in_names_sort_as_numbers(values: list[int], before: str) -> None:
    """Python's own order of whole numbers is the order of names that differ by a number alone."""
    names = [f"{before}{value}" for value in values]
    assert sorted(names, key=natural) == [f"{before}{value}" for value in sorted(values)]


def test_a_number_longer_than_python_reads_is_sorted_too() -> None:
    """A name from a hostile file cannot stop the list."""
    long = "9" * 10_000
    assert sorted([long + "1", long, "x"], key=natural) == [long, long + "1", "x"]


def test_an_empty_desk_has_an_empty_list(model: KeyModel) -> None:
    """When the chart is closed nothing of it stays."""
    model.set_desk(None)
    assert model.rowCount() == 0
    model.refresh()
    assert model.place_of(1) == -1
    assert np.array_equal(numbers(model), [])


def test_a_row_tells_first_legs_later_and_mistakes(small_desk: Desk) -> None:
    """Beside what is left; a row is told of anew also when none of its stitches came to be done."""
    model, told = KeyModel(), list[int]()
    model.set_desk(small_desk)
    model.dataChanged.connect(lambda first, last: told.extend(range(first.row(), last.row() + 1)))
    mine = np.flatnonzero(small_desk.chart.squares == 1)[:3]
    for at, state in zip(mine, (FIRST_LEG, LATER, MISTAKE), strict=True):
        small_desk.mark(Selection(np.array([at])), state)
        model.refresh()
    assert told == [0, 0, 0]
    row = model.row_at(0)
    assert row.left == row.stitches
    assert row.to_go == row.stitches - 0.5
    assert f"{in_halves(row.to_go)} of" in row.spoken
    assert row.spoken.endswith("left, 1 first leg, 1 for later, 1 mistake")
    small_desk.undo()
    model.refresh()
    assert model.row_at(0).spoken.endswith("left, 1 first leg, 1 for later")
