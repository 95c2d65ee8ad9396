"""The thread card, asked from the command line."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pypdfium2  # type: ignore[import-untyped]
import pytest

from stitchview.chart.fileformat import read_chart

# In a process of many tests Qt has one application, and that has windows.
pytestmark = pytest.mark.usefixtures("qapp")


def text_of(path: Path) -> list[str]:
    """The words of each sheet, as another program reads them out of the PDF."""
    document = pypdfium2.PdfDocument(path)
    try:
        return [page.get_textpage().get_text_range() for page in document]
    finally:
        document.close()


@pytest.mark.parametrize("order", ["key", "colour", "blocks"])
@pytest.mark.parametrize(("paper", "size"), [("a4", (595.28, 841.89)), ("letter", (612, 792))])
def test_a_card_is_written_with_every_thread_of_the_key(
    say: Callable[..., Any], harbour_path: Path, tmp_path: Path, order: str, paper: str, size: Any
) -> None:
    """A PDF of the size of the paper (ISO 216; 8 1/2 by 11 inches, in points of 1/72 inch) with all names."""
    target = tmp_path / "card.pdf"
    told = say("card", harbour_path, target, "--order", order, "--paper", paper)
    chart = read_chart(harbour_path)
    assert told.code == 0, told.complaint
    assert told.lines == [f"Wrote “card.pdf”: 1 sheet, {len(chart.key)} holes."]
    document = pypdfium2.PdfDocument(target)
    assert document[0].get_size() == pytest.approx(size, abs=0.5)
    document.close()
    words = " ".join(text_of(target)[0].split())
    for entry in chart.key:
        assert f"No. {entry.number}" in words or entry.blend
    assert "blend" in words


def test_what_is_there_is_not_written_over(
    say: Callable[..., Any], harbour_path: Path, tmp_path: Path
) -> None:
    """Unless that is asked for; and only a PDF is written."""
    target = tmp_path / "card.pdf"
    target.write_text("hers")
    told = say("card", harbour_path, target)
    assert told.code == 1
    assert "is there already" in told.complaint
    assert target.read_text() == "hers"
    assert say("card", harbour_path, target, "--replace").code == 0
    assert target.read_bytes()[:5] == b"%PDF-"
    told = say("card", harbour_path, tmp_path / "card.png")
    assert told.code == 1
    assert "does not end in .pdf" in told.complaint


@pytest.mark.parametrize(
    ("arguments", "code"),
    [(("--order", "size"), 2), (("--paper", "a5"), 2), (("--near", "999,1"), 1), ((), 1)],
)
def test_what_cannot_be_is_one_sentence(
    say: Callable[..., Any], harbour_path: Path, tmp_path: Path, arguments: tuple[str, ...], code: int
) -> None:
    """No such order, paper or square; no such folder."""
    target = tmp_path / "card.pdf" if arguments else tmp_path / "nowhere" / "card.pdf"
    told = say("card", harbour_path, target, *arguments)
    assert told.code == code
    assert told.complaint.count("\n") == 1
    assert not target.exists()
