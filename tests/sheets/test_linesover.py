"""Squares with back stitch over them stay with their sign, and lines found no piles of their own."""

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from sklearn.metrics import rand_score  # type: ignore[import-untyped]

from stitchview.sheets.crossings import AROUND_LINES
from stitchview.sheets.describing import soft_pixels
from stitchview.sheets.linesover import explained
from stitchview.sheets.pilerounds import inner_part
from stitchview.sheets.secondlook import PixelModel, ink_at_half_points, ink_beyond
from stitchview.sheets.sortingsquares import sort_squares
from stitchview.sheets.straightening import straighten
from tests.paper.photographing import photographed
from tests.paper.printing import Paper, printed_sheets

PITCH = 24
BLANK, DISC, DOTS, BOX, BARS = range(5)


def signs() -> NDArray[np.float32]:
    """Ink of a blank square, a disc, two dots, a box and bars that run from edge to edge."""
    ink = np.zeros((5, 8 * PITCH, 8 * PITCH), np.uint8)
    cv2.circle(ink[DISC], (96, 96), 44, 255, -1)
    cv2.circle(ink[DOTS], (130, 62), 16, 255, -1)
    cv2.circle(ink[DOTS], (62, 130), 16, 255, -1)
    cv2.rectangle(ink[BOX], (48, 48), (144, 144), 255, 10)
    for at in range(24, 192, 48):
        cv2.line(ink[BARS], (at, 0), (at - 24, 191), 255, 9)
    small = [cv2.resize(tile, (PITCH, PITCH), interpolation=cv2.INTER_AREA) for tile in ink]
    return np.array(small, np.float32) / np.float32(255)


def square(sign: int, slopes: bool, shade: float = 0.0) -> NDArray[np.float32]:
    """The cut-out of one square with AROUND_LINES around, a line down it from corner to corner or none."""
    ink = np.zeros((3 * PITCH, 3 * PITCH), np.float32)
    ink[PITCH:-PITCH, PITCH:-PITCH] = signs()[sign] * (1 - shade) + shade
    if slopes:
        cv2.line(ink, (0, 0), (3 * PITCH, 3 * PITCH), 1.0, 4, cv2.LINE_AA)
    seen = cv2.GaussianBlur(ink, (0, 0), 0.6)
    reach = slice(PITCH - AROUND_LINES, 2 * PITCH + AROUND_LINES)
    return np.asarray(seen[reach, reach], np.float32)


def found(cutout: NDArray[np.float32]) -> tuple[int, int]:
    """The likeliest sign and how many pieces of line it takes."""
    clean = np.array([square(sign, False) for sign in range(5)])
    means = soft_pixels(inner_part(clean))
    model = PixelModel(means, np.eye(means.shape[1], dtype=np.float32) * np.float32(0.02**2), 1.0)
    seen = explained(soft_pixels(inner_part(cutout[None])), cutout[None], model)
    sign = int(seen.costs[0].argmin())
    return sign, int(seen.pieces[0, sign])


@pytest.mark.parametrize("sign", [BLANK, DISC, DOTS, BOX, BARS])
def test_a_sign_is_known_under_back_stitch(sign: int) -> None:
    """A line down a square adds pieces of line to its sign; without one the sign needs none."""
    assert found(square(sign, False)) == (sign, 0)
    under, pieces = found(square(sign, True))
    assert under == sign
    assert pieces >= 1


def test_shading_behind_a_blank_square_is_no_sign() -> None:
    """Grey printed behind an empty square, with or without a line over it, leaves it empty."""
    assert found(square(BLANK, False, 0.2))[0] == BLANK
    assert found(square(BLANK, True, 0.2))[0] == BLANK


def test_a_cross_that_ends_within_its_square_is_no_back_stitch() -> None:
    """Lines cross a square's edge at its corners or half way along; a printed cross leaves paper there."""
    blank = np.array([square(BLANK, False)] * 9)
    cross = blank[0].copy()
    first, last = AROUND_LINES + 4, AROUND_LINES + PITCH - 5
    cv2.line(cross, (first, first), (last, last), 1.0, 3, cv2.LINE_AA)
    cv2.line(cross, (first, last), (last, first), 1.0, 3, cv2.LINE_AA)
    assert ink_at_half_points(cross, blank, 1.0) < 0.05
    assert ink_at_half_points(square(BLANK, True), blank, 1.0) > 0.2
    edged = blank[0].copy()
    edged[AROUND_LINES - 2 : AROUND_LINES + 2] = 1
    assert ink_beyond(np.array([cross, edged]), blank, 1.0).tolist() == [
        0,
        2 * edged.shape[1] + 4 * AROUND_LINES,
    ]


def test_back_stitch_founds_few_piles() -> None:
    """On a printed sheet full of back stitch there are no more piles than signs."""
    sheet = printed_sheets(70, 60, 20, 31, Paper(line_share=0.12)).pages[0]
    taken = photographed(sheet, "careful", 31)
    piles = sort_squares([straighten(taken.picture, taken.lattice, PITCH, PITCH)]).sheet(0).piles
    assert len(np.unique(piles)) <= len(np.unique(taken.content.codes))
    assert rand_score(taken.content.codes.ravel(), piles.ravel()) > 0.999
