"""The nearest stitch left and the next in order, against scipy's k-d tree and plain sorting."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.colour import Colour
from stitchview.chart.csvkey import plain_entry
from stitchview.chart.model import Chart
from stitchview.done.change import DONE, OPEN, Selection
from stitchview.done.marks import Marks, change_to
from stitchview.done.shapes import Takes, rectangle, thread_in
from stitchview.follow.clothpitch import USUAL_PITCH, Pitch
from stitchview.follow.nearest import following, nearest, preceding
from stitchview.follow.spots import Found
from stitchview.follow.threadwork import ThreadWork

spatial = pytest.importorskip("scipy.spatial")

Busy = Callable[..., ThreadWork]
Drawn = Callable[[str], Chart]
HalfDone = Callable[[Chart, float, int], Marks]

ONE_THREAD = (plain_entry("a", "Sample cotton 17, slate blue", Colour(80, 100, 140)),)

seeds = st.integers(0, 2**31)
pitches = st.builds(Pitch, st.floats(0.5, 3), st.floats(0.5, 3))


def squares_left(work: ThreadWork, number: int) -> NDArray[np.int64]:
    """The unfinished squares of a thread, whole or in part, as (column, row) in reading order."""
    rows, columns = np.nonzero(work.squares_left(work.chart.area, number))
    return np.column_stack((columns, rows))


def points(*spots: tuple[int, int]) -> ThreadWork:
    """A chart of one thread with stitches on the given squares only."""
    squares = np.zeros((10, 10), np.uint16)
    for column, row in spots:
        squares[row, column] = 1
    return ThreadWork(Marks(Chart(squares, ONE_THREAD)))


def square_of(found: Found | None) -> tuple[int, int] | None:
    return None if found is None else (found.column, found.row)


def test_the_published_example() -> None:
    """Five squares, seen from (0,0) and from (3,3), and a tie of three (checks.md, section 6.3)."""
    pitch = Pitch(1, 1)
    five = points((3, 4), (0, 5), (5, 0), (6, 8), (2, 2))
    found = nearest(five, 1, (0, 0), pitch)
    assert found is not None
    assert square_of(found) == (2, 2)
    assert found.mm == pytest.approx(2.8284, abs=5e-5)
    assert square_of(nearest(five, 1, (3, 3), pitch)) == (3, 4)
    assert square_of(nearest(points((3, 4), (0, 5), (5, 0), (6, 8)), 1, (0, 0), pitch)) == (5, 0)


def test_uneven_cloth_decides_what_is_near() -> None:
    """At 14 across and 13 down, 11 columns are farther than 10 rows, 10 are nearer (checks.md, 6.2)."""
    uneven = Pitch(25.4 / 14, 25.4 / 13)
    wide = np.zeros((12, 12), np.uint16)
    wide[0, 11] = wide[10, 0] = 1
    work = ThreadWork(Marks(Chart(wide, ONE_THREAD)))
    assert square_of(nearest(work, 1, (0, 0), uneven)) == (0, 10)
    wide = np.zeros((12, 12), np.uint16)
    wide[0, 10] = wide[10, 0] = 1
    work = ThreadWork(Marks(Chart(wide, ONE_THREAD)))
    assert square_of(nearest(work, 1, (0, 0), uneven)) == (10, 0)


@pytest.mark.parametrize("side", [25.4 / 14, 0.1, 25.4 / 3])
def test_ties_are_ties_however_they_are_rounded(side: float) -> None:
    """3 and 4 squares off is as far as 5 straight on: the lowest row wins on every cloth."""
    work = points((5, 9), (8, 8), (9, 7), (9, 1), (2, 0), (1, 1))
    assert square_of(nearest(work, 1, (5, 4), Pitch(side, side))) == (2, 0)


@given(seeds, pitches, st.integers(1, 5), st.floats(0, 1), st.data())
def test_nearest_squares_are_those_of_a_k_d_tree(
    busy_work: Busy, seed: int, pitch: Pitch, number: int, share: float, data: st.DataObject
) -> None:
    """From any square on or off the chart, the distance is scipy.spatial.cKDTree's and the tie rule holds."""
    work = busy_work(40, 33, 5, seed, share)
    place = data.draw(st.tuples(st.integers(-10, 60), st.integers(-10, 60)))
    left = squares_left(work, number)
    found = nearest(work, number, place, pitch)
    if not len(left):
        assert found is None or found.family in ("lines", "points")
        return
    assert found is not None
    scale = np.array([pitch.across_mm, pitch.down_mm])
    tree = spatial.cKDTree(left * scale)
    away, _ = tree.query(np.array(place) * scale)
    assert found.mm == pytest.approx(away, rel=1e-9)
    near = tree.query_ball_point(np.array(place) * scale, away * (1 + 1e-9) + 1e-12)
    assert square_of(found) == tuple(left[min(near)].tolist())


@given(st.integers(0, 71), st.integers(0, 39), st.sampled_from([0.0, 0.5, 0.95, 0.999]), seeds)
def test_nearest_on_a_real_plate(
    plate: Chart, half_done: HalfDone, column: int, row: int, share: float, seed: int
) -> None:
    """Every thread of a chart printed in 1886, hardly begun or nearly finished, as cKDTree finds it."""
    work = ThreadWork(half_done(plate, share, seed))
    scale = np.array([USUAL_PITCH.across_mm, USUAL_PITCH.down_mm])
    for number in range(1, len(plate.key) + 1):
        left = squares_left(work, number)
        found = nearest(work, number, (column, row), USUAL_PITCH)
        assert (found is None) == (len(left) == 0)
        if found is not None:
            away, _ = spatial.cKDTree(left * scale).query(np.array([column, row]) * scale)
            assert found.mm == pytest.approx(away, rel=1e-9)


@given(seeds, pitches, st.integers(1, 3), st.data())
def test_lines_and_beads_when_nothing_else_is_left(
    busy_work: Busy, seed: int, pitch: Pitch, number: int, data: st.DataObject
) -> None:
    """A thread with only lines, knots and beads left is taken up at its nearest end (cKDTree again)."""
    work = busy_work(20, 15, 3, seed)
    marks, chart = work.marks, work.chart
    fill = rectangle(chart, chart.area, Takes(lines=False, points=False))
    change = change_to(marks, fill, DONE)
    assert change is not None
    marks.apply(change)
    lines, spots = chart.lines, chart.points
    mine = (lines.keys == number) & (marks.lines != DONE)
    beads = (spots.keys == number) & (marks.points != DONE)
    x = np.concatenate((lines.x1[mine], lines.x2[mine], spots.x[beads])) / 2
    y = np.concatenate((lines.y1[mine], lines.y2[mine], spots.y[beads])) / 2
    place = data.draw(st.tuples(st.integers(0, 19), st.integers(0, 14)))
    found = nearest(work, number, place, pitch)
    assert (found is None) == (len(x) == 0)
    if found is not None:
        scale = np.array([pitch.across_mm, pitch.down_mm])
        tree = spatial.cKDTree(np.column_stack((x, y)) * scale)
        assert found.mm == pytest.approx(tree.query((np.array(place) + 0.5) * scale)[0], rel=1e-9)
        assert found.family in ("lines", "points")
        assert chart.area.holds(found.column, found.row)


@given(seeds, st.integers(1, 4), st.floats(0.3, 1))
def test_next_goes_through_all_squares_once_and_previous_back(
    busy_work: Busy, seed: int, number: int, share: float
) -> None:
    """From the top left corner, next comes to every square in reading order, and then begins again."""
    work = busy_work(14, 12, 4, seed, share)
    left = [tuple(square) for square in squares_left(work, number).tolist()]
    if not left:
        return
    for go, order in ((following, left), (preceding, left[::-1])):
        place = order[-1]
        seen = []
        for _ in order:
            found = go(work, number, place, USUAL_PITCH)
            assert found is not None
            place = (found.column, found.row)
            seen.append(place)
        assert seen == order


@given(seeds, st.tuples(st.integers(-3, 16), st.integers(-3, 14)))
def test_next_from_anywhere_is_the_first_in_reading_order(
    busy_work: Busy, seed: int, place: tuple[int, int]
) -> None:
    """The place need not be a square of the thread, nor on the chart."""
    work = busy_work(14, 12, 4, seed, 0.8)
    left = sorted((row, column) for column, row in squares_left(work, 2).tolist())
    if left:
        after = [spot for spot in left if spot > (place[1], place[0])] or left
        before = [spot for spot in left if spot < (place[1], place[0])] or left
        found, back = following(work, 2, place, USUAL_PITCH), preceding(work, 2, place, USUAL_PITCH)
        assert found is not None
        assert back is not None
        assert (found.row, found.column) == after[0]
        assert (back.row, back.column) == before[-1]


@given(seeds, st.integers(1, 3))
def test_next_goes_through_lines_where_there_is_nothing_else(busy_work: Busy, seed: int, number: int) -> None:
    """A thread of back stitch only: every square in which a line or bead of it begins is come to."""
    work = busy_work(9, 8, 3, seed)
    marks, chart = work.marks, work.chart
    change = change_to(marks, rectangle(chart, chart.area, Takes(lines=False, points=False)), DONE)
    assert change is not None
    marks.apply(change)
    lines, spots = chart.lines, chart.points
    begins = set()
    for n in np.flatnonzero((lines.keys == number) & (marks.lines != DONE)).tolist():
        y, x = min((int(lines.y1[n]), int(lines.x1[n])), (int(lines.y2[n]), int(lines.x2[n])))
        begins.add((min(y // 2, 7), min(x // 2, 8)))
    for n in np.flatnonzero((spots.keys == number) & (marks.points != DONE)).tolist():
        begins.add((min(int(spots.y[n]) // 2, 7), min(int(spots.x[n]) // 2, 8)))
    place, seen = (8, 7), []
    for _ in begins:
        found = following(work, number, place, USUAL_PITCH)
        assert found is not None
        place = (found.column, found.row)
        seen.append((found.row, found.column))
    assert seen == sorted(begins)


def test_a_view_may_limit_the_search(thread_chart: Drawn) -> None:
    """Asked within an area, the nearest of that area is given, or nothing."""
    work = ThreadWork(Marks(thread_chart("ab.\n..a\na.b")))
    assert square_of(nearest(work, 1, (0, 0), USUAL_PITCH, Area(1, 0, 2, 3))) == (2, 1)
    assert nearest(work, 2, (0, 0), USUAL_PITCH, Area(0, 1, 2, 2)) is None
    assert nearest(work, 2, (0, 0), USUAL_PITCH, Area(7, 7, 2, 2)) is None


def test_part_stitches_count_and_finished_threads_do_not(small_chart: Callable[[], Chart]) -> None:
    """A thread of which only part stitches are left is found by them; a finished one is not found."""
    marks = Marks(small_chart())
    work = ThreadWork(marks)

    def put(selection: Selection, state: int) -> None:
        change = change_to(marks, selection, state)
        assert change is not None
        marks.apply(change)

    all_of_it = thread_in(marks.chart, marks.chart.area, 2, Takes())
    put(all_of_it, DONE)
    assert nearest(work, 2, (0, 0), USUAL_PITCH) is None
    assert following(work, 2, (0, 0), USUAL_PITCH) is None
    put(Selection(parts=all_of_it.parts), OPEN)
    found = nearest(work, 2, (0, 0), USUAL_PITCH)
    assert found is not None
    assert found.family == "parts"
    assert found.index in all_of_it.parts


@pytest.mark.parametrize("shape", [(1, 30), (30, 1), (1, 1)])
def test_charts_of_one_row_or_column(shape: tuple[int, int]) -> None:
    """One row, one column, one square, and one thread in all of them."""
    work = ThreadWork(Marks(Chart(np.ones(shape, np.uint16), ONE_THREAD)))
    last = (shape[1] - 1, shape[0] - 1)
    assert square_of(nearest(work, 1, last, USUAL_PITCH)) == last
    assert square_of(following(work, 1, last, USUAL_PITCH)) == (0, 0)
    assert square_of(preceding(work, 1, (0, 0), USUAL_PITCH)) == last


def test_an_empty_chart_has_nothing_near() -> None:
    """A chart without a stitch, and one without a square."""
    for shape in ((5, 7), (0, 0)):
        work = ThreadWork(Marks(Chart(np.zeros(shape, np.uint16), ONE_THREAD)))
        for go in (nearest, following, preceding):
            assert go(work, 1, (0, 0), USUAL_PITCH) is None
            assert go(work, None, (2, 2), USUAL_PITCH) is None


def test_what_is_looked_at_does_not_grow_with_the_chart(monkeypatch: pytest.MonkeyPatch) -> None:
    """A stitch three squares off costs the same few squares on 100 x 100 as on 2000 x 2000."""
    looked: list[int] = []
    plain = ThreadWork.crosses_left

    def counting(self: ThreadWork, area: Area, number: int | None = None) -> NDArray[np.bool_]:
        looked.append(area.count)
        return plain(self, area, number)

    monkeypatch.setattr(ThreadWork, "crosses_left", counting)
    costs = []
    for size in (100, 2000):
        squares = np.zeros((size, size), np.uint16)
        squares[50, 53] = squares[0, 0] = 1
        looked.clear()
        work = ThreadWork(Marks(Chart(squares, ONE_THREAD)))
        assert square_of(nearest(work, 1, (50, 50), USUAL_PITCH)) == (53, 50)
        costs.append(sum(looked))
    assert costs[0] == costs[1] < 500
