"""A sheet's lattice has the proportions of the paper it is printed on, by ISO 216, and PDF pages their size.

Source: ISO 216:2007, trimmed sizes of the A series, A4 210 x 297 mm and A3 297 x 420 mm (from memory; the
numbers are common knowledge, the standard itself was not at hand).
"""

from dataclasses import replace
from pathlib import Path

import cv2
import numpy as np
import pypdfium2  # type: ignore[import-untyped]
import pytest
from numpy.typing import NDArray

from stitchview.sheets.latticefinding import find_lattice
from stitchview.sheets.opening import open_pictures
from tests.paper.photographing import CONDITIONS, photographed, placed
from tests.paper.printing import Page, Paper, printed_sheets

A_SERIES = {"A4": (210, 297), "A3": (297, 420)}
POINTS_A_MILLIMETRE = 72 / 25.4


def on_paper(page: Page, size: tuple[int, int]) -> Page:
    """The page with white margins added until it has the proportions of the paper."""
    high, wide = page.pixels.shape[:2]
    ratio = size[1] / size[0]
    more_high, more_wide = max(0, round(wide * ratio) - high), max(0, round(high / ratio) - wide)
    pixels = cv2.copyMakeBorder(
        page.pixels, 0, more_high, 0, more_wide, cv2.BORDER_CONSTANT, value=(255, 255, 255)
    )
    return replace(page, pixels=np.asarray(pixels, np.uint8))


def unit_steps(nodes: NDArray[np.float32]) -> NDArray[np.float64]:
    """The perspective that leads from picture points to squares of the lattice."""
    rows, columns = nodes.shape[:2]
    squares = np.stack(np.meshgrid(np.arange(columns), np.arange(rows)), axis=2).reshape(-1, 2)
    found, _ = cv2.findHomography(nodes.reshape(-1, 2).astype(np.float64), squares.astype(np.float64))
    return np.asarray(found, np.float64)


@pytest.mark.parametrize("name", A_SERIES)
def test_a_tilted_sheet_keeps_the_proportions_of_its_paper(name: str) -> None:
    """Measured in squares of the lattice found in a tilted photograph, paper is as long as ISO 216 says."""
    size = A_SERIES[name]
    flat = replace(CONDITIONS["careful"], tilt=(4, 6), curl=(0, 0), waves=(0, 0), lens=(0, 0))
    printed = printed_sheets(60, 80, 20, 4, Paper(families=("shapes", "letters")))
    page = on_paper(printed.pages[0], size)
    taken = photographed(page, flat, 4)
    high, wide = page.pixels.shape[:2]
    corners = np.array([(0, 0), (wide, 0), (wide, high), (0, high)], np.float64) - 0.5
    seen = placed(corners, taken.camera, 0, (taken.picture.grey.shape[1], taken.picture.grey.shape[0]))
    lattice = find_lattice(taken.picture)
    assert (lattice.columns, lattice.rows) == (60, 80)
    in_squares = cv2.perspectiveTransform(seen[None].astype(np.float64), unit_steps(lattice.nodes))[0]
    top, right, bottom, left = np.linalg.norm(np.roll(in_squares, -1, axis=0) - in_squares, axis=1)
    assert (left + right) / (top + bottom) == pytest.approx(size[1] / size[0], rel=0.004)


@pytest.mark.parametrize("name", A_SERIES)
def test_a_pdf_page_has_its_paper_size_at_300_dots_an_inch(name: str, tmp_path: Path) -> None:
    """A4 is 2480 x 3508 dots and A3 3508 x 4961, to within the rounding of a PDF's points."""
    wide, high = A_SERIES[name]
    document = pypdfium2.PdfDocument.new()
    document.new_page(wide * POINTS_A_MILLIMETRE, high * POINTS_A_MILLIMETRE)
    document.save(tmp_path / "page.pdf")
    document.close()
    (picture,) = open_pictures(tmp_path / "page.pdf")
    seen_high, seen_wide = picture.grey.shape
    assert seen_wide == pytest.approx(wide / 25.4 * 300, abs=1.5)
    assert seen_high == pytest.approx(high / 25.4 * 300, abs=1.5)
