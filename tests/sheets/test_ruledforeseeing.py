"""A lattice is followed by all that was found around; a grid is told from its squares' diagonals."""

import numpy as np
import pytest
from numpy.typing import NDArray

from stitchview.sheets.latticefinding import find_lattice
from stitchview.sheets.ruledforeseeing import Board, foreseen, nearby_gaps
from stitchview.sheets.ruledseeds import without_diagonals
from tests.paper.photographing import photographed
from tests.paper.printing import printed_sheets


def bent(side: int) -> NDArray[np.float64]:
    """Points of gently bent paper, 40 pixels apart, (side, side, 2)."""
    across, down = np.meshgrid(np.arange(side, dtype=float), np.arange(side, dtype=float))
    return np.stack([40 * across + 0.15 * down**2, 40 * down + 0.1 * across * down], axis=2)


def test_the_next_points_are_foreseen_on_bent_paper() -> None:
    """The next points are expected within a thirtieth of a square, though each step is measured badly."""
    place = bent(12)
    random = np.random.default_rng(1)
    steps = np.tile(np.eye(2) * 40, (12, 12, 1, 1)) + random.normal(0, 1.5, (12, 12, 2, 2))
    weight = np.zeros((12, 12))
    weight[:8, :8] = 1
    spots = np.array([(8, row) for row in range(8)])
    there, onwards = foreseen(Board(place, steps, weight), spots, 4, 1.5)
    off = np.linalg.norm(there - place[spots[:, 1], spots[:, 0]], axis=1)
    assert off.max() < 1.3
    assert np.abs(onwards - np.eye(2) * 40).max() < 5


def test_one_point_foresees_by_its_own_steps() -> None:
    """With one square known, the next is one step on; where nothing is near, nothing is said."""
    place, steps, weight = np.zeros((9, 9, 2)), np.zeros((9, 9, 2, 2)), np.zeros((9, 9))
    place[1, 1], steps[1, 1], weight[1, 1] = (100, 50), ((40, 2), (-2, 40)), 1
    there, _ = foreseen(Board(place, steps, weight), np.array([(2, 1), (1, 2), (8, 8)]), 4, 1.5)
    assert there[:2] == pytest.approx(np.array([(140, 52), (98, 90)]), abs=0.01)
    assert np.isnan(there[2]).all()


def test_gaps_beside_found_points() -> None:
    """The points beside one that was found are its eight neighbours."""
    found = np.zeros((5, 5), np.bool_)
    found[2, 2] = True
    assert len(nearby_gaps(found, 1)) == 8


def test_diagonals_of_a_likelier_grid_are_no_grid() -> None:
    """Crossings lie on the diagonals as well; steps along those are left out, larger squares are not."""
    squares = np.array([[13.0, -1.0], [1.0, 13.0]])
    diagonals = np.array([[14.0, 12.0], [-12.0, 14.0]])
    turned = np.array([[12.0, -14.0], [14.0, 12.0]])
    kept = without_diagonals(np.stack([squares, diagonals, turned, squares * 2]))
    assert kept.tolist() == [squares.tolist(), (squares * 2).tolist()]


@pytest.mark.parametrize(("seed", "size", "signs"), [(11, (107, 123), 51), (302, (114, 112), 34)])
def test_a_faint_grid_in_a_poor_picture_is_followed(seed: int, size: tuple[int, int], signs: int) -> None:
    """A folded sheet under a shadow, its grid faint under dense signs, keeps each crossing in its place."""
    taken = photographed(printed_sheets(*size, signs, seed).pages[0], "poor", seed)
    lattice = find_lattice(taken.picture)
    assert (lattice.columns, lattice.rows) == size
    off = np.linalg.norm(lattice.nodes - taken.nodes, axis=2) / lattice.pixels_a_square
    assert off.max() < 0.15
