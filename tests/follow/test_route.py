"""The thread a route takes, against closed forms, ways written out hole by hole, and scipy's tree."""

import itertools
import math
from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from stitchview.chart.stitches import PartShape
from stitchview.follow.clothpitch import Pitch
from stitchview.follow.legs import CROSS, worked
from stitchview.follow.length import Needle, Working, block_mm, part_mm, row_mm
from stitchview.follow.route import Journey, Stitches, joined, measured, simple_order
from stitchview.follow.treebound import back_bound_mm, least_between, tree_mm

UNIT = Pitch(1, 1)


def stitches_at(places: Sequence[tuple[int, int]], shapes: Sequence[int] | None = None) -> Stitches:
    columns, rows = (np.array([place[axis] for place in places], np.int64) for axis in (0, 1))
    kinds = np.array(shapes if shapes is not None else [CROSS] * len(places), np.int64)
    return Stitches(columns, rows, np.where(kinds == CROSS, -1, np.arange(len(places))), kinds)


def block(columns: int, rows: int, to_and_fro: bool = False) -> Stitches:
    along = [range(columns - 1, -1, -1) if to_and_fro and row % 2 else range(columns) for row in range(rows)]
    return stitches_at([(column, row) for row, each in enumerate(along) for column in each])


def one_by_one(stitches: Stitches) -> list[Journey]:
    return [(number,) for number in range(len(stitches))]


pitches = st.builds(Pitch, st.just(1.8), st.just(1.8)) | st.builds(
    Pitch, st.floats(0.5, 3), st.floats(0.5, 3)
)
shapes = st.sampled_from([CROSS, CROSS, CROSS, *PartShape])
places = st.lists(st.tuples(st.integers(0, 6), st.integers(0, 6), shapes), min_size=1, max_size=5)


@given(st.integers(1, 40), pitches, st.sampled_from(Working))
def test_a_row_is_as_long_as_its_closed_form(columns: int, pitch: Pitch, working: Working) -> None:
    """One level row, summed from hole to hole, is never more than the formula of checks.md, 2.2."""
    needle = Needle(pitch, working)
    stitches = block(columns, 1)
    total = measured(stitches, simple_order(stitches, needle), needle).total_mm
    closed = row_mm(needle, columns)
    if (working is Working.ROWS and columns > 1) or pitch.across_mm == pitch.down_mm:
        assert total == pytest.approx(closed)
    # On uneven cloth a single cross may be begun so that the shorter side lies behind.
    assert total <= closed + 1e-9


@pytest.mark.parametrize(("columns", "rows"), [(1, 1), (10, 1), (10, 10), (100, 1), (7, 30)])
def test_blocks_in_rows_are_as_long_as_their_closed_form(columns: int, rows: int) -> None:
    """Rows there and back, each next one below, against the exact finite forms of checks.md, 2.2."""
    needle = Needle(UNIT)
    stitches = block(columns, rows)
    length = measured(stitches, simple_order(stitches, needle), needle)
    assert length.total_mm == pytest.approx(block_mm(needle, columns, rows), rel=1e-9)


def test_ten_by_ten_lies_208_sides_behind() -> None:
    """Behind a block of 10 x 10 lie 208 sides in rows, and at most 310.26 each completed (2.2)."""
    rows, at_once = Needle(UNIT), Needle(UNIT, Working.AT_ONCE)
    stitches = block(10, 10)
    assert measured(stitches, simple_order(stitches, rows), rows).back_mm == pytest.approx(208)
    brought_back = measured(stitches, simple_order(stitches, at_once), at_once).back_mm
    to_and_fro = block(10, 10, to_and_fro=True)
    turned = measured(to_and_fro, one_by_one(to_and_fro), at_once).back_mm
    # The table works every cross with the same movements; beginning at the best hole may only save thread.
    assert brought_back <= 310.255121
    assert turned <= 245.279221
    assert turned == pytest.approx(100 + 99 * math.sqrt(2))


@pytest.mark.parametrize(
    "shape", [PartShape.HALF_RISING, PartShape.QUARTER_TOP_LEFT, PartShape.THREE_QUARTER_BOTTOM_RIGHT]
)
def test_long_rows_of_part_stitches(shape: PartShape) -> None:
    """A long row of part stitches, from hole to hole, comes to the table of checks.md, 2.1."""
    needle = Needle(UNIT)
    stitches = stitches_at([(column, 0) for column in range(1000)], [shape] * 1000)
    total = measured(stitches, one_by_one(stitches), needle).total_mm
    assert total / 1000 == pytest.approx(part_mm(needle, shape), abs=0.01)


def written_out(stitches: Stitches, pitch: Pitch) -> float:
    """The least thread at the back over every way to work every stitch, tried one after the other."""
    ways = [worked(shape, pitch).ways for shape in stitches.shapes.tolist()]
    best = math.inf
    for chosen in itertools.product(*ways):
        total = sum(way.back_mm for way in chosen)
        for number, (one, other) in enumerate(itertools.pairwise(chosen)):
            across = stitches.columns[number + 1] + other.enter[0] - stitches.columns[number] - one.leave[0]
            down = stitches.rows[number + 1] + other.enter[1] - stitches.rows[number] - one.leave[1]
            total += pitch.apart(across, down) or pitch.apart(1, 1)
        best = min(best, total)
    return best


@given(places, pitches)
def test_no_way_of_working_takes_less(found: list[tuple[int, int, int]], pitch: Pitch) -> None:
    """The thread behind is the least of all ways to begin each stitch, against trying all of them."""
    stitches = stitches_at([(column, row) for column, row, _ in found], [shape for _, _, shape in found])
    length = measured(stitches, one_by_one(stitches), Needle(pitch, Working.AT_ONCE))
    assert length.back_mm == pytest.approx(written_out(stitches, pitch))
    inside = length.back_mm - float(length.between_mm.sum())
    assert (
        inside >= sum(min(w.back_mm for w in worked(s, pitch).ways) for s in stitches.shapes.tolist()) - 1e-9
    )


@given(places, st.sampled_from(Working), st.integers(0, 4))
def test_breaking_off_uses_what_was_told(
    found: list[tuple[int, int, int]], working: Working, at: int
) -> None:
    """The thread told as used after a stitch is that of a route which ends there."""
    stitches = stitches_at([(column, row) for column, row, _ in found], [shape for _, _, shape in found])
    needle = Needle(UNIT, working, cloth_mm=0.4, factor=1.2)
    journeys = simple_order(stitches, needle)
    length = measured(stitches, journeys, needle)
    assert (np.diff(length.used_mm) > 0).all()
    assume(at < len(length.used_mm))
    short = list(journeys)
    while sum(map(len, short)) > at + 1:
        short = [*short[:-1], short[-1][:-1]] if len(short[-1]) > 1 else short[:-1]
    assert measured(stitches, short, needle).total_mm == pytest.approx(length.used_mm[at])


def test_row_order_is_reading_order() -> None:
    """Row order goes from the left in every row; gaps and part stitches end a row there and back."""
    stitches = stitches_at(
        [(5, 1), (1, 0), (2, 0), (3, 0), (5, 0), (6, 0)], [0, 0, 0, PartShape.HALF_RISING, 0, 0]
    )
    assert simple_order(stitches, Needle()) == [(1, 2), (3,), (4, 5), (0,)]
    assert simple_order(stitches, Needle(working=Working.AT_ONCE)) == [(1,), (2,), (3,), (4,), (5,), (0,)]


@given(st.integers(1, 40), st.integers(0, 2**32 - 1))
def test_the_tree_is_that_of_scipy(count: int, seed: int) -> None:
    """The length of the spanning tree against scipy.sparse.csgraph.minimum_spanning_tree."""
    csgraph = pytest.importorskip("scipy.sparse.csgraph", reason="scipy is not installed")
    points = np.random.default_rng(seed).integers(0, 30, (count, 2))
    points = np.unique(points, axis=0)
    apart = np.hypot(*(points[:, None] - points).transpose(2, 0, 1))
    assert tree_mm(apart) == pytest.approx(csgraph.minimum_spanning_tree(apart).sum())
    stitches = stitches_at([(int(x), int(y)) for x, y in points])
    for working in Working:
        between = least_between(stitches, Needle(UNIT, working))
        assert tree_mm(between) == pytest.approx(csgraph.minimum_spanning_tree(between).sum())


@given(places, pitches, st.sampled_from(Working))
def test_no_order_undercuts_the_tree(
    found: list[tuple[int, int, int]], pitch: Pitch, working: Working
) -> None:
    """Whatever the order of the stitches, as much thread as the bound lies behind: every order is tried."""
    by_square = {(column, row): shape for column, row, shape in found}
    stitches = stitches_at(list(by_square), list(by_square.values()))
    needle = Needle(pitch, working)
    bound = back_bound_mm(stitches, needle)
    for order in itertools.permutations(range(len(stitches))):
        assert measured(stitches, [(number,) for number in order], needle).back_mm >= bound - 1e-9
    assert measured(stitches, simple_order(stitches, needle), needle).back_mm >= bound - 1e-9


def test_no_stitches_no_thread() -> None:
    """A route over nothing takes nothing."""
    nothing = stitches_at([])
    assert measured(nothing, [], Needle()).total_mm == 0
    assert tree_mm(np.zeros((0, 0))) == 0
    assert nothing.bounds.empty
    assert len(joined(nothing, stitches_at([(1, 2)]))) == 1
