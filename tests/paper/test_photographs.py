"""The generator of photographs tells the truth about where each crossing fell."""

import cv2
import numpy as np
import pytest
from skimage.transform import ProjectiveTransform

from stitchview.sheets.lattice import Lattice
from stitchview.sheets.straightening import straighten
from tests.paper.camera import Bend, Camera
from tests.paper.looks import Look
from tests.paper.photographing import CONDITIONS, photographed
from tests.paper.printing import PITCH, Page, Paper, printed_sheets


@pytest.fixture(scope="module")
def page() -> Page:
    """A sheet of 40 x 50 squares with plain black lines."""
    return printed_sheets(40, 50, 24, seed=4, paper=Paper(look=Look())).pages[0]


@pytest.mark.parametrize("turns", [0, 1, 2, 3])
@pytest.mark.parametrize("condition", list(CONDITIONS))
def test_pulled_straight_along_the_true_nodes_the_picture_is_the_page(
    condition: str, turns: int, page: Page
) -> None:
    """Each part of the straightened picture fits the printed page best where it is, to 0.1 square."""
    taken = photographed(page, condition, seed=3, turns=turns)
    straight = straighten(taken.picture, Lattice(taken.nodes), 20)
    corner = np.rint(page.nodes[0, 0] + 0.5).astype(int)
    printed = page.pixels[corner[1] : corner[1] + 50 * PITCH, corner[0] : corner[0] + 40 * PITCH]
    small = cv2.resize(printed, (800, 1000), interpolation=cv2.INTER_AREA)
    true = cv2.GaussianBlur(cv2.cvtColor(small, cv2.COLOR_RGB2GRAY), (0, 0), 1).astype(np.float32)
    for top in range(0, 1000, 200):
        for left in range(0, 800, 200):
            part = (slice(top, top + 200), slice(left, left + 200))
            window = cv2.createHanningWindow((200, 200), cv2.CV_32F)
            seen = straight.grey[part].astype(np.float32)
            moved, _ = cv2.phaseCorrelate(true[part] - true[part].mean(), seen - seen.mean(), window)
            assert np.hypot(moved[0], moved[1]) < 0.1 * 20, (left, top, moved)


@pytest.mark.parametrize(
    ("condition", "least", "most"), [("scan", 35, 38), ("careful", 20, 28.5), ("poor", 11.5, 14.5)]
)
def test_squares_are_as_large_as_the_condition_says(
    condition: str, least: float, most: float, page: Page
) -> None:
    """A scan of 300 dots an inch gives about 36 pixels a square, a poor photograph 12 to 14."""
    assert least < photographed(page, condition, seed=6).lattice.pixels_a_square < most


def test_a_flat_page_before_a_plain_camera_is_a_homography() -> None:
    """Without curl and lens the camera agrees with scikit-image's projective transform (outside check)."""
    camera = Camera((4000, 5000), Bend(), (0.2, -0.1, 0.05), 1.4, (0.0, 0.0), 3000.0, (1500.0, 1900.0))
    random = np.random.default_rng(1)
    points = random.uniform(0, 1, (200, 2)) * (4000, 5000)
    corners = np.array([[0.0, 0.0], [4000, 0], [4000, 5000], [0, 5000]])
    outside = ProjectiveTransform.from_estimate(  # type: ignore[no-untyped-call]
        corners, camera.placed(corners)
    )
    assert np.abs(outside(points) - camera.placed(points)).max() < 1e-6


def test_looking_back_through_the_camera_finds_the_page_again() -> None:
    """Page to picture and back is the same point, on curled and folded paper too."""
    bend = Bend(0.04, 0.3, -0.01, ((0.001, 2.0, 1.0, 0.5),), (0.05, 1.6, 0.1))
    camera = Camera((4000, 5000), bend, (0.2, -0.15, 0.08), 1.3, (-0.03, 0.01), 2400.0, (1300.0, 1600.0))
    points = np.random.default_rng(2).uniform(0, 1, (500, 2)) * (4000, 5000)
    assert np.abs(camera.found(camera.placed(points)) - points).max() < 0.01
