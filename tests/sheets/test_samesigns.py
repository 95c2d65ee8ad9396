"""One sign stays one pile however sharply it is seen, and signs that differ a little stay two."""

import cv2
import numpy as np
from numpy.typing import NDArray
from sklearn.metrics import rand_score  # type: ignore[import-untyped]

from stitchview.sheets.samesigns import may_differ, pictures_apart, pictures_apart_inside
from stitchview.sheets.sortingsquares import sort_squares
from stitchview.sheets.straightening import Straight

PITCH = 24
SIGNS = 8


def sampled_sheet(codes: NDArray[np.int32], seed: int) -> Straight:
    """A nearly noiseless scan whose pixels fall on the signs a little otherwise from part to part.

    That is what a scanner does: its pixels are no whole share of a square, so a sign meets them in other
    places from square to square.
    """
    random = np.random.default_rng(seed)
    tiles = np.zeros((SIGNS, 8 * PITCH, 8 * PITCH), np.uint8)
    for tile in tiles:
        corners = random.integers(5 * 8, 19 * 8, (5, 1, 2)).astype(np.int32)
        cv2.polylines(tile, [corners], True, 255, 12, cv2.LINE_AA)
    rows, columns = codes.shape
    picture = np.empty((rows * PITCH, columns * PITCH), np.float32)
    for (row, column), code in np.ndenumerate(codes):
        move = np.array([[1, 0, 2.5 * (column % 4 - 1.5)], [0, 1, 3.0 * (row % 3 - 1)]])
        fine = cv2.warpAffine(tiles[code], move, tiles[code].shape)
        small = cv2.resize(fine, (PITCH, PITCH), interpolation=cv2.INTER_AREA)
        picture[row * PITCH : (row + 1) * PITCH, column * PITCH : (column + 1) * PITCH] = 250 - 0.9 * small
    for at in range(0, picture.shape[0], PITCH):
        picture[at : at + 2] = 90
    for at in range(0, picture.shape[1], PITCH):
        picture[:, at : at + 2] = 90
    grey = np.clip(picture + random.normal(0, 0.7, picture.shape), 0, 255).astype(np.uint8)
    return Straight(grey, np.repeat(grey[..., None], 3, axis=2), PITCH, 0, columns, rows)


def test_a_sharp_scan_keeps_each_sign_in_one_pile() -> None:
    """Where a scan is so clean that every grain shows, there are still as many piles as signs."""
    codes = np.random.default_rng(8).integers(0, SIGNS, (48, 60)).astype(np.int32)
    piles = sort_squares([sampled_sheet(codes, 2)]).sheet(0).piles
    assert len(np.unique(piles)) == SIGNS
    assert rand_score(codes.ravel(), piles.ravel()) > 0.998


def test_a_sign_printed_beside_its_square_is_the_same_sign() -> None:
    """A disc moved by a pixel and printed paler is the same sign; a disc with a hole is another one."""
    pictures = np.zeros((3, 30, 30), np.float32)
    cv2.circle(pictures[0], (14, 15), 7, 0.9, -1, cv2.LINE_AA)
    cv2.circle(pictures[1], (15, 14), 7, 0.8, -1, cv2.LINE_AA)
    cv2.circle(pictures[2], (14, 15), 7, 0.9, -1, cv2.LINE_AA)
    cv2.circle(pictures[2], (14, 15), 2, 0.0, -1, cv2.LINE_AA)
    apart = pictures_apart(pictures, 0.9)
    assert apart[0, 1] < may_differ(24, 0.01) < apart[0, 2]


def test_a_line_along_the_edge_makes_no_other_sign() -> None:
    """A disc beside a stitched line is the same disc; of empty squares the middle says nothing."""
    pictures = np.zeros((4, 30, 30), np.float32)
    cv2.circle(pictures[0], (15, 15), 5, 0.9, -1, cv2.LINE_AA)
    cv2.circle(pictures[1], (15, 15), 5, 0.9, -1, cv2.LINE_AA)
    pictures[1][:, 1:5] = 0.9
    pictures[3][1:5] = 0.9
    whole, inside = pictures_apart(pictures, 0.9), pictures_apart_inside(pictures, 0.9)
    assert inside[0, 1] < may_differ(24, 0.01) < whole[0, 1]
    assert np.isinf(inside[2, 3])
    assert np.isinf(inside[0, 2])


def test_coarse_pictures_may_differ_less_and_worn_types_more() -> None:
    """Few pixels soften what tells signs apart, so less is forgiven; worn types need more."""
    assert may_differ(12, 0.01) < may_differ(24, 0.01) < may_differ(24, 0.09)
