"""Key pages: their boxes found in order, their signs matched with a chart's, and what is refused."""

from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from stitchview.sheets.keymatching import match_key
from stitchview.sheets.keypage import KeyPage, key_page, read_key_page
from stitchview.sheets.papererror import PaperError
from tests.paper.keysheet import KeyPhotograph, photographed_key, printed_key
from tests.paper.otherpictures import OTHER_PICTURES
from tests.paper.photographing import in_memory, photographed
from tests.paper.printing import printed_sheets
from tests.paper.symbols import Sign, drawn_signs


def off(page: KeyPage, taken: KeyPhotograph) -> float:
    """The largest distance of a corner from its true place, in sides of a box."""
    corners = np.array([box.corners for box in page.boxes])
    side = float(np.median(np.linalg.norm(taken.boxes[:, 1] - taken.boxes[:, 0], axis=1)))
    return float(np.linalg.norm(corners - taken.boxes, axis=2).max()) / side


def printed(signs: list[Sign]) -> dict[int, NDArray[np.uint8]]:
    """The signs as a chart's symbols are cut out: softened, with nothing at the rim."""
    pictures = {}
    for number, sign in enumerate(signs, 1):
        small = cv2.resize(255 - sign.ink, (48, 48), interpolation=cv2.INTER_AREA)
        soft = cv2.GaussianBlur(small, (0, 0), 1.0)
        whole = np.full((48, 48), 255, np.uint8)
        whole[3:-3, 3:-3] = soft[3:-3, 3:-3]
        pictures[number] = whole
    return pictures


@pytest.mark.parametrize(
    ("count", "seed", "condition"), [(6, 12, "careful"), (28, 6, "scan"), (60, 3, "careful")]
)
def test_every_box_is_found_in_its_order(count: int, seed: int, condition: str) -> None:
    """Whichever way the page lies, its boxes are counted down each column and none is missed or invented."""
    taken = photographed_key(printed_key(drawn_signs(count, seed), seed), condition, seed, seed % 4)
    page = key_page(taken.picture)
    assert [box.number for box in page.boxes] == list(range(1, count + 1))
    assert off(page, taken) < 0.12
    assert page.doubts == ()


def test_faint_frames_are_told() -> None:
    """In a poor photograph boxes whose frame is broken are placed by their neighbours, and that is told."""
    taken = photographed_key(printed_key(drawn_signs(42, 20), 20), "poor", 20)
    page = key_page(taken.picture)
    assert len(page.boxes) == 42
    assert off(page, taken) < 0.15
    assert any("pixels wide" in doubt for doubt in page.doubts)


@pytest.mark.parametrize(("condition", "seed"), [("careful", 2), ("poor", 1)])
def test_signs_are_matched_with_the_boxes_that_show_them(condition: str, seed: int) -> None:
    """Every sign finds its box, though some are alike and the key prints them in another size."""
    signs = drawn_signs(40, seed)
    taken = photographed_key(printed_key(signs, seed), condition, seed)
    match = match_key(printed(signs), key_page(taken.picture))
    assert [(pair.symbol, pair.box) for pair in match.pairs] == [(at, at) for at in range(1, 41)]
    assert (dict(match.symbols), match.boxes) == ({}, ())


def test_who_has_no_partner_is_told() -> None:
    """A sign that is not in the key, one that stands in two piles, and an entry nobody uses are all told."""
    signs = drawn_signs(20, 9, ("shapes", "letters"))
    taken = photographed_key(printed_key(signs[:18], 9), "careful", 9)
    symbols = printed(signs)
    del symbols[4]
    symbols[21] = cv2.GaussianBlur(symbols[7], (0, 0), 0.8).astype(np.uint8)
    match = match_key(symbols, key_page(taken.picture))
    assert 4 in match.boxes
    left = set(match.symbols)
    assert left & {7, 21}
    (double,) = left & {7, 21}
    assert match.symbols[double] == 7
    pairs = {pair.symbol: pair.box for pair in match.pairs}
    assert all(pairs[at] == at for at in range(1, 19) if at not in (4, 7))


@pytest.mark.parametrize("what", OTHER_PICTURES)
def test_what_shows_no_key_is_refused(what: str) -> None:
    """A coast, houses, print, a table and empty paper are no keys, and that is told with what to do."""
    picture = in_memory(OTHER_PICTURES[what](np.random.default_rng([1, 7])), "holiday.jpg")
    with pytest.raises(PaperError, match=r"holiday\.jpg.*(Photograph|Choose)"):
        key_page(picture)


def test_a_sheet_of_the_chart_is_no_key() -> None:
    """Her chart given in place of its key is told by name."""
    sheet = photographed(printed_sheets(60, 50, 20, 3).pages[0], "careful", 3)
    with pytest.raises(PaperError, match="shows a chart and no key"):
        key_page(sheet.picture)


def test_a_key_too_small_to_read_is_refused() -> None:
    """Boxes of nine pixels are told with what to do, and no list is guessed."""
    taken = photographed_key(printed_key(drawn_signs(12, 2), 2), "scan", 2)
    small = cv2.resize(taken.picture.colour, None, fx=0.15, fy=0.15, interpolation=cv2.INTER_AREA)
    with pytest.raises(PaperError, match=r"pixels wide|No list of signs"):
        key_page(in_memory(np.asarray(small, np.uint8), "key.jpg"))


def test_a_bad_key_file_is_told_of(tmp_path: Path) -> None:
    """A file that is no picture is named with what to use."""
    letter = tmp_path / "key.jpg"
    letter.write_text("Dear stitcher", "utf-8")
    with pytest.raises(PaperError, match=r"key\.jpg is not a picture"):
        read_key_page(letter)
