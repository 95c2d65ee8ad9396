"""Every marking shape takes the stitches a hand means, and no others."""

import itertools
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.chart.stitches import Lines, Parts, PartShape
from stitchview.done.change import Selection
from stitchview.done.shapes import Takes, patch, rectangle, run, single, sweep, thread_in

CROSSES = Takes(lines=False, points=False)


def squares(selection: Selection, chart: Chart) -> list[tuple[int, int]]:
    """The squares chosen as (column, row)."""
    return [(flat % chart.columns, flat // chart.columns) for flat in selection.squares.tolist()]


def by_loop(chart: Chart, area: Area, takes: Takes) -> Selection:
    """A rectangle by a plain loop over every stitch."""

    def wanted(key: int) -> bool:
        return key != 0 and takes.only in (None, key)

    def inside(x: float, y: float) -> bool:
        return area.column <= x / 2 <= area.right and area.row <= y / 2 <= area.bottom

    crosses = [
        row * chart.columns + column
        for row in range(chart.rows)
        for column in range(chart.columns)
        if area.holds(column, row) and wanted(chart.squares[row, column])
    ]
    parts, lines, points = chart.parts, chart.lines, chart.points
    chosen_parts = [
        at
        for at in range(len(parts))
        if area.holds(parts.columns[at], parts.rows[at]) and wanted(parts.keys[at])
    ]
    chosen_lines = [
        at
        for at in range(len(lines))
        if inside(lines.x1[at], lines.y1[at])
        and inside(lines.x2[at], lines.y2[at])
        and wanted(lines.keys[at])
    ]
    chosen_points = [
        at for at in range(len(points)) if inside(points.x[at], points.y[at]) and wanted(points.keys[at])
    ]
    return Selection(
        np.array(crosses if takes.crosses else [], np.int64),
        np.array(chosen_parts if takes.crosses else [], np.int64),
        np.array(chosen_lines if takes.lines else [], np.int64),
        np.array(chosen_points if takes.points else [], np.int64),
    )


takings = st.builds(Takes, st.booleans(), st.booleans(), st.booleans(), st.sampled_from([None, 1, 2, 3, 4]))


@given(st.integers(-3, 13), st.integers(-3, 11), st.integers(-1, 14), st.integers(-1, 12), takings)
def test_a_rectangle_takes_what_a_plain_loop_takes(
    small_chart: Callable[[], Chart], column: int, row: int, columns: int, rows: int, takes: Takes
) -> None:
    """For any rectangle, also over the edge, and any choice of what is taken."""
    chart = small_chart()
    area = Area(column, row, columns, rows).clipped(chart.area)
    selection = rectangle(chart, Area(column, row, columns, rows), takes)
    expected = Selection() if area.empty else by_loop(chart, area, takes)
    for mine, theirs in zip(selection.families, expected.families, strict=True):
        assert mine.tolist() == theirs.tolist()
        assert mine.dtype == np.int64


def test_a_line_belongs_to_a_rectangle_only_with_both_ends(small_chart: Callable[[], Chart]) -> None:
    """A line that leaves the rectangle stays as it is."""
    chart = small_chart()
    assert rectangle(chart, Area(1, 1, 10, 1), Takes()).lines.tolist() == [0]
    assert rectangle(chart, Area(1, 1, 9, 1), Takes()).lines.tolist() == []
    assert rectangle(chart, Area(3, 3, 3, 2), Takes()).lines.tolist() == [2]


def test_the_thread_in_hand_inside_the_band(small_chart: Callable[[], Chart]) -> None:
    """All of one thread in two rows, and nothing of the others."""
    chart = small_chart()
    selection = thread_in(chart, Area(0, 1, 12, 2), 2, Takes())
    assert squares(selection, chart) == [(3, 1), (4, 1), (9, 1), (10, 1), (3, 2), (4, 2)]
    assert (chart.parts.keys[selection.parts] == 2).all()


# The harbour's first rows (columns 1 to 10): aabbccaabb / a.bb..cc.a / aab....caa.


def test_a_run_goes_as_far_as_its_thread(small_chart: Callable[[], Chart]) -> None:
    """From any of its squares a run is the same, and other threads and bare cloth end it."""
    chart = small_chart()
    for column in (3, 4):
        assert squares(run(chart, column, 1, CROSSES, down=False), chart) == [(3, 1), (4, 1)]
    assert squares(run(chart, 10, 3, CROSSES, down=True), chart) == [(10, 2), (10, 3)]
    assert squares(run(chart, 1, 1, CROSSES, down=True), chart) == [(1, 1), (1, 2), (1, 3)]


def test_a_run_goes_on_through_part_stitches_of_its_thread(small_chart: Callable[[], Chart]) -> None:
    """A square with a part stitch of the same thread does not break the run, and is taken with it."""
    chart = small_chart()
    # Row 2: a at 1, part 0 of thread 1 at 2, b at 3 and 4, parts 1 and 2 (threads 2, 3) at 5 and 6.
    selection = run(chart, 1, 2, CROSSES, down=False)
    assert squares(selection, chart) == [(1, 2)]
    assert selection.parts.tolist() == [0]
    selection = run(chart, 4, 2, CROSSES, down=False)
    assert squares(selection, chart) == [(3, 2), (4, 2)]
    assert selection.parts.tolist() == [1]


def test_the_thread_in_hand_decides_where_two_meet_in_a_square(small_chart: Callable[[], Chart]) -> None:
    """In a square of two part stitches the run follows the thread in hand, else the first of them."""
    chart = small_chart()
    assert run(chart, 5, 5, replace(CROSSES, only=3), down=False).parts.tolist() == [11]
    first = run(chart, 5, 5, CROSSES, down=False)
    assert (chart.parts.keys[first.parts] == chart.parts.keys[10]).all()
    assert 10 in first.parts
    assert run(chart, 5, 5, replace(CROSSES, only=1), down=False).empty


@pytest.mark.parametrize("shape", [run, patch])
def test_runs_and_patches_take_crosses_only(
    shape: Callable[..., Selection], random_chart: Callable[..., Chart]
) -> None:
    """They take nothing when crosses are switched off, off the chart, on bare cloth, or of another thread."""
    chart = random_chart(9, 9, 3, 4)
    extra = {"down": True} if shape is run else {}
    assert shape(chart, 4, 4, Takes(crosses=False), **extra).empty
    assert shape(chart, -1, 4, Takes(), **extra).empty
    assert shape(chart, 4, 9, Takes(), **extra).empty
    row, column = np.argwhere(chart.squares == 0)[0]
    assert shape(chart, int(column), int(row), Takes(), **extra).empty
    row, column = np.argwhere(chart.squares == 2)[0]
    assert shape(chart, int(column), int(row), Takes(only=1), **extra).empty
    assert not shape(chart, int(column), int(row), Takes(only=2), **extra).empty


@given(st.integers(0, 2**16), st.integers(0, 13), st.integers(0, 8), st.booleans())
def test_a_run_is_what_walking_both_ways_gives(
    random_chart: Callable[..., Chart], seed: int, column: int, row: int, down: bool
) -> None:
    """Walking square by square to both sides while the thread stays the same gives the same run."""
    chart = random_chart(14, 9, 2, seed % 50)
    line = chart.squares[:, column] if down else chart.squares[row]
    at = row if down else column
    expected = []
    if line[at]:
        first = last = at
        while first > 0 and line[first - 1] == line[at]:
            first -= 1
        while last < len(line) - 1 and line[last + 1] == line[at]:
            last += 1
        expected = [(column, n) if down else (n, row) for n in range(first, last + 1)]
    assert squares(run(chart, column, row, Takes(), down), chart) == expected


def test_a_patch_stays_in_its_thread(random_chart: Callable[..., Chart]) -> None:
    """All of a patch is of one thread, and no neighbour of it is."""
    chart = random_chart(40, 30, 2, 11)
    selection = patch(chart, 20, 15, Takes())
    thread = chart.squares[15, 20]
    inside = np.zeros(chart.squares.shape, bool)
    inside.ravel()[selection.squares] = True
    assert inside[15, 20]
    assert (chart.squares[inside] == thread).all()
    beside = np.zeros_like(inside)
    beside[1:] |= inside[:-1]
    beside[:-1] |= inside[1:]
    beside[:, 1:] |= inside[:, :-1]
    beside[:, :-1] |= inside[:, 1:]
    assert not (chart.squares[beside & ~inside] == thread).any()


def test_a_patch_takes_part_stitches_along(small_chart: Callable[[], Chart]) -> None:
    """A patch with rounded edges of part stitches is taken as one."""
    chart = small_chart()
    selection = patch(chart, 1, 1, CROSSES)
    assert {(1, 1), (2, 1), (1, 2), (1, 3), (2, 3)} <= set(squares(selection, chart))
    assert 0 in selection.parts


@given(st.lists(st.tuples(st.integers(-6, 18), st.integers(-6, 15)), min_size=1, max_size=6), takings)
def test_a_sweep_leaves_no_gap(
    small_chart: Callable[[], Chart], path: list[tuple[int, int]], takes: Takes
) -> None:
    """From each sample of a hand to the next the sweep goes by neighbouring squares, the straightest way."""
    chart = small_chart()
    bare = replace(chart, squares=np.ones((40, 40), np.uint16), parts=Parts(), lines=Lines())
    moved = [(column + 10, row + 10) for column, row in path]
    flat = sweep(bare, moved, CROSSES).squares
    swept = {(int(n) % 40, int(n) // 40) for n in flat}
    assert set(moved) <= swept
    for (x1, y1), (x2, y2) in itertools.pairwise(moved):
        steps = max(abs(x2 - x1), abs(y2 - y1))
        for step in range(steps + 1):
            # On each column (or row) between two samples a square lies within half a step of the line.
            x, y = x1 + (x2 - x1) * step / max(steps, 1), y1 + (y2 - y1) * step / max(steps, 1)
            assert any(abs(x - column) <= 0.5 and abs(y - row) <= 0.5 for column, row in swept)
    assert len(swept) <= 1 + sum(
        max(abs(x2 - x1), abs(y2 - y1)) for (x1, y1), (x2, y2) in itertools.pairwise(moved)
    )
    selection = sweep(chart, path, takes)
    on_chart = [chart.squares[row, column] for column, row in squares(selection, chart)]
    assert all(key != 0 and takes.only in (None, key) for key in on_chart)


def test_a_sweep_takes_the_lines_it_goes_along(small_chart: Callable[[], Chart]) -> None:
    """A line is swept with both ends and its middle, a bead with its own square."""
    chart = small_chart()
    assert sweep(chart, [(1, 1), (10, 1)], Takes()).lines.tolist() == [0]
    assert sweep(chart, [(1, 0), (10, 0)], Takes()).lines.tolist() == [0]
    # Round the line: both ends are touched, the middle is not.
    assert sweep(chart, [(1, 1), (1, 5), (10, 5), (10, 1)], Takes()).lines.tolist() == []
    assert sweep(chart, [(5, 5), (5, 6)], Takes()).points.tolist() == [0, 1]
    assert sweep(chart, [(5, 5), (5, 6)], CROSSES).points.tolist() == []
    assert sweep(chart, [], Takes()).empty


def test_a_press_means_the_smallest_thing_under_it(small_chart: Callable[[], Chart]) -> None:
    """A bead wins over a line, that over a part stitch, and that over the square."""
    chart = small_chart()
    assert single(chart, 5.6, 6.1, Takes()).points.tolist() == [0]
    assert single(chart, 6.1, 1.1, Takes()).lines.tolist() == [0]
    assert single(chart, 2.5, 2.5, Takes()).parts.tolist() == [0]
    assert squares(single(chart, 1.5, 3.5, Takes()), chart) == [(1, 3)]
    assert single(chart, 11.5, 9.5, Takes(points=False)).empty  # bare cloth
    assert single(chart, -0.5, 2.0, Takes()).empty
    assert single(chart, 1e9, -1e9, Takes()).empty


def test_a_switch_uncovers_what_lies_below(small_chart: Callable[[], Chart]) -> None:
    """With lines switched off, a press on a line means the square under it."""
    chart = small_chart()
    assert squares(single(chart, 6.1, 1.1, Takes(lines=False)), chart) == [(6, 1)]
    assert single(chart, 6.1, 1.1, Takes(crosses=False, lines=False)).empty


def test_a_press_skips_other_threads(small_chart: Callable[[], Chart]) -> None:
    """With "only the thread in hand" a press never takes another."""
    chart = small_chart()
    assert single(chart, 5.6, 6.1, Takes(only=4)).points.tolist() == [0]
    assert single(chart, 5.6, 6.1, Takes(only=3)).points.tolist() in ([], [1])
    assert single(chart, 2.5, 2.5, Takes(only=2)).empty
    assert single(chart, 1.5, 3.5, Takes(only=2)).empty


def test_of_two_part_stitches_the_nearer_one_is_meant(small_chart: Callable[[], Chart]) -> None:
    """A quarter at the top left and a three-quarter at the bottom right share the square (5, 5)."""
    chart = small_chart()
    assert [PartShape(chart.parts.shapes[at]) for at in (10, 11)] == [
        PartShape.QUARTER_TOP_LEFT,
        PartShape.THREE_QUARTER_BOTTOM_RIGHT,
    ]
    takes = Takes(points=False, lines=False)
    assert single(chart, 5.2, 5.2, takes).parts.tolist() == [10]
    assert single(chart, 5.8, 5.7, takes).parts.tolist() == [11]


@pytest.mark.parametrize(
    ("shape", "spot"),
    [
        (PartShape.HALF_RISING, (0.2, 0.8)),
        (PartShape.HALF_FALLING, (0.8, 0.8)),
        (PartShape.QUARTER_TOP_LEFT, (0.2, 0.2)),
        (PartShape.QUARTER_TOP_RIGHT, (0.8, 0.2)),
        (PartShape.QUARTER_BOTTOM_LEFT, (0.2, 0.8)),
        (PartShape.QUARTER_BOTTOM_RIGHT, (0.8, 0.8)),
        (PartShape.THREE_QUARTER_TOP_LEFT, (0.3, 0.3)),
        (PartShape.THREE_QUARTER_TOP_RIGHT, (0.7, 0.3)),
        (PartShape.THREE_QUARTER_BOTTOM_LEFT, (0.3, 0.7)),
        (PartShape.THREE_QUARTER_BOTTOM_RIGHT, (0.7, 0.7)),
    ],
)
def test_a_part_stitch_is_found_where_it_lies(shape: PartShape, spot: tuple[float, float]) -> None:
    """Beside its opposite in the same square, each part stitch is meant by a press on its own cloth."""
    opposites = {
        PartShape.HALF_RISING: PartShape.HALF_FALLING,
        PartShape.HALF_FALLING: PartShape.HALF_RISING,
    }
    mirrored = {"TOP": "BOTTOM", "BOTTOM": "TOP", "LEFT": "RIGHT", "RIGHT": "LEFT"}
    words = shape.name.removeprefix("THREE_").split("_")
    other = opposites.get(shape) or PartShape["_".join(["QUARTER", *(mirrored[word] for word in words[1:])])]
    at = np.zeros(2, np.int32)
    parts = Parts(at, at.copy(), np.array([other, shape], np.uint8), np.array([1, 2], np.uint16))
    chart = Chart(np.zeros((1, 1), np.uint16), (), parts=parts)
    assert single(chart, *spot, Takes()).parts.tolist() == [1]
