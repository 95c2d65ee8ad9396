"""Symbols: any character or picture she could give a thread is drawn, and none can spoil a square."""

from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from stitchview.canvas.glyphs import GlyphPaths, cross_masks, tick_mask
from stitchview.chart.model import KeyEntry, Symbol
from tests.canvas.charts import key_of

pytestmark = pytest.mark.usefixtures("qapp")


def entry(code: str = "a", text: str = "", picture: str = "") -> KeyEntry:
    return KeyEntry(code, Symbol(text, picture), "Sample cotton 1")


def cutting(width: int, height: int) -> bytes:
    """A cut-out of print: a dark bar across the middle of light paper."""
    pixels = np.full((height, width), 255, np.uint8)
    pixels[height // 3 : 2 * height // 3] = 0
    file = BytesIO()
    Image.fromarray(pixels).save(file, "PNG")
    return file.getvalue()


@pytest.mark.parametrize("text", ["#", "█", "⠿", "𝔐", "Ⅷ", "ſ", "WWWWWWWW", "|", "."])
@pytest.mark.parametrize("pitch", [7, 12, 41])
def test_no_symbol_leaves_its_square(text: str, pitch: int) -> None:
    """However wide or tall a symbol is, the first row and column of pixels stay free for the grid."""
    ink = GlyphPaths([entry(text=text)], {}).coverage([0], pitch, 0.64)[0]
    assert ink.shape == (pitch, pitch)
    assert not ink[0].any()
    assert not ink[:, 0].any()


@pytest.mark.parametrize("text", ["A", "+", "█", "|"])
def test_symbols_stand_in_the_middle(text: str) -> None:
    """A symbol's ink has as much room on its left as on its right, above as below."""
    ink = GlyphPaths([entry(text=text)], {}).coverage([0], 41, 0.64)[0]
    rows, columns = np.nonzero(ink > 127)
    # The middle of what the grid line leaves free.
    assert abs((rows.min() + rows.max()) / 2 - 20.5) <= 1
    assert abs((columns.min() + columns.max()) / 2 - 20.5) <= 1


@pytest.mark.parametrize("text", ["\ufdd0", "\U0010fffd", "\u200b", " ", "\ud800"])
def test_a_symbol_no_font_has_does_no_harm(text: str) -> None:
    """A character that cannot be drawn leaves its square without a symbol, or with the font's own sign."""
    ink = GlyphPaths([entry(text=text)], {}).coverage([0], 16, 0.64)[0]
    assert ink.shape == (16, 16)
    assert not ink[0].any()


def test_without_a_symbol_the_code_is_drawn() -> None:
    """A thread to which no symbol was given shows the character that stands for it in the chart."""
    paths = GlyphPaths([entry("k"), entry("x", "k")], {})
    ink = paths.coverage([0, 1], 20, 0.64)
    assert ink[0].any()
    assert np.array_equal(ink[0], ink[1])


@pytest.mark.parametrize("size", [(30, 30), (3, 50), (1, 1), (200, 40)])
def test_a_symbol_cut_from_the_paper_is_drawn_as_printed(size: tuple[int, int]) -> None:
    """Dark print becomes ink and light paper becomes none."""
    paths = GlyphPaths([entry(picture="pictures/a.png")], {"pictures/a.png": cutting(*size)})
    ink = paths.coverage([0], 30, 0.64)[0]
    if size != (1, 1):
        assert ink[15, 15] > 200
    assert ink[4, 15] < 60
    assert not ink[0].any()


@pytest.mark.parametrize(
    "content", [b"", b"no picture", cutting(20, 20)[:60], b"\x89PNG\r\n\x1a\n" + bytes(99)]
)
def test_a_broken_cut_out_gives_way_to_the_code(content: bytes) -> None:
    """If the picture of a symbol cannot be read, the square shows the character instead."""
    broken = GlyphPaths([entry("k", picture="pictures/a.png")], {"pictures/a.png": content})
    whole = GlyphPaths([entry("k")], {})
    assert np.array_equal(broken.coverage([0], 20, 0.64), whole.coverage([0], 20, 0.64))


def test_no_symbols_at_all() -> None:
    """An empty key draws nothing and asks for nothing."""
    assert GlyphPaths([], {}).coverage([], 16, 0.64).shape == (0, 16, 16)


@pytest.mark.parametrize("pitch", [7, 16, 60])
def test_the_signs_of_done_squares_fit_into_them(pitch: int) -> None:
    """The woven cross is alike on both sides of its middle, and leaves the grid line free."""
    masks = cross_masks(pitch)
    for mask in (masks.under, masks.over):
        assert mask.max() > 200
        # The grid line is drawn over what little reaches under it.
        assert mask[0].max() < 20
        assert mask[:, 0].max() < 20
    inner = masks.over[1:, 1:].astype(int)
    assert np.abs(inner - inner[::-1, ::-1]).max() <= 2
    assert np.abs(inner - masks.under[1:, 1:][:, ::-1]).max() <= 2
    assert tick_mask(pitch).any()


@pytest.mark.parametrize("pitch", [12, 24, 36])
def test_a_symbol_is_the_same_in_whatever_company(pitch: int) -> None:
    """A symbol drawn alone and among hundreds of others has the very same ink."""
    key = key_of(300, np.random.default_rng(5))
    together = GlyphPaths(key, {}).coverage(range(300), pitch, 0.64)
    for number in (0, 90, 211, 299):
        assert np.array_equal(GlyphPaths(key, {}).coverage([number], pitch, 0.64)[0], together[number])
