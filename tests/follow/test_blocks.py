"""Ten-by-ten blocks: how far each is, which is next, and what it needs, against sums of scipy and loops."""

import math
from bisect import bisect_right
from collections import Counter
from collections.abc import Callable, Iterator

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.change import DONE, FAMILIES, OPEN, Selection
from stitchview.done.marks import Marks, change_to
from stitchview.done.shapes import Takes, rectangle
from stitchview.follow.blockgrid import Block, BlockGrid
from stitchview.follow.blocks import Blocks, BlockState, ThreadNeeded
from stitchview.follow.clothpitch import USUAL_PITCH, Pitch
from stitchview.follow.numbering import Numbering, tens_lines
from stitchview.follow.threadwork import Left, ThreadWork

ndimage = pytest.importorskip("scipy.ndimage")

Busy = Callable[..., ThreadWork]
HalfDone = Callable[[Chart, float, int], Marks]

seeds = st.integers(0, 2**31)
numberings = st.sampled_from(Numbering)
pitches = st.builds(Pitch, st.floats(0.5, 3), st.floats(0.5, 3))


def stitches_of(work: ThreadWork, numbering: Numbering) -> Iterator[tuple[Block, int, str, bool]]:
    """Every stitch by itself: its block by bisecting the lines of tens, thread, kind, and if it is left."""
    chart, marks = work.chart, work.marks
    across, down = tens_lines(chart.columns, numbering.across), tens_lines(chart.rows, numbering.down)

    def block(column: int, row: int) -> Block:
        column, row = min(column, chart.columns - 1), min(row, chart.rows - 1)
        return bisect_right(across, column) - 1, bisect_right(down, row) - 1

    for (row, column), key in np.ndenumerate(chart.squares):
        if key:
            yield block(column, row), int(key), "squares", marks.squares[row, column] != DONE
    parts, lines, points = chart.parts, chart.lines, chart.points
    for n, key in enumerate(parts.keys.tolist()):
        yield block(int(parts.columns[n]), int(parts.rows[n])), key, "parts", marks.parts[n] != DONE
    for n, key in enumerate(lines.keys.tolist()):
        x, y = int(lines.x1[n] + lines.x2[n]) / 4, int(lines.y1[n] + lines.y2[n]) / 4
        yield block(math.floor(x), math.floor(y)), key, "lines", marks.lines[n] != DONE
    for n, key in enumerate(points.keys.tolist()):
        yield block(int(points.x[n]) // 2, int(points.y[n]) // 2), key, "points", marks.points[n] != DONE


def by_loops(
    work: ThreadWork, numbering: Numbering, only: int | None = None
) -> tuple[Blocks, Counter[Block]]:
    """The blocks, and what is left in each, of one thread or of all."""
    blocks, left = Blocks(work, numbering), Counter[Block]()
    for block, key, _, is_left in stitches_of(work, numbering):
        left[block] += is_left and only in (None, key)
    return blocks, left


def all_blocks(grid: BlockGrid) -> list[Block]:
    return [(across, down) for down in range(grid.down) for across in range(grid.across)]


@given(seeds, numberings, st.integers(1, 37), st.integers(1, 33), st.floats(0, 1))
def test_every_stitch_is_in_its_block(
    busy_work: Busy, seed: int, numbering: Numbering, columns: int, rows: int, share: float
) -> None:
    """Counted one stitch after the other; all blocks together are the chart."""
    work = busy_work(columns, rows, 3, seed, share)
    blocks, left = by_loops(work, numbering)
    stitches = Counter(block for block, *_ in stitches_of(work, numbering))
    for across, down in all_blocks(blocks.grid):
        assert blocks.left[down, across] == left[across, down]
        assert blocks.stitches[down, across] == stitches[across, down]
        state = blocks.state((across, down))
        assert state == blocks.states[down, across]
        if stitches[across, down] == 0:
            assert state is BlockState.BARE
        elif left[across, down] in (0, stitches[across, down]):
            assert state is (BlockState.UNTOUCHED if left[across, down] else BlockState.FINISHED)
        else:
            assert state is BlockState.BEGUN
    assert blocks.left.sum() == work.left().total
    assert blocks.stitches.sum() == work.marks.tally.total().stitches


@pytest.mark.parametrize("numbering", Numbering)
def test_blocks_of_a_real_plate(plate: Chart, half_done: HalfDone, numbering: Numbering) -> None:
    """What is left in each block of two charts printed in 1886 is scipy.ndimage.sum_labels's count."""
    work = ThreadWork(half_done(plate, 0.6, 9))
    blocks = Blocks(work, numbering)
    grid = blocks.grid
    labels = np.zeros(plate.squares.shape, int)
    for n, block in enumerate(all_blocks(grid)):
        labels[grid.area(block).slices()] += n
    index = np.arange(grid.whole.count)
    for number in (None, *range(1, len(plate.key) + 1)):
        left = work.crosses_left(plate.area, number)
        counted = ndimage.sum_labels(left, labels, index).reshape(grid.down, grid.across)
        assert np.array_equal(counted, blocks.left if number is None else blocks.left_of(number))


@given(numberings, st.integers(1, 4096), st.integers(1, 4096), st.integers(0, 4095), st.integers(0, 4095))
def test_a_square_lies_in_the_area_of_its_block(
    numbering: Numbering, columns: int, rows: int, column: int, row: int
) -> None:
    """Blocks cover the chart without gaps, none larger than ten by ten."""
    grid = BlockGrid.of(columns, rows, numbering)
    square = column % columns, row % rows
    area = grid.area(grid.block_at(*square))
    assert area.holds(*square)
    assert area.columns <= 10 >= area.rows
    assert grid.squares_of(grid.whole) == Area(0, 0, columns, rows)
    assert grid.blocks_of(area) == Area(*grid.block_at(*square), 1, 1)


@given(seeds, numberings, st.data())
def test_blocks_follow_every_change(
    busy_work: Busy, seed: int, numbering: Numbering, data: st.DataObject
) -> None:
    """After marking and unpicking here and there, the blocks are those counted afresh."""
    work = busy_work(34, 27, 3, seed)
    marks = work.marks
    blocks = Blocks(work, numbering)
    for _ in range(4):
        area = Area(*data.draw(st.tuples(*[st.integers(0, 30)] * 4)))
        state = data.draw(st.sampled_from([OPEN, DONE]))
        change = change_to(marks, rectangle(marks.chart, area, Takes()), state)
        if change is not None:
            marks.apply(change)
            blocks.changed(change)
    fresh = Blocks(work, numbering)
    assert np.array_equal(blocks.left, fresh.left)
    assert np.array_equal(blocks.states, fresh.states)


@given(
    seeds, numberings, pitches, st.tuples(st.integers(-4, 37), st.integers(-4, 30)),
    st.sampled_from([None, 1, 2, 3]),
)  # fmt: skip
def test_the_next_block_is_the_nearest_with_work(
    busy_work: Busy, seed: int, numbering: Numbering, pitch: Pitch, place: tuple[int, int], number: int | None
) -> None:
    """Of all blocks with work left, that whose nearest square is nearest, tried one after the other."""
    work = busy_work(34, 27, 3, seed, 0.995)
    blocks, left = by_loops(work, numbering, number)
    ways = []
    for block in all_blocks(blocks.grid):
        if left[block]:
            area = blocks.grid.area(block)
            away = min(
                pitch.apart(column - place[0], row - place[1])
                for column in range(area.column, area.right)
                for row in range(area.row, area.bottom)
            )
            ways.append((away, block))
    found = blocks.nearest(place, pitch, number)
    own = blocks.grid.block_at(*place) if work.chart.area.holds(*place) else None
    other = blocks.nearest(place, pitch, number, elsewhere=True)
    for told, choice in ((found, ways), (other, [way for way in ways if way[1] != own])):
        if not choice:
            assert told is None
        else:
            least = min(choice)[0]
            alike = [each for away, each in choice if away <= least * (1 + 1e-9)]
            assert told == min(alike, key=lambda each: (each[1], each[0]))


@given(seeds, numberings, st.lists(st.tuples(st.integers(0, 2), st.integers(0, 1)), max_size=4))
def test_what_blocks_need_is_counted_by_thread(
    busy_work: Busy, seed: int, numbering: Numbering, chosen: list[Block]
) -> None:
    """The threads to have at hand and what is left of each kind, counted one stitch after the other."""
    work = busy_work(29, 18, 4, seed, 0.9)
    needed = Blocks(work, numbering).threads_needed(chosen)
    counts: Counter[tuple[int, str]] = Counter()
    for block, key, family, is_left in stitches_of(work, numbering):
        counts[key, family] += is_left and block in chosen
    expected = [
        ThreadNeeded(number, Left(*(counts[number, family] for family in FAMILIES))) for number in range(1, 5)
    ]
    assert needed == tuple(each for each in expected if each.left.total)


def test_a_block_is_finished_with_its_last_bead(small_chart: Callable[[], Chart]) -> None:
    """Crosses and part stitches done, a knot still open: the block is begun, not finished."""
    marks = Marks(small_chart())
    work = ThreadWork(marks)
    blocks = Blocks(work, Numbering.TOP_LEFT)
    assert [blocks.state(block) for block in all_blocks(blocks.grid)] == [BlockState.UNTOUCHED] * 2

    def mark(selection: Selection) -> BlockState:
        change = change_to(marks, selection, DONE)
        assert change is not None
        marks.apply(change)
        blocks.changed(change)
        return blocks.state((0, 0))

    whole = rectangle(marks.chart, marks.chart.area, Takes())
    assert mark(Selection(whole.squares, whole.parts, whole.lines)) is BlockState.BEGUN
    assert [each.number for each in blocks.threads_needed([(0, 0), (1, 0)])] == [1, 3, 4]
    assert mark(Selection(points=whole.points)) is BlockState.FINISHED
    assert blocks.nearest((5, 5), USUAL_PITCH) is None
    assert blocks.threads_needed(all_blocks(blocks.grid)) == ()


@pytest.mark.parametrize("shape", [(0, 0), (4, 7), (1, 30), (30, 1)])
def test_blocks_of_bare_and_narrow_charts(small_chart: Callable[[], Chart], shape: tuple[int, int]) -> None:
    """No squares, no stitches, one row, one column."""
    key = small_chart().key
    bare = Blocks(ThreadWork(Marks(Chart(np.zeros(shape, np.uint16), key))), Numbering.CENTRE)
    assert bare.nearest((0, 0), USUAL_PITCH) is None
    assert not bare.states.any()
    full = Blocks(ThreadWork(Marks(Chart(np.ones(shape, np.uint16), key))), Numbering.BOTTOM_RIGHT)
    assert full.left.sum() == shape[0] * shape[1]
    assert full.nearest((0, 0), USUAL_PITCH) == ((0, 0) if full.left.size else None)
