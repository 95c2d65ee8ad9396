"""Finding the place from the cloth, against laying the patch on every square by hand."""

import json
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.chart.stitches import Parts
from stitchview.done.change import DONE, Selection
from stitchview.done.marks import Marks, change_to, open_states
from stitchview.errors import CommandError
from stitchview.follow import patchmatching
from stitchview.follow.clothpatch import BARE, OPEN_SQUARE, ClothPatch, turned_patches
from stitchview.follow.clothpitch import Pitch
from stitchview.follow.finding import Fit, FoundPlaces, Looking, PlaceFinder
from tests.follow.needlecharts import chart_of
from tests.follow.patchbyhand import EDGE, Grid, Placed, laid_by_hand, seen_on

ALL = 10**6


def told(found: FoundPlaces) -> list[Placed]:
    return [(fit.area, fit.turn, fit.mirrored, fit.wrong) for fit in found.fits]


def in_reading_order(placed: Placed) -> tuple[int, int, int, bool]:
    area, turn, mirrored, _ = placed
    return area.row, area.column, turn, mirrored


@dataclass(frozen=True)
class Case:
    """A chart with marks, a patch and what is allowed."""

    chart: Chart
    marks: Marks
    patch: ClothPatch
    looking: Looking


@st.composite
def cases(draw: st.DrawFn) -> Case:
    """Charts of a few threads in runs, some of it done; patches cut from them and spoilt a little."""
    columns, rows = draw(st.integers(1, 150)), draw(st.integers(1, 30))
    threads, run = draw(st.integers(1, 4)), draw(st.integers(1, 9))
    random = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    squares = np.repeat(random.integers(0, threads + 1, (rows, columns)), run, axis=1)[:, :columns]
    if draw(st.booleans()):
        squares = np.repeat(squares, run, axis=0)[:rows]
    chart = with_parts(chart_of(squares, threads), random, draw(st.integers(0, 5)))
    states = open_states(chart)
    states[0][:, : draw(st.integers(0, columns))] = DONE
    states[0][chart.squares == 0] = 0
    states[2][:] = 0
    patch = spoilt(cut(chart, random), random, draw(st.integers(0, 3)), threads)
    looking = Looking(draw(st.booleans()), draw(st.booleans()), draw(st.booleans()), ALL)
    return Case(chart, Marks(chart, states), patch, looking)


def with_parts(chart: Chart, random: np.random.Generator, count: int) -> Chart:
    columns = random.integers(0, chart.columns, count).astype(np.int32)
    rows = random.integers(0, chart.rows, count).astype(np.int32)
    keys = random.integers(1, len(chart.key) + 1, count).astype(np.uint16)
    shapes = random.integers(1, 11, count).astype(np.uint8)
    return replace(chart, parts=Parts(columns, rows, shapes, keys))


def cut(chart: Chart, random: np.random.Generator) -> Grid:
    """A window of up to 7 x 7 squares, which may hang over the edge."""
    columns, rows = random.integers(1, 8, 2)
    left, top = random.integers(0, chart.columns), random.integers(0, chart.rows)
    padded = np.pad(chart.squares, EDGE + 1).astype(np.int32)
    over = random.integers(0, 2, 2) * 3
    top, left = np.maximum(0, top - over[0]), np.maximum(0, left - over[1])
    return padded[top + EDGE + 1 :, left + EDGE + 1 :][:rows, :columns]


def spoilt(squares: Grid, random: np.random.Generator, how: int, threads: int) -> ClothPatch:
    squares = squares.copy()
    if how & 1:
        squares[random.random(squares.shape) < 0.6] = OPEN_SQUARE
    if how & 2:
        at = tuple(random.integers(0, squares.shape))
        squares[at] = random.integers(0, threads + 2)
    if not (squares > BARE).any():
        squares[0, 0] = 1
    return ClothPatch(squares)


def check(case: Case) -> None:
    finder = PlaceFinder(case.marks)
    place, pitch = (case.chart.columns // 3, case.chart.rows // 2), Pitch(1, 1.3)
    found = finder.find(case.patch, place, case.looking, pitch)
    by_hand = sorted(
        laid_by_hand(seen_on(case.chart), case.patch.squares, case.looking), key=in_reading_order
    )
    assert sorted(told(found), key=in_reading_order) == by_hand
    assert found.count == len(by_hand)
    assert found.right == sum(wrong is None for *_, wrong in by_hand)
    for fit in found.fits:
        check_details(case, fit, place, pitch)
    order = [
        (not fit.done, fit.wrong is not None, fit.mm, fit.area.row, fit.area.column) for fit in found.fits
    ]
    assert order == sorted(order)
    few = finder.find(case.patch, place, replace(case.looking, most=3), pitch)
    assert few.fits == found.fits[:3]
    assert (few.right, few.one_wrong) == (found.right, found.one_wrong)


def check_details(case: Case, fit: Fit, place: tuple[int, int], pitch: Pitch) -> None:
    """The distance, the done squares and the wrong square of a place, one square at a time."""
    across = fit.area.column + (fit.area.columns - 1) / 2 - place[0]
    assert fit.mm == pytest.approx(pitch.apart(across, fit.area.row + (fit.area.rows - 1) / 2 - place[1]))
    ways = turned_patches(case.patch, case.looking.turned, case.looking.mirrored)
    way = next(each for each in ways if (each.turn, each.mirrored) == (fit.turn, fit.mirrored))
    rows, columns = np.nonzero(way.squares > BARE)
    places = zip((columns + fit.area.column).tolist(), (rows + fit.area.row).tolist(), strict=True)
    assert fit.done == all(is_done(case, column, row) for column, row in places)
    if fit.wrong is not None:
        assert fit.wrong_in_patch is not None
        x, y = fit.wrong_in_patch
        there = fit.wrong[1] - fit.area.row, fit.wrong[0] - fit.area.column
        assert case.patch.squares[y, x] == way.squares[there]
        assert way.filled_in(*there) == (x, y)


def is_done(case: Case, column: int, row: int) -> bool:
    return case.chart.area.holds(column, row) and bool(case.marks.squares[row, column] == DONE)


@settings(max_examples=150)
@given(cases())
def test_every_place_is_found_and_no_other(case: Case) -> None:
    """The places, their order and their details against numpy's windows on small charts of all kinds."""
    check(case)


@settings(max_examples=40)
@given(cases(), st.sampled_from([(0.0, 0, 0), (1.0, 0, 0), (0.0, ALL, ALL), (1.0, ALL, 0)]))
def test_every_way_to_look_finds_the_same(case: Case, bounds: tuple[float, int, int]) -> None:
    """However the work is shared between looking word by word and on all words, the places are the same."""
    with pytest.MonkeyPatch.context() as patched:
        for name, value in zip(("FEW", "VERY_FEW", "MANY"), bounds, strict=True):
            patched.setattr(patchmatching, name, value)
        check(case)


@pytest.mark.parametrize("plate", [288, 289])
def test_places_on_a_printed_plate(shared: Path, plate: int) -> None:
    """Patches cut from the verified plates of 1886 are found there and wherever they come again."""
    truth = json.loads((shared / "plates" / f"plate-{plate}.truth.json").read_text("utf-8"))
    codes = sorted(set("".join(truth["grid"])) - {"O"})
    squares = np.array(
        [[codes.index(code) + 1 if code in codes else 0 for code in row] for row in truth["grid"]]
    )
    chart = replace(chart_of(squares), key=chart_of(squares).key * len(codes))
    finder, seen = PlaceFinder(Marks(chart)), seen_on(chart)
    random = np.random.default_rng(plate)
    for number in range(40):
        size = random.integers(1, 8, 2)
        top, left = (int(n) for n in random.integers(0, np.array(squares.shape) - size + 1))
        patch = squares[top : top + size[0], left : left + size[1]].astype(np.int32)
        if not (patch > 0).any():
            continue
        looking = Looking(number % 2 == 0, number % 4 == 0, number % 3 == 0, ALL)
        found = finder.find(ClothPatch(patch), (left, top), looking)
        assert (Area(left, top, int(size[1]), int(size[0])), 0, False, None) in told(found)
        by_hand = laid_by_hand(seen, patch, looking)
        assert sorted(told(found), key=in_reading_order) == sorted(by_hand, key=in_reading_order)


def test_a_corner_of_the_work_is_found_by_the_bare_cloth_round_it() -> None:
    """Bare squares beyond the chart's edge fit, so that a corner of the work can be asked for."""
    finder = PlaceFinder(Marks(chart_of(np.ones((5, 70)))))
    corner = ClothPatch(np.array([[0, 0, 0], [0, 1, 1], [0, 1, 1]], np.int32))
    found = finder.find(corner, (0, 0), Looking(turned=True))
    assert [(fit.area.column, fit.area.row, fit.turn) for fit in found.fits] == [
        (-1, -1, 0),
        (-1, 3, 3),
        (68, -1, 1),
        (68, 3, 2),
    ]


def test_done_squares_come_first_and_the_near_ones_of_them() -> None:
    """Three alike squares: the two done ones first, by distance, then the nearest one, which is not done."""
    chart = chart_of(np.array([[1, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 1]]))
    marks = Marks(chart)
    change = change_to(marks, Selection.of(squares=np.array([0, 12])), DONE)
    assert change is not None
    marks.apply(change)
    found = PlaceFinder(marks).find(ClothPatch(np.array([[1]], np.int32)), (5, 0))
    assert [(fit.area.column, fit.done) for fit in found.fits] == [
        (0, True),
        (12, True),
        (3, False),
        (8, False),
    ]


def test_done_part_stitches_count_as_done() -> None:
    """A part stitch that is done is a done square for the place, and open again once it is unpicked."""
    chart = with_parts(chart_of(np.zeros((4, 4)), 1), np.random.default_rng(2), 1)
    marks = Marks(chart)
    patch = ClothPatch(np.array([[1]], np.int32))
    finder = PlaceFinder(marks)
    assert not finder.find(patch, (0, 0)).fits[0].done
    change = change_to(marks, Selection.of(parts=np.array([0])), DONE)
    assert change is not None
    for each, done in ((change, True), (change.inverse(), False)):
        marks.apply(each)
        for searcher in (finder, PlaceFinder(marks)):
            assert searcher.find(patch, (0, 0)).fits[0].done == done


def test_hits_without_end_are_counted() -> None:
    """On a chart of one thread a square of it fits everywhere: all are counted, the nearest are told."""
    finder = PlaceFinder(Marks(chart_of(np.ones((300, 400)))))
    found = finder.find(ClothPatch(np.array([[1]], np.int32)), (200, 100), Looking(most=5))
    assert (found.right, found.one_wrong) == (120_000, 0)
    assert [(fit.area.column, fit.area.row) for fit in found.fits] == [
        (200, 100),
        (200, 99),
        (199, 100),
        (201, 100),
        (200, 101),
    ]


def test_what_no_chart_has() -> None:
    """An empty chart and a thread that is not on it have no place; a place outside the chart does no harm."""
    patch = ClothPatch(np.array([[1, 0]], np.int32))
    assert PlaceFinder(Marks(chart_of(np.zeros((3, 3))))).find(patch, (0, 0)).count == 0
    finder = PlaceFinder(Marks(chart_of(np.ones((1, 1)))))
    assert finder.find(ClothPatch(np.array([[7]], np.int32)), (0, 0)).count == 0
    assert finder.find(patch, (-500, 900)).count == 1


def test_the_index_stays_small(random_chart: Callable[[int, int, int, int], Chart]) -> None:
    """What is kept between searches is at most 12 bytes a square, noise or not."""
    chart = random_chart(500, 300, 200, 1)
    assert 0 < PlaceFinder(Marks(chart)).weight <= 12 * 512 * 312


@pytest.mark.parametrize(
    ("squares", "said"),
    [
        (np.full((2, 2), OPEN_SQUARE), "has no thread in it"),
        (np.zeros((7, 7)), "has no thread in it"),
        (np.zeros((0, 0)), "has no thread in it"),
        (np.ones((1, 8)), "8 columns and 1 row. Fill in one of at most 7"),
    ],
)
def test_patches_that_cannot_be_looked_for(squares: NDArray[np.float64], said: str) -> None:
    """A patch with nothing filled in, or too large, is refused in a sentence."""
    with pytest.raises(CommandError, match=said):
        ClothPatch(squares.astype(np.int32))


def test_numbers_that_stand_for_nothing() -> None:
    """A number below the one for open squares is a fault of the program, not of hers."""
    with pytest.raises(ValueError, match="array of int32"):
        ClothPatch(np.full((1, 1), -2, np.int32))


def test_no_place_at_all_cannot_be_asked_for() -> None:
    """Asking for no place is refused."""
    with pytest.raises(CommandError, match="at least one"):
        Looking(most=0)
