"""The finished sheet, read back by another program: its paper, its words, its picture, and no symbols."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pypdfium2  # type: ignore[import-untyped]
import pytest

from stitchview.canvas.finishsheet import finish_pdf, write_finish
from stitchview.chart.model import Chart, Cloth, KeyEntry, Symbol
from stitchview.done.change import DONE, Selection
from stitchview.done.differences import NotWorked, Shifted
from stitchview.done.finishnotes import BLEEDS, Finished, ThreadTest, ThreadUsed
from stitchview.done.leftout import POINTS, LeftOut
from stitchview.done.marks import Marks, change_to, noting
from stitchview.done.notes import Note
from stitchview.done.usedinstead import UsedInstead
from stitchview.errors import CommandError, StitchviewError
from stitchview.follow.habits import Habits
from stitchview.plan.cardpages import A4, LETTER, Paper
from stitchview.plan.finishing import Ending, ending_of
from stitchview.plan.finishwords import difference_lines
from stitchview.plan.piece import Piece

pytestmark = pytest.mark.usefixtures("qapp")

POINT_MM = 25.4 / 72
DAY = "2026-11-25"
SIZE = Finished(DAY, 21.6, 18.0)


def at_its_end(chart: Chart, *notes: Note, skip: int = 0) -> tuple[Marks, Ending]:
    """All stitched but for the last points, with some notes."""
    marks = Marks(replace(chart, cloth=Cloth("Aida", 14.0)))
    chosen = Selection.of(
        chart.squares.reshape(-1).nonzero()[0],
        np.arange(len(chart.parts.keys)),
        np.arange(len(chart.lines.keys)),
        np.arange(len(chart.points.keys) - skip),
    )
    change = change_to(marks, chosen, DONE)
    assert change is not None
    marks.apply(change)
    changed = marks.notes.putting(*notes)
    if changed is not None:
        marks.apply(noting(marks.chart, changed))
    return marks, ending_of(marks, (), Piece(), Habits())


def words_of(pdf: bytes) -> list[str]:
    document = pypdfium2.PdfDocument(pdf)
    try:
        return [" ".join(page.get_textpage().get_text_range().split()) for page in document]
    finally:
        document.close()


@pytest.mark.parametrize("paper", [A4, LETTER])
def test_it_is_on_the_paper_asked_for(small_chart: Callable[[], Chart], paper: Paper) -> None:
    """A4 is 210 x 297 mm by ISO 216, which allows 1.5 and 2 mm either way; one page."""
    document = pypdfium2.PdfDocument(finish_pdf(*at_its_end(small_chart(), SIZE), paper))
    sizes = [(page.get_width() * POINT_MM, page.get_height() * POINT_MM) for page in document]
    document.close()
    assert len(sizes) == 1
    assert sizes[0] == pytest.approx((paper.width, paper.height), abs=0.5)


def test_it_says_what_there_is_to_say(small_chart: Callable[[], Chart]) -> None:
    """Day, size and error, cloth, threads with what was used and tested, and what was left out."""
    chart = small_chart()
    first = chart.key[0]
    point = chart.points
    code = chart.key[int(point.keys[-1]) - 1].code
    out = LeftOut(POINTS, code, int(point.x[-1]) // 2, int(point.y[-1]) // 2, 1, 1)
    notes = (
        SIZE,
        out,
        ThreadUsed(first.name, first.number, 2.0, 8_000.0),
        ThreadTest(first.name, first.number, BLEEDS, "cold water only"),
    )
    text = words_of(finish_pdf(*at_its_end(chart, *notes, skip=1)))[0]
    for words in (
        "Finished 25 November 2026.",
        "14 threads to the inch, over 1.",
        "Measured 2.2 x 1.8 cm",
        "2 skeins really used",
        "colour runs: cold water only",
        "goes before anything said here",
        "Knots and beads, ",
    ):
        assert words in text, text
    assert first.name in text


def test_it_tells_which_thread_was_used_instead(small_chart: Callable[[], Chart]) -> None:
    """The thread on the cloth is told, and what it stands for."""
    printed = small_chart().key[0]
    other = UsedInstead(printed.name, printed.number, "Sample silk 4, moss", "4", lot="A12")
    text = words_of(finish_pdf(*at_its_end(small_chart(), SIZE, other)))[0]
    assert "Sample silk 4, moss instead of" in text
    assert "lot A12" in text
    assert "None noted." in words_of(finish_pdf(*at_its_end(small_chart(), SIZE)))[0]


def test_recorded_differences_are_told_without_where(small_chart: Callable[[], Chart]) -> None:
    """Blocks that lie off and stitches not worked; alike ones once, with how often; no columns, no rows."""
    chart = small_chart()
    code = chart.key[0].code
    differences = (
        Shifted("a", 1, 1, 3, 2, across=-1, down=0),
        Shifted("b", 6, 6, 2, 2, across=-1, down=0),
        NotWorked("c", 8, 2, 1, 1, sort="", code=code),
    )
    _, ending = at_its_end(chart, *differences)
    assert ending.differences == differences
    lines = difference_lines(ending)
    assert "Block lies 1 column left (2 times)" in lines
    assert any("left out" in each for each in lines)
    assert not any("columns" in each or "row " in each for each in lines)


def test_symbols_and_codes_are_not_on_it(small_chart: Callable[[], Chart]) -> None:
    """With other symbols in the key the page looks the same, pixel for pixel."""
    chart = small_chart()
    other = replace(chart, key=tuple(replace(each, symbol=Symbol("#")) for each in chart.key))
    pictures = []
    for each in (chart, other):
        document = pypdfium2.PdfDocument(finish_pdf(*at_its_end(each, SIZE)))
        pictures.append(np.asarray(document[0].render(scale=2).to_pil()))
        document.close()
    assert np.array_equal(pictures[0], pictures[1])
    assert len(np.unique(pictures[0].reshape(-1, pictures[0].shape[-1]), axis=0)) > 20


def test_many_threads_go_on_overleaf(small_chart: Callable[[], Chart]) -> None:
    """A key of three hundred threads is told whole, each once."""
    chart = small_chart()
    squares = np.arange(1, 301, dtype=np.uint16).reshape(15, 20)
    key = tuple(
        KeyEntry(f"c{number}", Symbol("x"), f"Sample cotton {number}, shade", number=f"{number}")
        for number in range(1, 301)
    )
    plain = type(chart.parts)(), type(chart.lines)(), type(chart.points)()
    large = replace(
        chart, squares=squares, key=key, parts=plain[0], lines=plain[1], points=plain[2], sheets=()
    )
    pages = words_of(finish_pdf(*at_its_end(large, Finished(DAY))))
    text = " ".join(pages)
    assert len(pages) > 1
    assert all(text.count(f"Sample cotton {number}, shade") == 1 for number in range(1, 301))


def test_only_a_finished_piece_has_one(small_chart: Callable[[], Chart]) -> None:
    """Neither one with stitches left, nor one that nobody called finished."""
    for skip, notes in ((1, (SIZE,)), (0, ())):
        with pytest.raises(CommandError, match="for a finished piece"):
            finish_pdf(*at_its_end(small_chart(), *notes, skip=skip))


def test_a_folder_that_cannot_be_written_is_told(small_chart: Callable[[], Chart], tmp_path: Path) -> None:
    """One sentence, and no half a sheet."""
    marks, ending = at_its_end(small_chart(), SIZE)
    (tmp_path / "file").write_text("no folder")
    with pytest.raises(StitchviewError):
        write_finish(marks, ending, tmp_path / "file" / "sheet.pdf")
    with pytest.raises(StitchviewError):
        write_finish(marks, ending, tmp_path / "none" / "sheet.pdf")
    assert [each.name for each in tmp_path.iterdir()] == ["file"]
