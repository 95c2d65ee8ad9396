"""Changing dye lots between patches: the largest sum that fits, begun patches first, and rows by turns."""

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy import ndimage

from stitchview.chart.area import Area
from stitchview.chart.colour import Colour
from stitchview.chart.csvkey import plain_entry
from stitchview.chart.model import Chart
from stitchview.done.change import DONE, Selection
from stitchview.done.marks import Marks, change_to
from stitchview.plan.lotchange import (
    Patch,
    change_words,
    fullest,
    lot_change,
    next_rows,
    patches_of,
    rows_by_turns,
)


def chart_of(squares: NDArray[np.int64]) -> Chart:
    key = tuple(plain_entry("abc"[at], f"Sample cotton {at}", Colour(30 * at, 60, 90)) for at in range(3))
    return Chart(squares.astype(np.uint16), key)


def marked(chart: Chart, squares: NDArray[np.bool_]) -> Marks:
    marks = Marks(chart)
    change = change_to(marks, Selection(np.flatnonzero(squares)), DONE)
    if change is not None:
        marks.apply(change)
    return marks


def patch(size: int) -> Patch:
    squares = np.arange(size)
    return Patch(squares, squares, Area(0, 0, size, 1))


@pytest.mark.parametrize(
    ("room", "sizes"), [(1860, [900, 500, 300, 160]), (1000, [500, 300, 160]), (859, [500, 300])]
)
def test_a_worked_example(room: int, sizes: list[int]) -> None:
    """Patches of 900, 500, 300 and 160: the largest sum not above what is there (checks.md, section 2.5)."""
    found = fullest([patch(size) for size in (900, 500, 300, 160)], room)
    assert sorted((len(each.left) for each in found), reverse=True) == sizes


@given(st.lists(st.integers(1, 9), max_size=9), st.integers(-3, 60))
def test_no_other_choice_uses_more_of_the_lot(sizes: list[int], room: int) -> None:
    """Against every choice there is (itertools): the same sum, and never above the room."""
    patches = [patch(size) for size in sizes]
    used = sum(len(each.left) for each in fullest(patches, room))
    sums = [sum(each) for count in range(len(sizes) + 1) for each in combinations(sizes, count)]
    assert used == max((each for each in sums if each <= room), default=0)


def test_confetti_by_the_thousand_costs_nothing() -> None:
    """5,000 lone squares and a few large patches are summed up at once."""
    patches = [patch(1)] * 5000 + [patch(size) for size in (12_345, 40_000, 777)]
    assert sum(len(each.left) for each in fullest(patches, 44_000)) == 44_000


@given(st.integers(0, 2**32))
def test_patches_are_those_of_scipy(seed: int) -> None:
    """Joined by edges or corners, two symbols of one thread together: as scipy.ndimage.label says."""
    random = np.random.default_rng(seed)
    squares = random.integers(0, 4, (9, 11))
    done = random.random(squares.shape) < 0.4
    marks = marked(chart_of(squares), done & (squares > 0))
    labels, count = ndimage.label(np.isin(squares, (1, 3)), np.ones((3, 3)))
    found = patches_of(marks, (1, 3))
    assert len(found) == count
    for each in found:
        rows, columns = np.divmod(each.squares, 11)
        (label,) = set(labels[rows, columns].tolist())
        assert len(each.squares) == (labels == label).sum()
        assert len(each.left) == ((labels == label) & ~done).sum()
        assert (each.area.column, each.area.row) == (columns.min(), rows.min())
        assert (each.area.right - 1, each.area.bottom - 1) == (columns.max(), rows.max())


@given(st.integers(0, 2**32), st.integers(0, 60))
def test_no_patch_has_two_lots_unless_it_must(seed: int, room: int) -> None:
    """Each patch left is kept, next or torn, once; only one that is begun and too large is torn."""
    random = np.random.default_rng(seed)
    squares = (random.random((9, 11)) < 0.35).astype(np.int64)
    marks = marked(chart_of(squares), (random.random(squares.shape) < 0.2) & (squares > 0))
    change = lot_change(marks, (1,), room)
    every = [each for each in patches_of(marks, (1,)) if len(each.left)]
    told = [*change.kept, *change.next, *change.torn]
    assert sorted(int(each.squares[0]) for each in told) == [int(each.squares[0]) for each in every]
    assert change.covered <= room
    assert all(each.begun for each in change.torn)
    assert not any(each.begun for each in change.next)
    begun = sum(len(each.left) for each in every if each.begun)
    assert bool(change.torn) == (begun > room)
    assert change_words(change).endswith(".")


def test_begun_patches_are_finished_first() -> None:
    """A small begun patch goes before a large fresh one that would use up more of the lot."""
    squares = np.zeros((5, 20), np.int64)
    squares[0, :4], squares[4, :10] = 1, 1
    done = np.zeros(squares.shape, np.bool_)
    done[0, 0] = True
    change = lot_change(marked(chart_of(squares), done), (1,), 10)
    assert [len(each.left) for each in change.kept] == [3]
    assert [len(each.left) for each in change.next] == [10]
    assert "1 patch with the lot at hand (3 of about 10 squares)" in change_words(change)


def test_rows_take_turns_where_a_patch_must_have_both() -> None:
    """Every other row is of the lot at hand until it is used up; together they are all that is left."""
    squares = np.ones((6, 5), np.int64)
    done = np.zeros(squares.shape, np.bool_)
    done[0] = True
    change = lot_change(marked(chart_of(squares), done), (1,), 12)
    (torn,) = change.torn
    mine, others = rows_by_turns(torn, 5, 12)
    assert sorted({int(each) // 5 for each in mine}) == [1, 3, 5]
    assert len(mine) == 12
    assert sorted([*mine.tolist(), *others.tolist()]) == torn.left.tolist()
    rows = next_rows(change, 5)
    assert rows == (Area(0, 2, 5, 1), Area(0, 4, 5, 1), Area(2, 5, 3, 1))
    rimmed = {row.row * 5 + row.column + at for row in rows for at in range(row.columns)}
    assert rimmed == set(others.tolist())
    assert "take turns" in change_words(change)


def test_a_lot_that_is_enough_needs_no_change() -> None:
    """Said in a sentence."""
    change = lot_change(Marks(chart_of(np.ones((3, 3), np.int64))), (1,), 9)
    assert change.next == change.torn == ()
    assert "enough for every patch" in change_words(change)
