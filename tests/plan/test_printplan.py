"""How a chart is shared out over sheets of paper, before anything is drawn."""

import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.counting import facts
from stitchview.chart.model import Chart, KeyEntry, Symbol
from stitchview.done.change import DONE, Selection
from stitchview.done.marks import Marks, change_to
from stitchview.done.shapes import Takes, rectangle
from stitchview.errors import CommandError
from stitchview.follow.areawords import area_words
from stitchview.follow.clothpitch import Pitch
from stitchview.follow.numbering import Numbering, Way, ruler_numbers, tens_lines
from stitchview.plan.cardpages import A4, LETTER
from stitchview.plan.printkey import key_pages
from stitchview.plan.printplan import MOST_SHEETS, print_plan
from stitchview.plan.printruler import count_at, side_of
from stitchview.plan.printsplit import split
from stitchview.plan.printstitches import PrintStitches
from stitchview.plan.printwish import DoneAs, PrintWish, square_pitch

RandomChart = Callable[[int, int, int, int], Chart]


@given(
    begin=st.integers(0, 500),
    size=st.integers(1, 900),
    fitting=st.integers(1, 120),
    overlap=st.integers(0, 10),
    way=st.sampled_from(list(Way)),
)
def test_sheets_hold_every_square_and_are_as_few_as_can_be(
    begin: int, size: int, fitting: int, overlap: int, way: Way
) -> None:
    """No square is lost, none is on three sheets, neighbours share what was asked, and no sheet is wasted."""
    bold = tens_lines(begin + size + 30, way)
    spans = split(begin, begin + size, fitting, overlap, bold)
    shared = min(overlap, (fitting - 1) // 2)
    assert max(each.squares for each in spans) <= fitting
    held = np.zeros(size, int)
    for each in spans:
        held[each.begin - begin : each.end - begin] += 1
    assert held.min() == 1
    assert held.max() <= 2
    assert (held == 2).sum() == shared * (len(spans) - 1)
    # The fewest sheets: each but the first adds what fits less what is shared.
    assert len(spans) == max(1, math.ceil((size - shared) / (fitting - shared)))


def test_sheets_begin_at_bold_lines_where_that_costs_nothing() -> None:
    """Forty-three squares to a sheet and three shared: every sheet begins at a ten."""
    assert [each.begin for each in split(0, 600, 43, 3, tens_lines(600, Way.ON))] == list(range(0, 600, 40))[
        :15
    ]
    starts = [each.begin for each in split(0, 301, 60, 3, tens_lines(301, Way.OUT))]
    assert set(starts) <= set(tens_lines(301, Way.OUT))


def test_the_paper_is_turned_where_that_saves_sheets(random_chart: RandomChart) -> None:
    """A wide chart is printed on paper that lies, a high one on paper that stands."""
    wide = print_plan(Marks(random_chart(60, 30, 4, 1)), PrintWish())
    high = print_plan(Marks(random_chart(40, 60, 4, 1)), PrintWish())
    assert (len(wide.sheets), wide.lying) == (1, True)
    assert (len(high.sheets), high.lying) == (1, False)
    for plan in (wide, high):
        assert plan.printable.holds(plan.sheets[0].grid)


@pytest.mark.parametrize("paper", [A4, LETTER])
@pytest.mark.parametrize("side", [1.3, 2.0, 4.0, 7.5])
def test_everything_lies_on_the_paper_and_sheets_lie_edge_to_edge(
    random_chart: RandomChart, paper: object, side: float
) -> None:
    """Squares stay within the margins, are all of one size, and every stitch is on some sheet."""
    chart = random_chart(123, 97, 4, 2)
    assert paper in (A4, LETTER)
    wish = PrintWish(A4 if paper == A4 else LETTER, Pitch(side, side * 0.9))
    plan = print_plan(Marks(chart), wish)
    printed = np.zeros(chart.squares.shape, bool)
    for sheet in plan.sheets:
        assert plan.body.holds(sheet.grid)
        assert sheet.grid.width == pytest.approx(sheet.area.columns * side)
        assert sheet.grid.height == pytest.approx(sheet.area.rows * side * 0.9)
        assert {(sheet.grid.left, sheet.grid.top)} == {(plan.sheets[0].grid.left, plan.sheets[0].grid.top)}
        printed[sheet.area.slices()] = True
    assert printed[chart.squares > 0].all()


def test_shared_squares_are_those_of_two_sheets(random_chart: RandomChart) -> None:
    """What is shaded on a sheet is what a neighbour has too, no more and no less."""
    plan = print_plan(Marks(random_chart(90, 100, 4, 2)), PrintWish(overlap=4))
    held = np.zeros((100, 90), int)
    for sheet in plan.sheets:
        held[sheet.area.slices()] += 1
    for sheet in plan.sheets:
        shaded = np.zeros((100, 90), bool)
        for area in sheet.shared:
            shaded[area.slices()] = True
        expected = np.zeros((100, 90), bool)
        expected[sheet.area.slices()] = held[sheet.area.slices()] > 1
        assert (shaded == expected).all()
    assert len(plan.sheets) > 3


def test_sheets_without_a_stitch_are_not_printed() -> None:
    """A chart with stitches in two far corners takes two sheets, numbered one and two."""
    squares = np.zeros((200, 200), np.uint16)
    squares[0, 0] = squares[199, 199] = 1
    chart = Chart(squares, (KeyEntry("a", Symbol("a"), "Sample cotton 1"),))
    marks = Marks(chart)
    plan = print_plan(marks, PrintWish())
    assert [each.number for each in plan.sheets] == [1, 2]
    change = change_to(marks, rectangle(chart, Area(0, 0, 9, 9), Takes()), DONE)
    assert change is not None
    marks.apply(change)
    assert len(print_plan(marks, PrintWish(done=DoneAs.LEFT_OUT)).sheets) == 1
    with pytest.raises(CommandError, match="Nothing is to be printed"):
        print_plan(marks, PrintWish(area=Area(0, 0, 9, 9), done=DoneAs.LEFT_OUT))


def test_what_is_too_much_for_paper_is_one_sentence(random_chart: RandomChart) -> None:
    """The largest chart there can be is refused with what to do instead; a region of it is printed."""
    chart = Chart(np.ones((4096, 4096), np.uint16), random_chart(2, 2, 1, 1).key)
    marks = Marks(chart)
    with pytest.raises(CommandError, match=f"sheets of paper, and {MOST_SHEETS} at most") as told:
        print_plan(marks, PrintWish())
    assert told.value.remedy == "Print a region, or choose smaller squares."
    with pytest.raises(CommandError, match="16,777,216 squares"):
        print_plan(marks, PrintWish(pitch=Pitch(0.5, 0.5)))
    assert len(print_plan(marks, PrintWish(area=Area(4000, 4000, 900, 900))).sheets) == 6
    with pytest.raises(CommandError, match="outside the chart"):
        print_plan(marks, PrintWish(area=Area(5000, 0, 5, 5)))


@pytest.mark.parametrize("side", [0.0, -4.0, 0.1, 26.0, math.nan])
def test_squares_no_printer_can_make_are_refused(side: float) -> None:
    """Half a millimetre to two and a half centimetres can be printed."""
    with pytest.raises(CommandError, match="cannot be printed"):
        square_pitch(side)
    if side > 0:
        with pytest.raises(CommandError, match="cannot be printed"):
            PrintWish(pitch=Pitch(4.0, side))
    with pytest.raises(CommandError, match="cannot share"):
        PrintWish(overlap=11)


@pytest.mark.parametrize("way", list(Way))
@pytest.mark.parametrize("size", [1, 9, 40, 41, 600, 601])
def test_numbers_stand_where_she_has_counted_so_many(way: Way, size: int) -> None:
    """A number at a line is that of the square before it on the way she counts."""
    numbers = np.abs(ruler_numbers(size, way))
    side = side_of(0, size, size, way, 2.0)
    for line, number in side.numbers:
        beside = numbers[max(0, line - 1) : line + 1]
        assert number in beside
        assert number == count_at(line, size, way)
        assert number % 10 == 0 or line in (0, size)
    assert side.bold == tens_lines(size, way)
    assert side.centre == size / 2


def test_numbers_never_crowd_each_other() -> None:
    """Where squares are small, only every twentieth or fiftieth line is numbered."""
    for apart in (2, 11, 19, 42, 130):
        lines = [line for line, _ in side_of(100, 900, 1000, Way.ON, apart).numbers]
        assert lines
        assert min(np.diff(lines), default=apart) >= apart


def test_a_sheet_names_its_columns_and_rows_as_she_counts(random_chart: RandomChart) -> None:
    """From the corner, or out from the centre."""
    chart = random_chart(100, 60, 3, 1)
    area = Area(40, 0, 43, 30)
    assert area_words(chart, area, Numbering.TOP_LEFT) == "columns 41 to 83, rows 1 to 30"
    assert area_words(chart, area, Numbering.BOTTOM_RIGHT) == "columns 60 to 18, rows 60 to 31"
    assert area_words(chart, area, Numbering.CENTRE) == "columns 10 left to 33 right, rows 30 up to 1 up"


def test_the_key_counts_what_the_chart_counts(small_chart: Callable[[], Chart]) -> None:
    """All stitches of each thread, and how many are left, agree with the facts of the chart and the tally."""
    chart = small_chart()
    marks = Marks(chart)
    change = change_to(marks, Selection(*(np.arange(min(5, each.size)) for each in marks.families)), DONE)
    assert change is not None
    marks.apply(change)
    counts, told = PrintStitches(marks, DoneAs.SAME).counts(chart.area), facts(chart)
    everything = told.crosses + told.parts + told.back_lines + told.straight_lines + told.knots + told.beads
    assert counts.all.tolist() == everything.tolist()
    assert (counts.all - counts.left).tolist() == marks.tally.done()[1:].tolist()


def test_the_key_has_only_what_is_printed(random_chart: RandomChart) -> None:
    """Threads of the region alone, in the order of the key, on as many pages as they take."""
    chart = random_chart(80, 80, 90, 3)
    area = Area(3, 3, 4, 4)
    plan = print_plan(Marks(chart), PrintWish(area=area))
    lines = [line for page in key_pages(plan) for line in page]
    here = chart.squares[area.slices()]
    assert [line.number for line in lines] == np.unique(here[here > 0]).tolist()
    assert [line.all for line in lines] == [int((here == line.number).sum()) for line in lines]
    whole = print_plan(Marks(chart), PrintWish())
    pages = key_pages(whole)
    assert len(pages) == 2
    assert sum(map(len, pages)) == 90
    for page in pages:
        assert all(whole.body.holds(line.row) for line in page)
