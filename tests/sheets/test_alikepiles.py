"""Piles that are one sign are known by their look and by squares that two sheets show."""

import numpy as np

from stitchview.sheets.alikepiles import alikeness, loose_piles, loosened, merged_by_overlap
from stitchview.sheets.joining import join_sheets
from tests.paper.charts import invented
from tests.sheets.truthreading import cut, plain_sheet


def pictures() -> np.ndarray:
    """A cross, the same moved by a pixel, a bar, and white paper."""
    found = np.full((4, 24, 24), 255, np.uint8)
    for at in range(5, 19):
        found[0, at, at] = found[0, at, 23 - at] = 0
        found[1, at + 1, at] = found[1, at + 1, 23 - at] = 0
    found[2, 10:13, 4:20] = 0
    return found


def test_a_sign_moved_by_a_pixel_looks_the_same() -> None:
    """Moved print is the same sign; another sign and white paper are not."""
    alike = alikeness(pictures())
    assert alike[0, 1] > 0.95
    assert alike[0, 2] < 0.6
    assert alike[3].max() <= 0
    assert loose_piles(alike).tolist() == [0, 1, 1, 3, 4]
    sheet = plain_sheet("A", np.array([[0, 1, 2], [3, -1, 2]], np.int32))
    assert loosened(sheet, loose_piles(alike)).piles.tolist() == [[0, 1, 1], [3, -1, 1]]


def test_piles_that_stand_for_each_other_where_sheets_overlap_become_one() -> None:
    """A sign that went to one pile on the left sheet and to another on the right is one sign again."""
    codes = invented(60, 40, 3, 2, 0.0).codes
    left, right = cut(codes, 0, 0, 34, 40), cut(codes, 26, 0, 60, 40)
    joined = join_sheets([plain_sheet("left", left), plain_sheet("right", right)])
    moved = np.where(right == 1, 2, np.where(right == 2, 3, np.where(right == 3, 4, 0)))
    moved_left = np.where(left == 1, 1, np.where(left == 2, 3, np.where(left == 3, 4, 0)))
    sheets = [plain_sheet("left", moved_left), plain_sheet("right", moved)]
    merged = merged_by_overlap(sheets, joined, alikeness(pictures()))
    whole = {*np.unique(merged[0].piles).tolist(), *np.unique(merged[1].piles).tolist()}
    assert len(whole - {0}) == 3
    assert np.array_equal(merged[0].piles[:, 26:] == merged[1].piles[:, :8], np.ones((40, 8), bool))
