"""Squares are spread between four clicked corners in right perspective, or the corners are refused."""

import numpy as np
import pytest
from numpy.typing import NDArray
from skimage.transform import estimate_transform

from stitchview.sheets.clickedcorners import checked_corners, homography, spread_between
from stitchview.sheets.latticefinding import find_lattice
from stitchview.sheets.papererror import PaperError
from tests.paper.photographing import in_memory

# shared/checks.md 6.1: four ways of computing agree on these.
FIRST = np.array([(0, 0), (4, 0), (3, 3), (1, 3)], np.float64)
FIRST_MATRIX = np.array([[4, 2, 0], [0, 6, 0], [0, 1, 1]], np.float64)
SECOND = np.array([(120, 80), (1810, 150), (1700, 1330), (200, 1240)], np.float64)
SECOND_MATRIX = np.array(
    [
        [1642.1034889601, 104.9452216417, 120],
        [66.0306758807, 1314.6603741783, 80],
        [-0.0264621608, 0.1247261082, 1],
    ]
)


@pytest.mark.parametrize(("corners", "matrix"), [(FIRST, FIRST_MATRIX), (SECOND, SECOND_MATRIX)])
def test_the_matrix_is_the_known_one(corners: NDArray[np.float64], matrix: NDArray[np.float64]) -> None:
    """The matrix of two worked examples comes out (shared/checks.md 6.1)."""
    found = homography(corners)
    assert found / found[2, 2] == pytest.approx(matrix, abs=1e-8)


def test_the_middle_lies_where_the_diagonals_cross() -> None:
    """The node in the middle is the crossing of the diagonals, in perspective (shared/checks.md 6.1)."""
    nodes = spread_between(SECOND, 4, 4).nodes
    assert nodes[2, 2] == pytest.approx((946.9965459073, 734.2694192305), abs=1e-3)
    assert nodes[[0, 0, -1, -1], [0, -1, -1, 0]] == pytest.approx(SECOND, abs=1e-3)
    first = spread_between(FIRST * 100, 4, 4).nodes / 100
    assert first[2, 1] == pytest.approx((4 / 3, 2), abs=1e-4)
    assert first[1, 2] == pytest.approx((2, 1.2), abs=1e-4)


def test_every_node_agrees_with_a_second_library() -> None:
    """scikit-image's projective transform puts every node on the same spot."""
    columns, rows = 37, 23
    unit = np.array([(0, 0), (columns, 0), (columns, rows), (0, rows)], np.float64)
    other = estimate_transform("projective", unit, SECOND)  # type: ignore[no-untyped-call]
    x, y = np.meshgrid(np.arange(columns + 1.0), np.arange(rows + 1.0))
    wanted = other(np.stack([x.ravel(), y.ravel()], 1)).reshape(rows + 1, columns + 1, 2)
    lattice = spread_between(SECOND, columns, rows)
    assert (lattice.columns, lattice.rows) == (columns, rows)
    assert np.abs(lattice.nodes - wanted).max() < 1e-3


def test_corners_and_counts_do_where_no_line_is_seen() -> None:
    """A faded sheet is followed between its four corners, with a word of warning."""
    faded = in_memory(np.full((1400, 1900, 3), 236, np.uint8), "faded.jpg")
    lattice = find_lattice(faded, 60, 40, SECOND)
    assert (lattice.columns, lattice.rows) == (60, 40)
    assert any("No lines were seen" in doubt for doubt in lattice.doubts)
    with pytest.raises(PaperError):
        find_lattice(faded, 60, None, SECOND)


@pytest.mark.parametrize(
    "order",
    [(1, 0, 3, 2), (0, 2, 1, 3), (0, 0, 2, 3), (0, 1, 2)],
    ids=["mirrored", "crossed", "one twice", "three"],
)
def test_corners_out_of_order_are_refused(order: tuple[int, ...]) -> None:
    """Corners that cannot be a sheet's are sent back with the order to click them in."""
    with pytest.raises(PaperError, match="Click the top left, top right, bottom right"):
        checked_corners(SECOND[list(order)])


def test_a_chart_has_squares() -> None:
    """No columns at all is refused."""
    with pytest.raises(PaperError, match="at least one column"):
        spread_between(SECOND, 0, 10)
