"""Islands and stragglers of a thread, against scipy's labelling and its k-d tree."""

import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.colour import Colour
from stitchview.chart.csvkey import plain_entry
from stitchview.chart.model import Chart
from stitchview.done.change import DONE
from stitchview.done.marks import Marks, change_to
from stitchview.done.shapes import Takes, rectangle
from stitchview.follow.clothpitch import USUAL_PITCH, Pitch
from stitchview.follow.islands import islands_of
from stitchview.follow.stragglers import stragglers
from stitchview.follow.threadwork import ThreadWork

ndimage = pytest.importorskip("scipy.ndimage")
spatial = pytest.importorskip("scipy.spatial")

Busy = Callable[..., ThreadWork]
Drawn = Callable[[str], Chart]
HalfDone = Callable[[Chart, float, int], Marks]

ONE_THREAD = (plain_entry("a", "Sample cotton 17, slate blue", Colour(80, 100, 140)),)
EDGES, CORNERS = np.array([[0, 1, 0], [1, 1, 1], [0, 1, 0]]), np.ones((3, 3), int)

seeds = st.integers(0, 2**31)
pitches = st.builds(Pitch, st.floats(0.5, 3), st.floats(0.5, 3))


def agree_with_scipy(work: ThreadWork, number: int, corners: bool) -> None:
    """Sizes, areas and squares of all islands are those of scipy.ndimage."""
    mask = work.squares_left(work.chart.area, number)
    labels, count = ndimage.label(mask, CORNERS if corners else EDGES)
    islands = islands_of(work, number, corners)
    assert len(islands) == count
    assert sorted(islands.sizes.tolist()) == sorted(np.bincount(labels.ravel())[1:].tolist())
    bounds = ndimage.find_objects(labels)
    for n in range(len(islands)):
        squares = islands.squares(n)
        label = int(labels.ravel()[squares[0]])
        assert np.array_equal(squares, np.flatnonzero(labels == label))
        assert islands.area(n).slices() == bounds[label - 1]
        row, column = divmod(int(squares[-1]), work.chart.columns)
        assert islands.at(column, row) == n


@given(seeds, st.integers(1, 3), st.booleans(), st.floats(0, 1))
def test_islands_are_those_of_scipy(
    busy_work: Busy, seed: int, number: int, corners: bool, share: float
) -> None:
    """Joined groups of the squares left, whole or in part (scipy.ndimage.label and find_objects)."""
    agree_with_scipy(busy_work(25, 18, 3, seed, share), number, corners)


@pytest.mark.parametrize("corners", [False, True])
def test_islands_of_a_real_plate(plate: Chart, half_done: HalfDone, corners: bool) -> None:
    """Every thread of two charts printed in 1886, untouched and half done."""
    for share in (0.0, 0.5):
        work = ThreadWork(half_done(plate, share, 7))
        for number in range(1, len(plate.key) + 1):
            agree_with_scipy(work, number, corners)


@given(seeds, pitches, st.booleans(), st.tuples(st.integers(-5, 30), st.integers(-5, 25)))
def test_the_shore_of_an_island_is_its_nearest_square(
    busy_work: Busy, seed: int, pitch: Pitch, corners: bool, place: tuple[int, int]
) -> None:
    """The nearest square of each island has cKDTree's distance; the nearest island comes first."""
    work = busy_work(25, 18, 3, seed)
    islands = islands_of(work, 1, corners)
    shores = islands.seen_from(place, pitch)
    scale = np.array([pitch.across_mm, pitch.down_mm])
    for n in range(len(islands)):
        rows, columns = np.divmod(islands.squares(n), 25)
        tree = spatial.cKDTree(np.column_stack((columns, rows)) * scale)
        away, _ = tree.query(np.array(place) * scale)
        assert shores.mm[n] == pytest.approx(away, rel=1e-9)
        near = tree.query_ball_point(np.array(place) * scale, away * (1 + 1e-9) + 1e-12)
        assert (shores.columns[n], shores.rows[n]) == (columns[min(near)], rows[min(near)])
    in_order = shores.mm[shores.by_distance()]
    assert (np.diff(in_order) >= -1e-8).all()
    assert (np.diff(islands.sizes[islands.by_size()]) <= 0).all()


def test_islands_in_words_of_a_drawing(thread_chart: Drawn) -> None:
    """Four islands by edges, three where corners join; the largest and the nearest first."""
    work = ThreadWork(Marks(thread_chart("aa..a\n..a..\naab.a\n....a\n....a")))
    islands = islands_of(work, 1)
    assert [islands.sizes[n] for n in islands.by_size()] == [3, 2, 2, 1, 1]
    shores = islands.seen_from((2, 1), USUAL_PITCH)
    nearest = int(shores.by_distance()[0])
    assert islands.squares(nearest).tolist() == [7]
    assert shores.mm[nearest] == 0
    assert islands_of(work, 1, corners=True).sizes.tolist() == [5, 1, 3]
    assert islands.at(3, 3) is None
    assert islands.at(-1, 0) is islands.at(5, 0) is None


def test_islands_alike_far_come_in_reading_order(thread_chart: Drawn) -> None:
    """Three squares as far from the middle as one another: the upper one first, then the left one."""
    work = ThreadWork(Marks(thread_chart("..a..\n.....\na...a\n.....\n.....")))
    islands = islands_of(work, 1)
    for side in (1.0, 25.4 / 14, 0.1):
        shores = islands.seen_from((2, 2), Pitch(side, side))
        assert [islands.squares(n).tolist() for n in shores.by_distance().tolist()] == [[2], [10], [14]]


def test_no_islands_of_what_is_finished_or_has_no_squares(small_chart: Callable[[], Chart]) -> None:
    """A finished thread, a thread of lines only, and a chart without a stitch have none."""
    marks = Marks(small_chart())
    work = ThreadWork(marks)
    assert work.left(4).lines
    assert len(islands_of(work, 4)) == work.left(4).in_squares == 0
    done = change_to(marks, rectangle(marks.chart, marks.chart.area, Takes()), DONE)
    assert done is not None
    marks.apply(done)
    bare = ThreadWork(Marks(Chart(np.zeros((0, 0), np.uint16), ONE_THREAD)))
    for islands in (islands_of(work, 1), islands_of(bare, 1, corners=True)):
        assert len(islands) == len(islands.by_size()) == 0
        assert len(islands.seen_from((3, 3), USUAL_PITCH).by_distance()) == 0
        assert islands.at(0, 0) is None
    assert len(stragglers(work, 1, USUAL_PITCH)) == len(stragglers(bare, 1, USUAL_PITCH)) == 0


@given(seeds, pitches, st.floats(0, 12), st.floats(0.7, 1))
def test_stragglers_have_no_neighbour_within_a_carry(
    busy_work: Busy, seed: int, pitch: Pitch, carry: float, share: float
) -> None:
    """A square is a straggler exactly when scipy.spatial.cKDTree finds no other within the carry."""
    work = busy_work(40, 30, 3, seed, share)
    rows, columns = np.nonzero(work.squares_left(work.chart.area, 2))
    places = np.column_stack((columns * pitch.across_mm, rows * pitch.down_mm))
    found = stragglers(work, 2, pitch, carry)
    if len(places) == 0:
        assert len(found) == 0
        return
    away = spatial.cKDTree(places).query(places, 2)[0][:, 1]
    clear = np.abs(away - carry) > 1e-6
    lone = np.isin(rows * 40 + columns, found)
    assert np.array_equal(lone[clear], (away > carry)[clear])
    assert len(found) == lone.sum()


def test_stragglers_of_a_real_plate(plate: Chart, half_done: HalfDone) -> None:
    """Every thread of two charts printed in 1886, nearly finished, at 14 to the inch and 10 mm."""
    work = ThreadWork(half_done(plate, 0.97, 3))
    lone_in_all = 0
    for number in range(1, len(plate.key) + 1):
        squares = work.all_squares_left(number)
        rows, columns = np.divmod(squares, plate.columns)
        if len(squares):
            places = np.column_stack((columns, rows)) * USUAL_PITCH.across_mm
            away = spatial.cKDTree(places).query(places, 2)[0][:, 1]
            assert stragglers(work, number, USUAL_PITCH).tolist() == squares[away > 10].tolist()
            lone_in_all += int((away > 10).sum())
    assert lone_in_all


def test_a_carry_exactly_as_long_as_the_way_reaches() -> None:
    """Five squares of 2 mm are 10 mm, which a carry of 10 mm still reaches; six are too far."""
    for gap, lone in ((5, []), (6, [0, 6])):
        squares = np.zeros((1, 12), np.uint16)
        squares[0, [0, gap]] = 1
        work = ThreadWork(Marks(Chart(squares, ONE_THREAD)))
        assert stragglers(work, 1, Pitch(2, 2)).tolist() == lone
    alone = np.zeros((9, 9), np.uint16)
    alone[4, 4] = 1
    work = ThreadWork(Marks(Chart(alone, ONE_THREAD)))
    for carry in (10.0, 1e300):
        assert stragglers(work, 1, USUAL_PITCH, carry).tolist() == [40]


@pytest.mark.parametrize("wrong", [-1.0, math.inf, math.nan])
def test_a_carry_that_is_no_length_is_refused(small_chart: Callable[[], Chart], wrong: float) -> None:
    """No length, no stragglers."""
    with pytest.raises(ValueError, match="a carry is a length"):
        stragglers(ThreadWork(Marks(small_chart())), 1, USUAL_PITCH, wrong)
