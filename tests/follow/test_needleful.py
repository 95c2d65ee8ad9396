"""The next needleful: what it covers, and in which order."""

import itertools
from collections.abc import Callable, Sequence

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stitchview.chart.model import Chart
from stitchview.follow.carrying import Carrying
from stitchview.follow.clothpitch import Pitch
from stitchview.follow.length import Needle, Working
from stitchview.follow.needleful import Needleful, Wish
from stitchview.follow.proposing import next_needleful
from stitchview.follow.rowcrossing import rows_crossed
from stitchview.follow.treebound import back_bound_mm
from tests.follow.needlecharts import chart_of, check, drawn, finish, proposed, squares_of, work_on

SQUARE = 25.4 / 14

needles = st.builds(
    Needle,
    st.sampled_from([Pitch(SQUARE, SQUARE), Pitch(1, 1.2), Pitch(4, 3)]),
    st.sampled_from(Working),
    length_mm=st.sampled_from([200.0, 450.0]),
    cloth_mm=st.sampled_from([0.0, 0.4]),
    factor=st.sampled_from([1.0, 1.3]),
)
carryings = st.builds(Carrying, st.sampled_from([0.0, 6.0, 10.0, 40.0]), st.booleans())


@settings(max_examples=40)
@given(
    st.tuples(st.integers(1, 40), st.integers(1, 40), st.integers(1, 4), st.integers(0, 10**6)),
    needles,
    carryings,
)
def test_needleful_after_needleful_finishes_the_thread(
    random_chart: Callable[[int, int, int, int], Chart],
    told: tuple[int, int, int, int],
    needle: Needle,
    carrying: Carrying,
) -> None:
    """Every needleful keeps to the rules, and one after the other they cover every square once."""
    chart = random_chart(*told)
    work = work_on(chart)
    place = (chart.columns // 2, chart.rows // 2)
    left = work.left(1).total
    for _ in range(left + 1):
        path = next_needleful(work, Wish(1, place, needle, carrying))
        if path is None:
            break
        check(work, path)
        finish(work, path)
        left -= len(path)
        assert path.left_after == left == work.left(1).total
        place = squares_of(path)[path.journeys[-1].start]
    assert left == 0


def test_rows_come_out_of_an_open_field() -> None:
    """In the corner of a field come level rows, there and back, each below the one before."""
    path = proposed(work_on(chart_of(np.ones((60, 60)))), Wish(1, (0, 0)))
    assert len(path) >= 40
    assert not path.carries
    assert all(len(journey) > 4 for journey in path.journeys[:-1])
    begun = [squares_of(path)[journey.start] for journey in path.journeys]
    assert begun == [(0, row) for row in range(len(begun))]


def test_a_single_row_goes_on_to_its_end() -> None:
    """A chart of one row is worked along, and as many crosses as the handbook's length makes: 42."""
    path = proposed(work_on(chart_of(np.ones((1, 300)))), Wish(1, (0, 0)))
    assert squares_of(path) == [(column, 0) for column in range(42)]
    assert path.journeys == (range(42),)
    completed = Needle(working=Working.AT_ONCE)
    path = proposed(work_on(chart_of(np.ones((1, 300)))), Wish(1, (0, 0), completed))
    assert squares_of(path) == [(column, 0) for column in range(39)]


def test_a_single_column_too() -> None:
    """A chart of one column is worked downwards, the half crosses down and the upper legs back."""
    path = proposed(work_on(chart_of(np.ones((300, 1)))), Wish(1, (0, 0)))
    assert squares_of(path) == [(0, row) for row in range(42)]
    assert path.journeys == (range(42),)


@pytest.mark.parametrize("working", Working)
def test_an_island_is_finished_with_nothing_left_behind(working: Working) -> None:
    """An island that one length covers is covered whole, from any of its squares, before another is begun."""
    chart = drawn(
        "................aaaa",
        "..aaaa..aa......aaaa",
        ".aaaaaaaaa......aaaa",
        ".aa..aaaa.......aaaa",
        "..aaaaaa........aaaa",
        "...a............aaaa",
    )
    island = {(x, y) for y, x in zip(*np.nonzero(chart.squares[:, :12]), strict=True)}
    for place in sorted(island):
        path = proposed(work_on(chart), Wish(1, (int(place[0]), int(place[1])), Needle(working=working)))
        assert island == set(squares_of(path)[: len(island)])


def test_nothing_next_door_is_jumped_over() -> None:
    """Between two squares that are joined it never goes somewhere else first when each is completed."""
    chart = drawn("aaaaaaaa", "bbbbbbba", "aaaaaaaa", "abbbbbbb", "aaaaaaaa")
    path = proposed(work_on(chart), Wish(1, (0, 0), Needle(working=Working.AT_ONCE)))
    steps = [abs(x - u) + abs(y - v) for (x, y), (u, v) in itertools.pairwise(squares_of(path))]
    assert len(path) == 26
    assert set(steps) == {1}


def crossings(path: Needleful) -> int:
    """How many pairs of lines of the drawn path cross: the rows, and the thread between them."""
    places = squares_of(path)
    begun = [places[journey.start] for journey in path.journeys]
    rows = [(places[journey.start], places[journey.stop - 1]) for journey in path.journeys]
    lines = [*itertools.pairwise(begun), *rows]
    return sum(_cross(*one, *other) for one, other in itertools.combinations(lines, 2))


def _cross(a: tuple[int, int], b: tuple[int, int], c: tuple[int, int], d: tuple[int, int]) -> bool:
    def side(p: tuple[int, int], q: tuple[int, int], r: tuple[int, int]) -> int:
        return int(np.sign((q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])))

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0


@pytest.mark.parametrize(("working", "most"), [(Working.AT_ONCE, 2), (Working.ROWS, 10)])
@pytest.mark.parametrize("share", [0.15, 0.6])
def test_routes_seldom_cross_themselves(working: Working, most: int, share: float) -> None:
    """Of forty ways over scattered squares or speckled fields few cross themselves, and hardly any twice.

    Rows there and back end where they began, so now and then the thread leads on behind one of them.
    """
    found = []
    for seed in range(40):
        squares = np.random.default_rng(seed).random((40, 40)) < share
        wish = Wish(1, (20, 20), Needle(working=working), Carrying(15))
        found.append(crossings(proposed(work_on(chart_of(squares)), wish)))
    assert sum(count > 0 for count in found) <= most
    assert max(found) <= 2


def test_rows_that_are_led_across_are_counted() -> None:
    """A way down over two rows crosses both, one that ends at a row or goes past its end none."""
    in_row = np.array([[0, 0, 0, 0], [1, 1, 1, 0], [0, 1, 1, 1], [0, 0, 0, 0]], bool)
    across = np.array([[1, 1], [1, 1], [3, 3], [0, 0], [2, 0]])
    down = np.array([[0, 3], [0, 2], [0, 3], [3, 0], [3, 3]])
    start, end = ((across[:, at], down[:, at]) for at in (0, 1))
    assert rows_crossed(in_row, start, end).tolist() == [2, 1, 1, 1, 0]


def test_routes_are_near_the_tree() -> None:
    """Over confetti and fields the thread behind is on the average under 1.25 times the tree's bound."""
    for working in Working:
        ratios = []
        for seed in range(30):
            random = np.random.default_rng(seed)
            squares = random.random((50, 50)) < random.choice([0.05, 0.2, 0.5, 0.9])
            wish = Wish(1, (25, 25), Needle(working=working))
            path = proposed(work_on(chart_of(squares)), wish)
            ratios.append(path.back_mm / back_bound_mm(path.stitches, wish.needle))
        assert np.mean(ratios) < 1.25


def best_order_mm(squares: Sequence[tuple[int, int]], needle: Needle) -> float:
    """The shortest way through the squares, middle to middle: every order is tried."""
    return min(_way_mm(order, needle) for order in itertools.permutations(squares))


def _way_mm(squares: Sequence[tuple[int, int]], needle: Needle) -> float:
    return sum(needle.pitch.apart(u - x, v - y) for (x, y), (u, v) in itertools.pairwise(squares))


@settings(max_examples=40)
@given(st.sets(st.tuples(st.integers(0, 9), st.integers(0, 9)), min_size=2, max_size=6))
def test_few_squares_are_gone_through_the_shortest_way(squares: set[tuple[int, int]]) -> None:
    """Up to six squares anywhere: never more than a tenth longer than the best of all orders."""
    grid = np.zeros((10, 10))
    for column, row in squares:
        grid[row, column] = 1
    needle = Needle(working=Working.AT_ONCE)
    path = proposed(work_on(chart_of(grid)), Wish(1, (5, 5), needle, Carrying(100)))
    assert set(squares_of(path)) == squares
    # Where it begins near the place it may take a little more thread for that.
    assert _way_mm(squares_of(path), needle) <= 1.1 * best_order_mm(sorted(squares), needle) + 0.4 * SQUARE
