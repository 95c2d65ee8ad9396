"""The squares of printed sheets, read by another library: symbols, lines, colours, and what is done."""

import io
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from stitchview.chart.area import Area
from stitchview.chart.colour import Colour
from stitchview.chart.model import Chart, Symbol
from stitchview.done.marks import Marks, change_to
from stitchview.done.shapes import Takes, rectangle
from stitchview.follow.clothpitch import Pitch
from stitchview.plan.printplan import print_plan
from stitchview.plan.printwish import DoneAs, PrintWish
from tests.canvas.printpages import (
    Pages,
    bare,
    expected_symbols,
    marked,
    middle_ink,
    symbols_on,
)

pytestmark = pytest.mark.usefixtures("qapp")

RandomChart = Callable[[int, int, int, int], Chart]


def test_every_square_has_the_symbol_of_the_chart(random_chart: RandomChart) -> None:
    """Read back by PDFium letter by letter, square by square; where no stitch is, there is no ink."""
    chart = bare(random_chart(100, 70, 12, 5))
    plan = print_plan(Marks(chart), PrintWish())
    assert len(plan.sheets) > 2
    with Pages(plan) as pages:
        for sheet in plan.sheets:
            read = symbols_on(pages, sheet.number, plan, sheet)
            assert (read == expected_symbols(chart, sheet.area)).all()
        sheet = plan.sheets[0]
        ink = middle_ink(pages.grey(sheet.number, 8), sheet, plan.wish.pitch, 8)
    shaded = np.zeros(chart.squares.shape, bool)
    for area in sheet.shared:
        shaded[area.slices()] = True
    plain = ~shaded[sheet.area.slices()]
    stitched = chart.squares[sheet.area.slices()] > 0
    assert ink[plain & stitched].min() > 0.04
    assert ink[plain & ~stitched].max() < 0.01


def test_squares_shared_by_two_sheets_are_shaded_on_both(random_chart: RandomChart) -> None:
    """The same symbols stand in them, on grey; all other squares are white."""
    chart = bare(random_chart(80, 20, 6, 6))
    plan = print_plan(Marks(chart), PrintWish(pitch=Pitch(6, 6)))
    first, second = plan.sheets
    both = first.area.clipped(second.area)
    assert both.columns == 3
    dots = 10
    with Pages(plan) as pages:
        for sheet in (first, second):
            grey = pages.grey(sheet.number, dots)
            for column in range(sheet.area.columns):
                # Just beside a corner of the square, where no symbol reaches.
                at = sheet.grid.left + (column + 0.06) * 6, sheet.grid.top + 0.06 * 6
                here = grey[round(at[1] * dots), round(at[0] * dots)]
                shared = both.column <= column + sheet.area.column < both.right
                assert (here < 235) == shared, (sheet.number, column)
        read = [symbols_on(pages, sheet.number, plan, sheet) for sheet in (first, second)]
    assert (read[0][:, -3:] == read[1][:, :3]).all()


@pytest.mark.parametrize("in_colour", [False, True])
def test_what_is_done_can_be_left_out_or_grey(random_chart: RandomChart, in_colour: bool) -> None:
    """Left out, only what is to do has a symbol; grey, all are there and the done ones are paler."""
    chart = bare(random_chart(20, 16, 4, 7))
    done = Area(4, 3, 9, 8)
    marks = marked(chart, done)
    wish = PrintWish(pitch=Pitch(8, 8), colour=in_colour)
    inside = np.zeros(chart.squares.shape, bool)
    inside[done.slices()] = True
    expected = expected_symbols(chart, chart.area)
    inks = {}
    for way in DoneAs:
        plan = print_plan(marks, replace(wish, done=way))
        with Pages(plan) as pages:
            read = symbols_on(pages, 0, plan, plan.sheets[0])
            inks[way] = middle_ink(pages.grey(0, 8), plan.sheets[0], wish.pitch, 8)
        left_out = inside & (way is DoneAs.LEFT_OUT)
        assert (read == np.where(left_out, "", expected)).all()
    stitched = chart.squares > 0
    assert inks[DoneAs.LEFT_OUT][inside].max() < 0.01
    assert (inks[DoneAs.GREY] < inks[DoneAs.SAME] - 0.01)[inside & stitched].all()
    assert inks[DoneAs.GREY][~inside] == pytest.approx(inks[DoneAs.SAME][~inside], abs=0.01)


def test_parts_lines_knots_and_beads_are_printed_and_left_out(small_chart: Callable[[], Chart]) -> None:
    """There is ink along every line and at every knot and bead; done, they go away with the rest."""
    chart = small_chart()
    empty = replace(chart, squares=np.zeros_like(chart.squares), title="")
    plan = print_plan(Marks(empty), PrintWish(pitch=Pitch(10, 10)))
    grid, dots = plan.sheets[0].grid, 10
    with Pages(plan) as pages:
        page = pages.grey(0, dots)
    lines, points, parts = empty.lines, empty.points, empty.parts
    for x, y in [
        *zip(((lines.x1 + lines.x2) / 2).tolist(), ((lines.y1 + lines.y2) / 2).tolist(), strict=True),
        *zip(points.x.tolist(), points.y.tolist(), strict=True),
    ]:
        at = round((grid.left + x * 5) * dots), round((grid.top + y * 5) * dots)
        assert page[at[1] - 12 : at[1] + 12, at[0] - 12 : at[0] + 12].min() < 60
    ink = middle_ink(page, plan.sheets[0], plan.wish.pitch, dots)
    assert (ink[parts.rows, parts.columns] > 0.01).all()
    marks = marked(empty, empty.area)
    change = change_to(marks, rectangle(empty, Area(0, 0, 3, 3), Takes()), 0)
    assert change is not None
    marks.apply(change)
    left = print_plan(marks, PrintWish(pitch=Pitch(10, 10), done=DoneAs.LEFT_OUT))
    with Pages(left) as pages:
        after = middle_ink(pages.grey(0, dots), left.sheets[0], left.wish.pitch, dots)
    assert after[4:, 4:].max() < 0.01
    assert after[2, 2] > 0.01


def test_lines_of_two_threads_can_be_told_without_colour(small_chart: Callable[[], Chart]) -> None:
    """The first thread of the key that has lines is drawn through, the next is dashed."""
    chart = small_chart()
    ends = np.array([(2, 4, 22, 4), (2, 8, 22, 8)], np.int32).T.copy()
    lines = replace(
        chart.lines,
        x1=ends[0], y1=ends[1], x2=ends[2], y2=ends[3],
        kinds=np.ones(2, np.uint8), keys=np.array([1, 2], np.uint16),
    )  # fmt: skip
    none = np.zeros(0, np.int32)
    parts = replace(
        chart.parts, columns=none, rows=none, shapes=none.astype(np.uint8), keys=none.astype(np.uint16)
    )
    points = replace(chart.points, x=none, y=none, kinds=none.astype(np.uint8), keys=none.astype(np.uint16))
    chart = replace(
        chart, squares=np.zeros_like(chart.squares), lines=lines, parts=parts, points=points, title=""
    )
    plan = print_plan(Marks(chart), PrintWish(pitch=Pitch(10, 10)))
    grid, dots = plan.sheets[0].grid, 10
    with Pages(plan) as pages:
        page = pages.grey(0, dots)
    rows = [page[round((grid.top + y * 5) * dots)] for y in (4, 8)]
    through, dashed = (
        row[round((grid.left + 15) * dots) : round((grid.left + 95) * dots)] < 100 for row in rows
    )
    assert through.all()
    assert 0.4 < dashed.mean() < 0.9


def test_colours_are_those_of_the_threads_made_paler(random_chart: RandomChart) -> None:
    """Each square lies on its thread's colour with two fifths of white in it, and its symbol can be read."""
    chart = bare(random_chart(12, 9, 5, 8))
    plan = print_plan(Marks(chart), PrintWish(pitch=Pitch(8, 8), colour=True))
    grid, dots = plan.sheets[0].grid, 10
    with Pages(plan) as pages:
        page = np.asarray(pages.picture(0, dots).convert("RGB")).astype(int)
        assert (symbols_on(pages, 0, plan, plan.sheets[0]) == expected_symbols(chart, chart.area)).all()
    for row, column in np.argwhere(chart.squares > 0).tolist():
        thread = chart.key[chart.squares[row, column] - 1].colour
        pale = [round(part + (255 - part) * 0.4) for part in (thread.red, thread.green, thread.blue)]
        at = round((grid.top + (row + 0.07) * 8) * dots), round((grid.left + (column + 0.07) * 8) * dots)
        assert page[at].tolist() == pytest.approx(pale, abs=3)


def test_a_symbol_cut_from_paper_is_printed_dark_on_light(random_chart: RandomChart) -> None:
    """A cut-out stands upright in its square, in its proportions, and bare paper around it stays white."""
    cut = np.full((60, 30), 255, np.uint8)
    cut[10:50, 10:20] = 0
    file = io.BytesIO()
    Image.fromarray(cut).save(file, "PNG")
    chart = random_chart(3, 3, 1, 1)
    entry = replace(chart.key[0], symbol=Symbol("a", "pictures/cut.png"))
    chart = replace(
        chart,
        key=(entry,),
        squares=np.ones((3, 3), np.uint16),
        attachments={"pictures/cut.png": file.getvalue()},
    )
    plan = print_plan(Marks(chart), PrintWish(pitch=Pitch(20, 20)))
    grid, dots = plan.sheets[0].grid, 10
    with Pages(plan) as pages:
        page = pages.grey(0, dots)
    square = page[round(grid.top * dots) + 6 : round((grid.top + 20) * dots) - 6]
    square = square[:, round(grid.left * dots) + 6 : round((grid.left + 20) * dots) - 6]
    rows, columns = np.nonzero(square < 128)
    assert (np.ptp(rows) + 1) / (np.ptp(columns) + 1) == pytest.approx(4, rel=0.1)
    assert (np.ptp(rows) + 1) / dots == pytest.approx(20 * 0.84 * 40 / 60, rel=0.05)
    assert (square > 250).mean() > 0.8


def test_a_pale_thread_s_line_is_darkened_until_it_shows(small_chart: Callable[[], Chart]) -> None:
    """White back stitch in colour is grey on paper, for on white it could not be seen."""
    chart = small_chart()
    key = tuple(replace(entry, colour=Colour(255, 255, 255)) for entry in chart.key)
    chart = replace(chart, key=key, squares=np.zeros_like(chart.squares), title="")
    plan = print_plan(Marks(chart), PrintWish(pitch=Pitch(10, 10), colour=True))
    grid, dots = plan.sheets[0].grid, 10
    with Pages(plan) as pages:
        page = pages.grey(0, dots)
    line = page[
        round((grid.top + 10) * dots), round((grid.left + 20) * dots) : round((grid.left + 100) * dots)
    ]
    assert np.median(line) < 200
