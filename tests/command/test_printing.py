"""Printed sheets, asked from the command line."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2  # type: ignore[import-untyped]
import pytest

from stitchview.chart.fileformat import read_chart, write_chart
from stitchview.chart.model import Chart, Cloth
from stitchview.chart.ownuse import OWN_USE
from stitchview.done.marks import Marks
from stitchview.follow.clothpitch import Pitch
from stitchview.plan.printplan import print_plan
from stitchview.plan.printwish import PrintWish
from tests.canvas.printpages import MM, dark_lines

# In a process of many tests Qt has one application, and that has windows.
pytestmark = pytest.mark.usefixtures("qapp")

REGION = ("--region", "11,21,30,20")


def pages_of(path: Path) -> list[str]:
    """The words of each page, as another program reads them out of the PDF."""
    document = pypdfium2.PdfDocument(path)
    try:
        return [" ".join(page.get_textpage().get_text_range().split()) for page in document]
    finally:
        document.close()


def test_a_region_is_written_with_its_key(
    say: Callable[..., Any], harbour_path: Path, tmp_path: Path
) -> None:
    """One sheet of the squares asked for, and the key of their threads alone."""
    target = tmp_path / "sheets.pdf"
    told = say("print-sheets", harbour_path, target, *REGION)
    assert told.code == 0, told.complaint
    chart, pages = read_chart(harbour_path), pages_of(target)
    assert told.lines == [f"Wrote “sheets.pdf”: {len(pages)} pages, the chart on 1 sheet.", OWN_USE]
    assert "Sheet 1 of 1 · columns 11 to 40, rows 21 to 40" in pages[0]
    assert "counted in the printed region" in pages[1]
    here = set(chart.squares[20:40, 10:40].ravel().tolist()) - {0}
    for number in here:
        assert chart.key[number - 1].name in pages[1]


@pytest.mark.parametrize(
    "wish",
    [
        ("--square", "2.5", "--paper", "letter"),
        ("--true-size", "--colour"),
        ("--grey-done", "--counted-from", "centre"),
        ("--left-only", "--overlap", "0"),
    ],
)
def test_every_wish_is_taken(
    say: Callable[..., Any], harbour_path: Path, tmp_path: Path, wish: tuple[str, ...]
) -> None:
    """Whatever is asked for, pages come out that another program reads."""
    target = tmp_path / "sheets.pdf"
    told = say("print-sheets", harbour_path, target, *REGION, *wish)
    assert told.code == 0, told.complaint
    assert "Harbour at dusk" in pages_of(target)[0]


@pytest.mark.parametrize(
    ("wish", "code", "sentence"),
    [
        (("--square", "0.1"), 1, "cannot be printed 0.1 mm wide"),
        (("--region", "9999,1,5,5"), 1, "outside the chart"),
        (("--overlap", "11"), 1, "cannot share 11 squares"),
        (("--square", "4", "--true-size"), 2, "not allowed with"),
        (("--left-only", "--grey-done"), 2, "not allowed with"),
    ],
)
def test_what_cannot_be_is_one_sentence(
    say: Callable[..., Any],
    harbour_path: Path,
    tmp_path: Path,
    wish: tuple[str, ...],
    code: int,
    sentence: str,
) -> None:
    """It says what is wrong, and no file is left."""
    target = tmp_path / "sheets.pdf"
    told = say("print-sheets", harbour_path, target, *wish)
    assert told.code == code
    assert sentence in told.complaint
    assert told.complaint.count("\n") == 1
    assert not target.exists()


def test_what_is_there_is_not_written_over(
    say: Callable[..., Any], harbour_path: Path, tmp_path: Path
) -> None:
    """Unless that is asked for; and only a PDF is written."""
    target = tmp_path / "sheets.pdf"
    target.write_text("hers")
    assert say("print-sheets", harbour_path, target, *REGION).code == 1
    assert target.read_text() == "hers"
    assert say("print-sheets", harbour_path, target, *REGION, "--replace").code == 0
    assert "does not end in .pdf" in say("print-sheets", harbour_path, tmp_path / "a.png").complaint


@pytest.mark.parametrize(
    ("cloth", "side"),
    [
        (Cloth(count=16), 25.4 / 16),
        (Cloth(count=28, over=2), 25.4 * 2 / 28),
        (Cloth(count=70, per_100_mm=True), 100 / 70),
    ],
)
def test_true_size_is_that_of_the_cloth(
    say: Callable[..., Any], random_chart: Callable[..., Chart], tmp_path: Path, cloth: Cloth, side: float
) -> None:
    """Fifty squares on the paper measure what fifty squares on her cloth do (PDFium, to a fifth of a mm)."""
    chart = replace(random_chart(60, 50, 5, 4), cloth=cloth, identity="")
    path, target = tmp_path / "boats.svchart", tmp_path / "sheets.pdf"
    write_chart(chart, path)
    told = say("print-sheets", path, target, "--true-size")
    assert told.code == 0, told.complaint
    plan = print_plan(Marks(chart), PrintWish(pitch=Pitch(side, side)))
    dots = 20.0
    document = pypdfium2.PdfDocument(target)
    page = np.asarray(document[0].render(scale=dots * MM).to_pil().convert("L"))
    document.close()
    across, down = dark_lines(page, plan.sheets[0].grid, dots)
    assert across[-1] - across[0] == pytest.approx(60 * side, abs=0.2)
    assert across[5] - across[0] == pytest.approx(50 * side, abs=0.2)
    assert down[-1] - down[0] == pytest.approx(50 * side, abs=0.2)


def test_neighbouring_sheets_fit_together(
    say: Callable[..., Any], random_chart: Callable[..., Chart], tmp_path: Path
) -> None:
    """The first ten of the second sheet lies as far from its left edge as the shared squares say, in mm."""
    chart = replace(random_chart(100, 30, 5, 4), identity="")
    path, target = tmp_path / "boats.svchart", tmp_path / "sheets.pdf"
    write_chart(chart, path)
    assert say("print-sheets", path, target, "--overlap", "4").code == 0
    plan = print_plan(Marks(chart), PrintWish(overlap=4))
    first, second = plan.sheets[:2]
    assert first.area.right - second.area.column >= 4
    dots, lines = 16.0, []
    document = pypdfium2.PdfDocument(target)
    for number, sheet in enumerate((first, second), 1):
        page = np.asarray(document[number].render(scale=dots * MM).to_pil().convert("L"))
        lines.append(dark_lines(page, sheet.grid, dots)[0] + sheet.area.column * 4.0)
    document.close()
    # Told from the chart's own left edge, lines of both sheets stand at the same millimetres.
    both = [each for each in lines[0] if second.area.column * 4 < each < first.area.right * 4 - 1]
    for each in both:
        assert min(abs(lines[1] - each)) < 0.1
    tens = [each for each in (*lines[0], *lines[1]) if 1 < each < 399]
    assert {round(each / 40) for each in tens} >= {1, 2, 8, 9}
