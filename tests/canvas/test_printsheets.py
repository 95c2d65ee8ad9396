"""Printed sheets, measured in millimetres by another library: paper, squares, symbols, lines and marks."""

import io
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pypdfium2  # type: ignore[import-untyped]
import pytest
from numpy.typing import NDArray
from PIL import Image
from PySide6.QtPrintSupport import QPrinter

from stitchview.canvas.printmap import sheet_box
from stitchview.canvas.printsheets import draw_pages, page_count, page_layout, print_pdf
from stitchview.chart.area import Area
from stitchview.chart.colour import Colour
from stitchview.chart.model import Chart, Symbol
from stitchview.done.change import DONE
from stitchview.done.marks import Marks, change_to
from stitchview.done.shapes import Takes, rectangle
from stitchview.follow.clothpitch import Pitch
from stitchview.follow.numbering import Numbering, tens_lines
from stitchview.plan.cardpages import A4, LETTER, Box
from stitchview.plan.printplan import PrintPlan, PrintSheet, print_plan
from stitchview.plan.printwish import DoneAs, PrintWish

pytestmark = pytest.mark.usefixtures("qapp")

Pixels = NDArray[np.uint8]
Numbers = NDArray[np.float64]
RandomChart = Callable[[int, int, int, int], Chart]
MM = 25.4 / 72
"""A point of PDF in millimetres (ISO 32000-1, 8.3.2.3: 1/72 inch)."""
LONG = "Harbour at dusk with the fishing boats coming home and the lamps being lit one after the other " * 4


class Pages:
    """The pages of a plan as PDFium draws and reads them."""

    def __init__(self, plan: PrintPlan) -> None:
        self._document = pypdfium2.PdfDocument(print_pdf(plan))
        self.count = len(self._document)

    def __enter__(self) -> "Pages":
        return self

    def __exit__(self, *fault: object) -> None:
        self._document.close()

    def size(self, page: int) -> list[float]:
        """Width and height in millimetres."""
        return [side * MM for side in self._document[page].get_size()]

    def grey(self, page: int, dots_per_mm: float) -> Pixels:
        """A page in grey, shape (rows, columns)."""
        return np.asarray(self.picture(page, dots_per_mm).convert("L")).copy()

    def picture(self, page: int, dots_per_mm: float) -> Image.Image:
        """A page in colour."""
        drawn: Image.Image = self._document[page].render(scale=dots_per_mm * MM).to_pil()
        return drawn

    def text(self, page: int) -> str:
        """The words of a page."""
        return " ".join(self._document[page].get_textpage().get_text_range().split())

    def letters(self, page: int) -> tuple[list[str], Numbers]:
        """Every letter of a page, and its box as left, top, right, bottom in millimetres."""
        text, height = self._document[page].get_textpage(), self._document[page].get_height()
        found, boxes = [], []
        for place in range(text.count_chars()):
            left, bottom, right, top = text.get_charbox(place)
            if right > left:
                found.append(text.get_text_range(place, 1))
                boxes.append((left * MM, (height - top) * MM, right * MM, (height - bottom) * MM))
        return found, np.array(boxes)


def bare(chart: Chart) -> Chart:
    """The chart without its thread names, whose letters are not symbols of squares."""
    return replace(chart, title="")


def symbols_on(pages: Pages, page: int, plan: PrintPlan, sheet: PrintSheet) -> NDArray[np.str_]:
    """The symbol read in each square of a sheet, "" where there is none."""
    letters, boxes = pages.letters(page)
    read = np.full((sheet.area.rows, sheet.area.columns), "", dtype="<U4")
    pitch, grid = plan.wish.pitch, sheet.grid
    for letter, (left, top, right, bottom) in zip(letters, boxes.tolist(), strict=True):
        column, row = (left + right) / 2 - grid.left, (top + bottom) / 2 - grid.top
        if 0 < column < grid.width and 0 < row < grid.height:
            read[int(row / pitch.down_mm), int(column / pitch.across_mm)] += letter
    return read


def expected_symbols(chart: Chart, area: Area) -> NDArray[np.str_]:
    signs = np.array(["", *(entry.symbol.text for entry in chart.key)])
    return signs[chart.squares[area.slices()]]


def marked(chart: Chart, area: Area) -> Marks:
    """Marks with everything in an area done."""
    marks = Marks(chart)
    change = change_to(marks, rectangle(chart, area, Takes()), DONE)
    assert change is not None
    marks.apply(change)
    return marks


def middle_ink(page: Pixels, sheet: PrintSheet, pitch: Pitch, dots: float) -> Numbers:
    """How dark the middle of each square is, 0 for paper to 1 for black, shape (rows, columns)."""
    ink = np.empty((sheet.area.rows, sheet.area.columns))
    for row in range(sheet.area.rows):
        for column in range(sheet.area.columns):
            left, top = sheet.grid.left + column * pitch.across_mm, sheet.grid.top + row * pitch.down_mm
            inner = page[
                round((top + 0.12 * pitch.down_mm) * dots) : round((top + 0.88 * pitch.down_mm) * dots),
                round((left + 0.12 * pitch.across_mm) * dots) : round((left + 0.88 * pitch.across_mm) * dots),
            ]
            ink[row, column] = 1 - inner.mean() / 255
    return ink


def dark_lines(page: Pixels, box: Box, dots: float) -> tuple[Numbers, Numbers]:
    """Where dark lines run through a whole box, upright and level, in millimetres from its corner."""
    top, left = round((box.top + 0.5) * dots), round((box.left + 0.5) * dots)
    bottom, right = round((box.bottom - 0.5) * dots), round((box.right - 0.5) * dots)
    reach = round(dots)
    across = (page[top:bottom, left - reach : right + reach] < 120).mean(axis=0) > 0.97
    down = (page[top - reach : bottom + reach, left:right] < 120).mean(axis=1) > 0.97
    start_x, start_y = (left - reach) / dots - box.left, (top - reach) / dots - box.top
    return _middles(across) / dots + start_x, _middles(down) / dots + start_y


def _middles(dark: NDArray[np.bool_]) -> Numbers:
    """The middle of each run of dark pixels."""
    ends = np.flatnonzero(np.diff(np.concatenate([[False], dark, [False]]).astype(np.int8)))
    return ends.reshape(-1, 2).mean(axis=1)


@pytest.mark.parametrize("paper", [A4, LETTER])
@pytest.mark.parametrize("lying", [False, True])
def test_every_page_has_the_size_of_the_paper(random_chart: RandomChart, paper: object, lying: bool) -> None:
    """ISO 216 and ANSI Y14.1 as PDFium measures them, turned where the chart is wide."""
    columns, rows = (100, 30) if lying else (30, 120)
    chosen = A4 if paper == A4 else LETTER
    plan = print_plan(Marks(random_chart(columns, rows, 40, 1)), PrintWish(chosen))
    assert plan.lying is lying
    size = sorted((chosen.width, chosen.height), reverse=lying)
    with Pages(plan) as pages:
        assert pages.count == page_count(plan) == 1 + len(plan.sheets) + 1
        for page in range(pages.count):
            assert pages.size(page) == pytest.approx(size, abs=0.18)
            assert f"page {page + 1} of {pages.count}" in pages.text(page)


@pytest.mark.parametrize("pitch", [Pitch(4, 4), Pitch(3.3, 2.9), Pitch(25.4 * 2 / 28, 25.4 * 2 / 30)])
@pytest.mark.parametrize("numbering", [Numbering.TOP_LEFT, Numbering.BOTTOM_RIGHT, Numbering.CENTRE])
def test_fifty_squares_measure_what_they_should_and_tens_are_bold(
    random_chart: RandomChart, pitch: Pitch, numbering: Numbering
) -> None:
    """To a tenth of a millimetre over fifty squares, and every bold line is at a ten of her counting."""
    chart = random_chart(53, 34, 5, 4)
    plan = print_plan(Marks(chart), PrintWish(pitch=pitch, numbering=numbering))
    assert len(plan.sheets) == 1
    dots = 12.0
    with Pages(plan) as pages:
        across, down = dark_lines(pages.grey(0, dots), plan.sheets[0].grid, dots)
    columns = np.array(tens_lines(53, numbering.across)) * pitch.across_mm
    rows = np.array(tens_lines(34, numbering.down)) * pitch.down_mm
    assert across == pytest.approx(columns, abs=0.09)
    assert down == pytest.approx(rows, abs=0.09)
    tens = [at for at in across if 1 < at < across[-1] - 1]
    if numbering is Numbering.TOP_LEFT:
        assert across[-2] - across[0] == pytest.approx(50 * pitch.across_mm, abs=0.1)
    assert len(tens) >= 4


def test_the_measure_at_the_foot_is_fifty_millimetres(random_chart: RandomChart) -> None:
    """Laid against a ruler, it tells whether the printer has kept the size."""
    plan = print_plan(Marks(random_chart(9, 9, 2, 1)), PrintWish())
    dots = 20
    with Pages(plan) as pages:
        page = pages.grey(0, dots)
    foot = page[round((plan.printable.bottom - 8) * dots) : round(plan.printable.bottom * dots), : 70 * dots]
    longest = max(foot, key=lambda row: int((row < 128).sum()))
    dark = np.flatnonzero(longest < 128)
    line = dark[dark < (plan.printable.left + 51) * dots]
    assert (line[-1] - line[0] + 1) / dots == pytest.approx(50, abs=0.25)


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


def test_sheets_of_squares_hold_no_pixels(random_chart: RandomChart) -> None:
    """Only outlines and letters, so that they are sharp on any printer; the map alone has a picture."""
    plan = print_plan(Marks(random_chart(100, 70, 12, 5)), PrintWish())
    document = pypdfium2.PdfDocument(print_pdf(plan))
    kinds = [{item.type for item in page.get_objects()} for page in document]
    document.close()
    image = pypdfium2.raw.FPDF_PAGEOBJ_IMAGE
    assert [image in each for each in kinds] == [True, *[False] * (len(kinds) - 1)]


def test_nothing_is_printed_where_printers_cannot_however_long_the_title(random_chart: RandomChart) -> None:
    """All ink lies within the margins, on every page, and the title is shortened."""
    chart = replace(random_chart(90, 80, 30, 5), title=LONG)
    chart = replace(chart, key=tuple(replace(each, name=f"{each.name} {LONG}"[:200]) for each in chart.key))
    plan = print_plan(Marks(chart), PrintWish(numbering=Numbering.CENTRE))
    room, dots = plan.printable, 5
    with Pages(plan) as pages:
        for page in range(pages.count):
            ink = np.argwhere(pages.grey(page, dots) < 240) / dots
            assert ink.min(axis=0) == pytest.approx((room.top, room.left), abs=3)
            assert (ink.min(axis=0) >= (room.top - 0.5, room.left - 0.5)).all()
            assert (ink.max(axis=0) <= (room.bottom + 0.5, room.right + 0.5)).all()
            assert "Harbour at dusk" in pages.text(page)


def test_the_edges_tell_her_numbers_and_the_centre(random_chart: RandomChart) -> None:
    """Tens stand on all four sides at their lines, and arrows where the middle of the chart is."""
    chart = bare(random_chart(40, 30, 3, 1))
    plan = print_plan(Marks(replace(chart, squares=np.zeros_like(chart.squares) + 1)), PrintWish())
    grid = plan.sheets[0].grid
    with Pages(plan) as pages:
        letters, boxes = pages.letters(0)
        page = pages.grey(0, 10)
    above = [
        (letter, (left + right) / 2)
        for letter, (left, _, right, bottom) in zip(letters, boxes.tolist(), strict=True)
        if grid.top - 7 < bottom < grid.top
    ]
    pairs = [(a + b, (x + y) / 2) for (a, x), (b, y) in list(pairwise(above))[::2]]
    assert [number for number, _ in pairs] == ["10", "20", "30", "40"]
    assert [at - grid.left for _, at in pairs] == pytest.approx([40, 80, 120, 160], abs=0.3)
    arrow = page[round((grid.top - 2.4) * 10) : round((grid.top - 0.5) * 10)]
    wide = (arrow[:, round((grid.left + 77) * 10) : round((grid.left + 83) * 10)] < 100).sum(axis=1)
    assert wide.max() > 20
    assert wide[-1] < wide[2]


def test_the_map_numbers_every_sheet_where_it_lies(random_chart: RandomChart) -> None:
    """The first page of several shows which sheet is where."""
    plan = print_plan(Marks(bare(random_chart(100, 130, 3, 1))), PrintWish())
    assert len(plan.sheets) > 4
    with Pages(plan) as pages:
        letters, boxes = pages.letters(0)
        assert f"{len(plan.sheets)} sheets, from page 2 on" in pages.text(0)
    middles = [((left + right) / 2, (top + bottom) / 2) for left, top, right, bottom in boxes.tolist()]
    for sheet in plan.sheets:
        box = sheet_box(plan, sheet)
        found = [
            letter
            for letter, (x, y) in zip(letters, middles, strict=True)
            if abs(x - box.left - box.width / 2) < 4 and abs(y - box.top - box.height / 2) < 4
        ]
        assert "".join(found) == str(sheet.number)


def test_the_key_tells_threads_strands_and_what_is_left(small_chart: Callable[[], Chart]) -> None:
    """On the last page: names, numbers, strands, and left of all for each thread."""
    chart = small_chart()
    marks = marked(chart, Area(0, 0, 6, 10))
    plan = print_plan(marks, PrintWish())
    with Pages(plan) as pages:
        text = pages.text(pages.count - 1)
    for number, entry in enumerate(chart.key, 1):
        progress = marks.tally.of_key(number)
        assert entry.name in text
        assert f"{progress.left} / {progress.stitches}" in text
    assert "2 strands" in text


def test_a_printer_gets_the_same_pages(random_chart: RandomChart, tmp_path: object) -> None:
    """What goes to a printer has the same size and the same symbols as what is saved."""
    chart = bare(random_chart(50, 30, 4, 2))
    plan = print_plan(Marks(chart), PrintWish())
    path = f"{tmp_path}/printed.pdf"
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(path)
    printer.setFullPage(True)
    printer.setPageLayout(page_layout(plan))
    draw_pages(plan, printer)
    dots = 12.0
    document = pypdfium2.PdfDocument(path)
    size = [side * MM for side in document[0].get_size()]
    page = np.asarray(document[0].render(scale=dots * MM).to_pil().convert("L"))
    count = len(document)
    document.close()
    assert count == page_count(plan)
    assert size == pytest.approx([297, 210], abs=0.2)
    across, _ = dark_lines(page, plan.sheets[0].grid, dots)
    assert across[-1] - across[0] == pytest.approx(200, abs=0.1)


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
