"""Paper that is perfectly even, as pages of a file without grain are, is sorted like any other."""

import numpy as np
import pytest

from stitchview.sheets.sortingsquares import sort_squares
from stitchview.sheets.straightening import Straight

PITCH, ROWS, COLUMNS = 24, 12, 16


def even(codes: np.ndarray) -> Straight:
    """A straightened sheet of blocks of ink, each drawn alike to the last bit, and bare squares for 0."""
    random = np.random.default_rng(4)
    tiles = np.full((int(codes.max()) + 1, PITCH, PITCH), 245, np.uint8)
    for tile in tiles[1:]:
        blocks = random.permutation(49).reshape(7, 7) < 24
        tile[5:19, 5:19][np.kron(blocks, np.ones((2, 2), np.bool_))] = 35
    tiles[:, 0] = tiles[:, -1] = tiles[:, :, 0] = tiles[:, :, -1] = 60
    grey = tiles[codes].transpose(0, 2, 1, 3).reshape(ROWS * PITCH, COLUMNS * PITCH)
    return Straight(grey, np.repeat(grey[..., None], 3, axis=2), PITCH, 0, COLUMNS, ROWS)


@pytest.mark.parametrize(
    "codes",
    [
        np.zeros((ROWS, COLUMNS), np.int32),
        np.ones((ROWS, COLUMNS), np.int32),
        np.random.default_rng(3).integers(0, 2, (ROWS, COLUMNS)).astype(np.int32),
        np.random.default_rng(3).integers(1, 4, (ROWS, COLUMNS)).astype(np.int32),
    ],
    ids=["bare", "one sign", "one sign and bare", "three signs"],
)
def test_even_paper_is_sorted(codes: np.ndarray) -> None:
    """Signs without any grain fall into one pile each, and none of them stops the sorting."""
    piles = sort_squares([even(codes)]).sheet(0).piles
    pairs = set(zip(piles.ravel().tolist(), codes.ravel().tolist(), strict=True))
    assert len(pairs) == len(np.unique(codes)) == len(np.unique(piles))
