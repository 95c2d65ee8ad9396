"""Printed sheets, measured in millimetres by another library: paper, squares, edges, map and key."""

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pypdfium2  # type: ignore[import-untyped]
import pytest
from PySide6.QtPrintSupport import QPrinter

from stitchview.canvas.printmap import sheet_box
from stitchview.canvas.printsheets import draw_pages, page_count, page_layout, print_pdf
from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.asworked import as_worked
from stitchview.done.differences import Shifted
from stitchview.done.marks import Marks
from stitchview.done.notebook import Notes
from stitchview.follow.clothpitch import Pitch
from stitchview.follow.numbering import Numbering, tens_lines
from stitchview.plan.cardpages import A4, LETTER
from stitchview.plan.printplan import print_plan
from stitchview.plan.printwish import PrintWish
from tests.canvas.printpages import MM, Pages, bare, dark_lines, marked

pytestmark = pytest.mark.usefixtures("qapp")

RandomChart = Callable[[int, int, int, int], Chart]
LONG = "Harbour at dusk with the fishing boats coming home and the lamps being lit one after the other " * 4


@pytest.mark.parametrize("paper", [A4, LETTER])
@pytest.mark.parametrize("lying", [False, True])
def test_every_page_has_the_size_of_the_paper(random_chart: RandomChart, paper: object, lying: bool) -> None:
    """ISO 216 and ANSI Y14.1 as PDFium measures them, turned where the chart is wide."""
    columns, rows = (100, 30) if lying else (30, 120)
    chosen = A4 if paper == A4 else LETTER
    plan = print_plan(Marks(random_chart(columns, rows, 30, 1)), PrintWish(chosen))
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
    dots = 16.0
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


def test_a_list_tells_where_the_cloth_differs(random_chart: RandomChart) -> None:
    """Printed as it stands on the cloth, with a page that tells how it departs from the bought chart."""
    chart, told = random_chart(30, 20, 6, 3), Shifted("s", 4, 5, 6, 3, 1, 0)
    plain = print_pdf(print_plan(Marks(chart), PrintWish()))
    plan = print_plan(Marks(as_worked(chart, [told]), notes=Notes.of([told])), PrintWish())
    with Pages(plan) as pages:
        assert pages.count == page_count(plan)
    document, without = pypdfium2.PdfDocument(print_pdf(plan)), pypdfium2.PdfDocument(plain)
    assert len(document) == len(without) + 1
    words = document[len(document) - 1].get_textpage().get_text_bounded()
    document.close()
    without.close()
    assert "Where the cloth differs" in words
    assert "Block lies 1 column right" in words
    away = print_plan(
        Marks(as_worked(chart, [told]), notes=Notes.of([told])), PrintWish(area=Area(20, 0, 9, 9))
    )
    assert not away.differs
