"""The chart as it stands on the cloth, checked against numpy's roll, rot90 and flip."""

import itertools
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.counting import facts
from stitchview.chart.model import Chart
from stitchview.chart.turning import Turn, turned_chart
from stitchview.done.addresses import Addresses
from stitchview.done.asworked import altered_by, as_worked, on_cloth
from stitchview.done.change import DONE, Selection
from stitchview.done.differences import MOST_DIFFERENCES, Added, Difference, NotWorked, OtherThread, Shifted
from stitchview.done.marks import Marks, change_to
from stitchview.done.shapes import Takes, rectangle
from stitchview.errors import CommandError

TURNS = st.builds(Turn, st.integers(0, 3), st.booleans())
SEEDS = st.integers(0, 10**6)


@st.composite
def areas(draw: st.DrawFn, columns: int, rows: int) -> Area:
    column, row = draw(st.integers(0, columns - 1)), draw(st.integers(0, rows - 1))
    return Area(column, row, draw(st.integers(1, columns - column)), draw(st.integers(1, rows - row)))


@st.composite
def differences(draw: st.DrawFn, chart: Chart) -> Difference:
    """Any kind of difference about squares of a chart, whether it fits or not."""
    area = draw(areas(chart.columns, chart.rows))
    name = f"{draw(st.integers(0, 99)):02}"
    placed = (name, area.column, area.row, area.columns, area.rows)
    sort, code = draw(st.sampled_from(["", "crosses", "lines", "points"])), draw(st.sampled_from("abcd"))
    match draw(st.integers(0, 5)):
        case 0:
            return NotWorked(*placed, sort, draw(st.sampled_from(["", code])))
        case 1:
            return OtherThread(*placed, sort, draw(st.sampled_from(["", chr(ord(code) + 1)])), code)
        case 2:
            return Added(*placed, code)
    across, down = draw(st.integers(-3, 3)), draw(st.integers(-3, 3))
    assume(across or down)
    return Shifted(*placed, across, down)


def looks(chart: Chart) -> tuple[object, ...]:
    """All that is on a chart, in an order that does not hang on how its tables are ordered."""
    parts, lines, points = chart.parts, chart.lines, chart.points
    ends = [
        (*sorted([(x1, y1), (x2, y2)]), *rest)
        for x1, y1, x2, y2, *rest in zip(
            *(each.tolist() for each in (lines.x1, lines.y1, lines.x2, lines.y2, lines.kinds, lines.keys)),
            strict=True,
        )
    ]
    return (
        chart.squares.tolist(),
        _rows(parts.columns, parts.rows, parts.shapes, parts.keys),
        sorted(ends),
        _rows(points.x, points.y, points.kinds, points.keys),
    )


def _rows(*columns: NDArray[Any]) -> list[tuple[int, ...]]:
    return sorted(zip(*(each.tolist() for each in columns), strict=True))


@given(SEEDS, st.data())
def test_a_shifted_block_lies_where_numpy_rolls_it(
    random_chart: Callable[[int, int, int, int], Chart], seed: int, data: st.DataObject
) -> None:
    """A block of any size shifted any way lies where numpy.roll puts it, and leaves bare squares behind."""
    chart = random_chart(12, 9, 4, seed)
    area = data.draw(areas(12, 9))
    across, down = data.draw(st.integers(-4, 4)), data.draw(st.integers(-4, 4))
    assume((across or down) and 0 <= area.column + across <= 12 - area.columns)
    assume(0 <= area.row + down <= 9 - area.rows)
    mask = np.zeros((9, 12), bool)
    mask[area.slices()] = True
    assume(chart.squares[mask].any())
    worked = as_worked(chart, [Shifted("s", area.column, area.row, area.columns, area.rows, across, down)])
    rolled, there = (np.roll(each, (down, across), (0, 1)) for each in (chart.squares, mask))
    assert np.array_equal(worked.squares, np.where(there, rolled, np.where(mask, 0, chart.squares)))


@given(SEEDS, st.integers(-5, 5), st.integers(-5, 5))
def test_a_piece_with_bare_edges_shifted_whole_is_rolled(
    random_chart: Callable[[int, int, int, int], Chart], seed: int, across: int, down: int
) -> None:
    """Everything a little off on the cloth: numpy.roll of the whole chart, and no count changes."""
    assume(across or down)
    chart = random_chart(8, 6, 4, seed)
    chart = replace(chart, squares=np.pad(chart.squares, 5))
    worked = as_worked(chart, [Shifted("s", 0, 0, chart.columns, chart.rows, across, down)])
    assert np.array_equal(worked.squares, np.roll(chart.squares, (down, across), (0, 1)))
    assert facts(worked).crosses.tolist() == facts(chart).crosses.tolist()


@given(st.data(), st.lists(TURNS, min_size=1, max_size=6))
def test_turning_and_differing_may_change_places(
    small_chart: Callable[[], Chart], data: st.DataObject, turns: list[Turn]
) -> None:
    """Any turns of what is worked show the worked turned chart; after the way back nothing is turned."""
    chart = replace(small_chart(), sheets=())
    held = on_cloth(chart, data.draw(st.lists(differences(chart), max_size=4))).hold
    worked, turn, seen = as_worked(chart, held), Turn(), as_worked(chart, held)
    for step in turns:
        turn, seen = turn.then(step), turned_chart(seen, step)
        assert facts(seen).crosses.tolist() == facts(worked).crosses.tolist()
        assert facts(seen).back_length.sum() == pytest.approx(facts(worked).back_length.sum())
    theirs = worked.squares[:, ::-1] if turn.mirrored else worked.squares
    assert np.array_equal(seen.squares, np.rot90(theirs, -turn.quarters))
    other = as_worked(turned_chart(chart, turn), [_turned(each, turn, chart) for each in held])
    assert looks(other) == looks(seen)
    back = seen
    for _ in range(4 if turn.mirrored is False else 2):
        back = turned_chart(back, turn)
    if turn.mirrored is False:
        assert looks(back) == looks(seen)
    assert looks(turned_chart(seen, turn.back)) == looks(worked)


def _turned(difference: Difference, turn: Turn, chart: Chart) -> Difference:
    area = turn.area(difference.area, chart.columns, chart.rows)
    placed = (difference.id, area.column, area.row, area.columns, area.rows)
    match difference:
        case Shifted():
            return Shifted(*placed, *turn.step(difference.across, difference.down))
        case OtherThread():
            return OtherThread(*placed, difference.sort, difference.was, difference.code)
        case NotWorked():
            return NotWorked(*placed, difference.sort, difference.code)
        case Added():
            return Added(*placed, difference.code)


@given(st.data())
def test_nothing_is_lost_but_what_is_said(small_chart: Callable[[], Chart], data: st.DataObject) -> None:
    """Stitches on the cloth are those of the chart, without those told as lost, with those added."""
    chart = small_chart()
    held = on_cloth(chart, data.draw(st.lists(differences(chart), max_size=4))).hold
    expected = _stitches(chart)
    for at, each in enumerate(held):
        told = altered_by(chart, held[:at], each)
        expected += (told.altered if isinstance(each, Added) else 0) - told.lost
        assert _stitches(as_worked(chart, held[: at + 1])) == expected


def _stitches(chart: Chart) -> int:
    loose = len(chart.parts) + len(chart.lines) + len(chart.points)
    return int(np.count_nonzero(chart.squares)) + loose


@given(st.data(), SEEDS)
def test_marks_go_with_their_stitches(
    small_chart: Callable[[], Chart], data: st.DataObject, seed: int
) -> None:
    """Marks of any stitches on the cloth come back from the file as they went, and no two are mixed up."""
    chart = replace(small_chart(), origin=(-3, 5))
    held = data.draw(st.lists(differences(chart), max_size=4))
    worked = as_worked(chart, held)
    marks, random = Marks(worked), np.random.default_rng(seed)
    chosen = (np.flatnonzero(random.random(each.size) < 0.5) for each in marks.families)
    change = change_to(marks, Selection(*chosen), DONE)
    assume(change is not None)
    assert change is not None
    back = Addresses(worked).change_of(Addresses(worked).rows_of(change))
    for mine, theirs in zip(change.families, back.families, strict=True):
        assert mine.indices.tolist() == theirs.indices.tolist()
        assert mine.new.tolist() == theirs.new.tolist()
    # Read without differences, every mark but those of added stitches is on the printed stitch.
    printed = Addresses(chart).change_of(Addresses(worked).rows_of(change))
    added = sum(
        int(
            np.isin(
                np.ravel_multi_index(np.mgrid[each.area.slices()].reshape(2, -1), chart.squares.shape),
                change.squares.indices,
            ).sum()
        )
        for each in on_cloth(chart, held).hold
        if isinstance(each, Added)
    )
    assert printed.count == change.count - added


def test_a_block_goes_with_all_that_is_on_it(small_chart: Callable[[], Chart]) -> None:
    """A block one row further down takes marks, part stitches, its lines and its knots along."""
    chart = small_chart()
    worked = as_worked(chart, [Shifted("s", 1, 1, 10, 7, 0, 1)])
    assert np.array_equal(worked.squares[2:9, 1:11], chart.squares[1:8, 1:11])
    assert not worked.squares[1].any()
    assert worked.parts.rows.tolist() == (chart.parts.rows + 1).tolist()
    # The upright lines end on the row below the block: they are not of it.
    assert worked.lines.y1.tolist() == [4, 2, 9, 2]
    assert worked.points.y.tolist() == [14, 14, 20]


@pytest.mark.parametrize(
    ("difference", "words"),
    [
        (Shifted("s", 0, 0, 12, 10, 0, -2), "would lie off the chart"),
        (Shifted("s", 5, 5, 40, 10, 1, 0), "reaches off the chart"),
        (Shifted("s", 0, 0, 1, 1, 1, 0), "no stitch"),
        (Added("s", 5, 5, 1, 1, "a"), "one already"),
        (Added("s", 0, 0, 1, 1, "q"), "no thread with the code"),
        (OtherThread("s", 0, 0, 12, 10, "crosses", "a", "q"), "no thread with the code"),
        (NotWorked("s", 0, 0, 1, 1, "", ""), "no stitch"),
    ],
)
def test_what_cannot_be_is_said_in_one_sentence(
    small_chart: Callable[[], Chart], difference: Difference, words: str
) -> None:
    """What pushes stitches off the chart, contradicts it or is about nothing: a sentence, nothing changed."""
    chart = small_chart()
    with pytest.raises(CommandError, match=words):
        altered_by(chart, [], difference)
    found = on_cloth(chart, [difference])
    assert found.chart is chart
    assert [each for each, _ in found.passed_over] == [difference]


def test_differences_about_the_same_squares_are_refused(small_chart: Callable[[], Chart]) -> None:
    """Two differences cannot be about the same squares, nor about those where a block now lies."""
    chart, one = small_chart(), Shifted("1", 2, 2, 3, 3, 2, 0)
    for column in range(12):
        other = NotWorked("2", column, 3, 1, 1, "crosses", "")
        clash = 2 <= column < 7
        found = on_cloth(chart, [other, one])
        assert bool(found.passed_over) == clash or not chart.squares[3, column]
        if clash:
            with pytest.raises(CommandError, match="differs there already"):
                altered_by(chart, [one], other)


def test_of_differences_that_clash_the_first_recorded_holds(
    small_chart: Callable[[], Chart],
) -> None:
    """In whichever order they are read, the difference recorded first holds."""
    chart = small_chart()
    told = [NotWorked(name, 3, 3, 2, 2, "", "") for name in "132"]
    for each in itertools.permutations(told):
        assert [one.id for one in on_cloth(chart, each).hold] == ["1"]


def test_a_region_takes_what_a_shift_takes(small_chart: Callable[[], Chart]) -> None:
    """What is about to lie elsewhere is just what marking the same region would mark."""
    chart = small_chart()
    for area in (Area(2, 2, 4, 5), Area(0, 0, 12, 9), Area(5, 5, 2, 2)):
        told = altered_by(chart, [], NotWorked("n", area.column, area.row, area.columns, area.rows, "", ""))
        assert told.lost == rectangle(chart, area, Takes()).count


def test_more_differences_than_a_piece_can_have_are_passed_over(small_chart: Callable[[], Chart]) -> None:
    """A layer made elsewhere names more than a thousand: the first ones hold, and the rest costs no time."""
    chart = small_chart()
    wide = replace(
        chart,
        squares=np.zeros((40, 40), np.uint16),
        parts=type(chart.parts)(),
        lines=type(chart.lines)(),
        points=type(chart.points)(),
    )
    told = [Added(f"{at:04}", at % 40, at // 40, 1, 1, "a") for at in range(MOST_DIFFERENCES + 9)]
    found = on_cloth(wide, told)
    assert found.hold == tuple(told[:MOST_DIFFERENCES])
    assert [each for each, _ in found.passed_over] == told[MOST_DIFFERENCES:]
    with pytest.raises(CommandError, match="can have 1,000"):
        altered_by(wide, told[:MOST_DIFFERENCES], told[-1])
    altered_by(wide, told[: MOST_DIFFERENCES - 1], told[-1])
