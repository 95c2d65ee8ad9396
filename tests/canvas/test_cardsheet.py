"""The printed thread card, measured by another library: size, words, margins, symbols, and long names."""

import io
import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pypdfium2  # type: ignore[import-untyped]
import pytest
from numpy.typing import NDArray
from PIL import Image

from stitchview.canvas.cardsheet import card_pdf, card_picture, write_card
from stitchview.canvas.cardtext import fitted
from stitchview.canvas.symbolweights import symbol_weights
from stitchview.chart.colour import Colour
from stitchview.chart.joined import Mask
from stitchview.chart.model import UNTOLD, Chart, KeyEntry, Symbol, Thread
from stitchview.errors import CommandError, StitchviewError
from stitchview.plan.card import thread_card
from stitchview.plan.cardpages import A4, LETTER, CardShape, Paper, card_pages

pytestmark = pytest.mark.usefixtures("qapp")

Pixels = NDArray[np.uint8]
RandomChart = Callable[[int, int, int, int], Chart]

DOTS_PER_MM = 6
LONG = "Sample cotton 17, slate blue with a hint of harbour water at dusk, wound by hand in late November"
SLATE = Colour(0x4A, 0x5B, 0x6C)
SINGLE = "Donaudampfschifffahrtsgesellschaftskapitänsmützengarnstrangfarbe"


def words_of(pdf: bytes) -> list[str]:
    """The words of each page, as a reader of PDF finds them."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        return [" ".join(page.get_textpage().get_text_range().split()) for page in document]
    finally:
        document.close()


def letters_of(pdf: bytes, page: int = 0) -> NDArray[np.float64]:
    """The box of every letter of a page, also where it is cut off, as left, top, right, bottom in mm."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        text, height = document[page].get_textpage(), document[page].get_height()
        boxes = np.array([text.get_charbox(place) for place in range(text.count_chars())])
        left, bottom, right, top = boxes[boxes[:, 2] > boxes[:, 0]].T * 25.4 / 72
        return np.stack([left, height * 25.4 / 72 - top, right, height * 25.4 / 72 - bottom], axis=1)
    finally:
        document.close()


def pixels_of(pdf: bytes, page: int = 0) -> Pixels:
    """A page as pixels, shape (rows, columns, 3), `DOTS_PER_MM` to the millimetre."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        picture = document[page].render(scale=DOTS_PER_MM * 25.4 / 72).to_pil().convert("RGB")
        return np.asarray(picture).copy()
    finally:
        document.close()


def chart_of(
    *entries: KeyEntry, title: str = "A small harbour", pictures: dict[str, bytes] | None = None
) -> Chart:
    return Chart(np.ones((2, 2), np.uint16), entries, title, attachments=pictures or {})


def entry(name: str, symbol: str = "A", colour: Colour = SLATE) -> KeyEntry:
    return KeyEntry("a", Symbol(symbol), name, "17", colour=colour)


@pytest.mark.parametrize("paper", [A4, LETTER])
def test_sheets_have_the_size_of_the_paper(random_chart: RandomChart, paper: Paper) -> None:
    """A reader of PDF measures A4 or Letter to within half a point, far inside what ISO 216 allows."""
    chart = random_chart(8, 8, 50, 1)
    document = pypdfium2.PdfDocument(card_pdf(chart, thread_card(chart), paper))
    sizes = [page.get_size() for page in document]
    document.close()
    assert len(sizes) == 2
    for size in sizes:
        assert [side * 25.4 / 72 for side in size] == pytest.approx([paper.width, paper.height], abs=0.18)


def test_everything_she_needs_stands_on_the_sheet(random_chart: RandomChart) -> None:
    """The title, and for each hole its number, thread, thread number and strands, can be read."""
    chart = random_chart(8, 8, 30, 1)
    text = words_of(card_pdf(chart, thread_card(chart)))[0]
    assert text.count("8 x 8") == 4
    assert "Thread card 1 of 2 · holes 1 to 15" in text
    for place, thread in enumerate(chart.key, 1):
        assert re.search(rf"\b{place} {re.escape(thread.name)} No. {thread.number} · 2 strands", text)


@pytest.mark.parametrize("paper", [A4, LETTER])
def test_two_hundred_threads_with_long_names_stay_within_the_margins(paper: Paper) -> None:
    """However long names and title are, nothing is printed outside the cards, on none of the sheets."""
    names = (LONG, SINGLE, "", "x", LONG * 2)
    threads = Thread(LONG, "17"), Thread(SINGLE, "18", strands=3)
    entries = tuple(
        KeyEntry(
            chr(0x4E00 + n),
            Symbol("W" * (1 + n % 8)),
            names[n % 5][:200],
            str(n) * 9,
            blend=threads * (n % 2),
        )
        for n in range(200)
    )
    chart = chart_of(*entries, title=LONG * 4)
    card = thread_card(chart)
    card = replace(card, holes=tuple(replace(hole, beware=(190, 191, 192, 193)) for hole in card.holes))
    pdf = card_pdf(chart, card, paper)
    pages = card_pages(card, paper)
    assert len(words_of(pdf)) == len(pages) == 5
    for number, page in enumerate(pages):
        outside = np.ones((round(paper.height * DOTS_PER_MM), round(paper.width * DOTS_PER_MM)), bool)
        for each in page.cards:
            edge = each.edge
            # A pixel more, because an edge falls between pixels.
            outside[
                int(edge.top * DOTS_PER_MM) - 1 : int(edge.bottom * DOTS_PER_MM) + 2,
                int(edge.left * DOTS_PER_MM) - 1 : int(edge.right * DOTS_PER_MM) + 2,
            ] = False
        letters = letters_of(pdf, number)
        within = np.zeros(len(letters), bool)
        for each in page.cards:
            within |= (letters[:, 0] > each.edge.left) & (letters[:, 2] < each.edge.right)
        assert len(letters) > 1000
        assert within.all()
        pixels = pixels_of(pdf, number)
        rows, columns = min(len(pixels), len(outside)), min(pixels.shape[1], outside.shape[1])
        ink: Mask = pixels.min(axis=2) < 250
        assert ink.any()
        assert not (ink[:rows, :columns] & outside[:rows, :columns]).any()


def test_the_swatch_has_the_thread_s_colour_and_the_symbol_is_black() -> None:
    """Beside the symbol, black on white, lies the colour of the thread; a colour nobody told is not shown."""
    chart = chart_of(entry("Sample cotton 17", "█"), entry("Sample cotton 18", "A", UNTOLD))
    chart = replace(chart, key=(chart.key[0], replace(chart.key[1], code="b")))
    card = thread_card(chart)
    pixels = pixels_of(card_pdf(chart, card))
    first, second = card_pages(card)[0].cards[0].labels
    middle = round((first.row.top + first.row.height / 2) * DOTS_PER_MM)
    row = pixels[middle, round(first.row.left * DOTS_PER_MM) : round(first.row.right * DOTS_PER_MM)]
    assert (np.abs(row.astype(int) - (0x4A, 0x5B, 0x6C)).max(axis=1) <= 2).sum() >= 3 * DOTS_PER_MM
    assert (row.max(axis=1) < 8).sum() >= 2 * DOTS_PER_MM
    below = pixels[round(second.row.top * DOTS_PER_MM) : round(second.row.bottom * DOTS_PER_MM)]
    assert not (np.abs(below.astype(int) - (0x4A, 0x5B, 0x6C)).max(axis=2) <= 2).any()


def test_a_symbol_cut_from_paper_is_printed_as_it_was() -> None:
    """A cut-out picture stands in its box, upright and in its own proportions, dark on light."""
    cut = np.full((60, 30, 3), 255, np.uint8)
    cut[10:50, 10:20] = (0, 0, 200)
    file = io.BytesIO()
    Image.fromarray(cut).save(file, "PNG")
    thread = replace(entry("Sample cotton 17"), symbol=Symbol("A", "pictures/cut.png"))
    chart = chart_of(thread, pictures={"pictures/cut.png": file.getvalue()})
    pixels = pixels_of(card_pdf(chart, thread_card(chart))).astype(int)
    rows, columns = np.nonzero((pixels[..., 2] > 150) & (pixels[..., :2].max(axis=2) < 90))
    height, width = np.ptp(rows) + 1, np.ptp(columns) + 1
    assert height / width == pytest.approx(4, rel=0.15)
    assert height > 3 * DOTS_PER_MM
    damaged = replace(chart, attachments={"pictures/cut.png": b"no picture"})
    assert words_of(card_pdf(damaged, thread_card(damaged)))


def test_letters_and_lines_stay_sharp_at_any_size(random_chart: RandomChart) -> None:
    """The sheet holds outlines and no pixels, so that a copy shop can print it as large as she likes."""
    chart = random_chart(8, 8, 5, 1)
    document = pypdfium2.PdfDocument(card_pdf(chart, thread_card(chart)))
    kinds = {item.type for item in document[0].get_objects()}
    document.close()
    assert kinds
    assert pypdfium2.raw.FPDF_PAGEOBJ_IMAGE not in kinds


def test_threads_alike_name_each_other_s_holes(random_chart: RandomChart) -> None:
    """A label warns of the hole whose thread looks like its own, and the card says what the sign means."""
    chart = random_chart(8, 8, 3, 1)
    card = thread_card(chart)
    assert "≈" not in words_of(card_pdf(chart, card))[0]
    warned = replace(card, holes=(replace(card.holes[0], beware=(3,)), *card.holes[1:]))
    text = words_of(card_pdf(chart, warned))[0]
    assert "≈ 3" in text
    assert "≈ looks like the thread in that hole" in text


def test_a_card_is_written_in_one_step_or_not_at_all(tmp_path: Path, random_chart: RandomChart) -> None:
    """The file is there with as many sheets as told; where it cannot be, a sentence says so."""
    chart = random_chart(8, 8, 41, 1)
    card = thread_card(chart)
    assert write_card(chart, card, tmp_path / "card.pdf") == 2
    assert (tmp_path / "card.pdf").read_bytes().startswith(b"%PDF-")
    with pytest.raises(StitchviewError):
        write_card(chart, card, tmp_path / "none" / "card.pdf")
    with pytest.raises(CommandError, match="No thread card"):
        card_pdf(chart, card, A4, CardShape(margin=150))


@pytest.mark.parametrize("ratio", [1.0, 1.5, 2.0])
def test_the_small_picture_shows_the_same_card(random_chart: RandomChart, ratio: float) -> None:
    """On the screen the card has the shape it has on paper, as sharp as the screen is."""
    chart = random_chart(8, 8, 8, 1)
    place = card_pages(thread_card(chart))[0].cards[0]
    picture = card_picture(chart, place, 3.0, ratio)
    assert picture.width() == round(place.edge.width * 3 * ratio)
    assert picture.height() == round(place.edge.height * 3 * ratio)
    assert picture.devicePixelRatio() == ratio
    colours = {
        picture.pixelColor(x, y).name() for x in range(picture.width()) for y in range(0, picture.height(), 9)
    }
    assert {thread.colour.hex.lower() for thread in chart.key} & colours
    for wrong in (0.0, -1.0, 1e6):
        with pytest.raises(CommandError):
            card_picture(chart, place, wrong)


@pytest.mark.parametrize("text", [LONG, SINGLE, "short", "", "W" * 500, f"{SINGLE} {SINGLE}"])
@pytest.mark.parametrize("lines", [1, 2])
def test_fitted_words_never_run_out_of_their_room(text: str, lines: int) -> None:
    """Words are made smaller, broken and at last shortened, but never wider than the label."""
    words = fitted(text, 3000, (330, 270, 220), lines)
    assert len(words.lines) <= lines
    assert words.width <= 3000 + 1e-6
    if len(words.lines) == 1 and "…" not in words.lines[0]:
        assert words.lines[0] == text


def test_words_that_fit_are_kept_whole_on_two_lines() -> None:
    """A name too long for one line is broken between its words, and nothing is lost."""
    words = fitted("Sample cotton 10, dusky raspberry", 2600, (330, 300, 270), 2)
    assert len(words.lines) == 2
    assert " ".join(words.lines) == "Sample cotton 10, dusky raspberry"


def test_a_full_block_weighs_more_than_a_dot() -> None:
    """A symbol's weight is the ink of its square: none for a blank, much for a block, little for a dot."""
    chart = chart_of(*(replace(entry("x"), symbol=Symbol(text)) for text in ("█", "A", ".", "\u200b")))
    block, letter, dot, blank = symbol_weights(chart)
    assert block > letter > dot > blank == 0
    assert symbol_weights(chart_of()) == ()
