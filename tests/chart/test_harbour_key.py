"""The sample's key: names, numbers, kinds, blends, and symbols that can be told apart."""

import re
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFont

from stitchview.chart.colour import Colour
from stitchview.chart.harbour.colourwords import colour_words
from stitchview.chart.harbour.making import make_harbour
from stitchview.chart.harbour.symbols import symbols
from stitchview.chart.model import MOST_KEY_ENTRIES, THREAD_KINDS, Chart

FONT = Path("/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf")
NAME = re.compile(r"Sample (cotton|silk|hand-dyed|metallic|bead) (\d+), [a-z ]+")
BLEND = re.compile(r"Sample blend of \S+ \d+ and \S+ \d+, [a-z ]+")


@pytest.fixture(scope="module")
def harbour() -> Chart:
    """A harbour with a key of 90 entries."""
    return make_harbour(160, 120, 90, 3)


@pytest.mark.parametrize("threads", [1, 2, 3, 5, 6, 9, 24, 90, 517, 2000])
def test_nothing_in_a_key_is_there_twice(threads: int) -> None:
    """Names, symbols, codes and colours are all different, however many threads there are."""
    key = make_harbour(40, 30, threads, 6).key
    for values in (
        [entry.name for entry in key],
        [entry.symbol.text for entry in key],
        [entry.code for entry in key],
        [entry.colour for entry in key],
    ):
        assert len(set(values)) == threads


def test_threads_are_called_by_kind_number_and_colour(harbour: Chart) -> None:
    """Such as “Sample cotton 17, slate blue”, with the number the name says, in a kind of the trade."""
    for entry in harbour.key:
        assert entry.kind in THREAD_KINDS
        if entry.blend:
            assert BLEND.fullmatch(entry.name)
        else:
            found = NAME.fullmatch(entry.name)
            assert found, entry.name
            assert found[2] == entry.number


def test_all_kinds_of_thread_are_in_a_large_key(harbour: Chart) -> None:
    """Cotton, silk, hand-dyed, metallic, beads and blends; metallics and beads are held back."""
    kinds = {entry.kind for entry in harbour.key}
    assert kinds == {"stranded cotton", "silk", "hand-dyed", "metallic", "bead"}
    for entry in harbour.key:
        assert entry.held_back == (entry.kind in ("metallic", "bead"))


def test_blends_are_of_threads_in_the_key(harbour: Chart) -> None:
    """Each blend is one strand each of two threads that have key entries of their own."""
    singles = {(entry.name, entry.colour) for entry in harbour.key if not entry.blend}
    blends = [entry.blend for entry in harbour.key if entry.blend]
    assert len(blends) >= 3
    for blend in blends:
        assert len({thread.name for thread in blend}) == 2
        assert all((thread.name, thread.colour) in singles and thread.strands == 1 for thread in blend)


def test_knots_are_thread_and_beads_are_beads(harbour: Chart) -> None:
    """A bead is in a bead of the key, a knot or a line never is; a hand-dyed thread fills the water."""
    kinds = np.array(["", *(entry.kind for entry in harbour.key)])
    beads = harbour.points.kinds == 2
    assert (kinds[harbour.points.keys[beads]] == "bead").all()
    assert (kinds[harbour.points.keys[~beads]] != "bead").all()
    assert (kinds[harbour.lines.keys] != "bead").all()
    lowest = kinds[harbour.squares[-25:-10, 20:-20]]
    assert (lowest == "hand-dyed").mean() > 0.3


def test_the_most_used_threads_have_the_plainest_symbols(harbour: Chart) -> None:
    """Symbols are given out in their order, from the thread with most crosses down."""
    counts = np.bincount(harbour.squares.ravel(), minlength=len(harbour.key) + 1)[1:]
    order = {sign: place for place, sign in enumerate(symbols(len(harbour.key)))}
    places = np.array([order[entry.symbol.text] for entry in harbour.key])
    by_place = counts[np.argsort(places)]
    # Some squares became part stitches after the symbols were given out.
    assert (np.diff(by_place) <= 0.05 * counts.max()).all()


def test_no_two_symbols_look_alike() -> None:
    """Drawn in a common font, all 2,000 symbols have ink, exist, and differ from one another."""
    if not FONT.is_file():
        pytest.skip(f"the font is not at {FONT}")
    font = ImageFont.truetype(FONT, 32)
    missing = drawn("\U000ffffe", font)
    pictures = [drawn(sign, font) for sign in symbols(MOST_KEY_ENTRIES)]
    assert missing not in pictures
    assert all(any(picture) for picture in pictures)
    assert len(set(pictures)) == MOST_KEY_ENTRIES


def drawn(sign: str, font: ImageFont.FreeTypeFont) -> bytes:
    """A sign as its pixels, moved to the top left corner of its ink."""
    picture = Image.new("L", (80, 80))
    ImageDraw.Draw(picture).text((20, 20), sign, font=font, fill=255)
    ink = picture.getbbox()
    assert ink, sign
    return picture.crop((*ink[:2], ink[0] + 48, ink[1] + 48)).tobytes()


def test_no_more_symbols_than_a_key_can_use() -> None:
    """Asking for more symbols than a key has entries is a mistake of the program."""
    assert symbols(0) == ()
    with pytest.raises(ValueError, match="2001"):
        symbols(MOST_KEY_ENTRIES + 1)


@pytest.mark.parametrize(
    ("colour", "words"),
    [
        ("#000000", "black"),
        ("#FFFFFF", "white"),
        ("#808080", "pebble grey"),
        ("#4A6B9A", "slate blue"),
        ("#DCE2E8", "mist"),
        ("#121A42", "dark navy"),
        ("#B5322B", "brick red"),
        ("#FBE7A6", "pale straw"),
        ("#3F7F5A", "leaf green"),
        ("#9A7A9E", "mauve"),
        ("#7A6A78", "dusky mauve"),
    ],
)
def test_a_colour_is_called_what_one_would_say(colour: str, words: str) -> None:
    """Words for colours are plain ones (the words are our own choice)."""
    told = colour_words(Colour.from_hex(colour))
    assert told == words
