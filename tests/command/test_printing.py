"""Printed sheets, asked from the command line."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pypdfium2  # type: ignore[import-untyped]
import pytest

from stitchview.chart.fileformat import read_chart

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
    assert told.lines == [f"Wrote “sheets.pdf”: {len(pages)} pages, the chart on 1 sheet."]
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
