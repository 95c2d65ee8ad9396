"""The lattice of ruled charts is found whole, cut charts and pictures of other things are refused."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from stitchview.sheets.latticefinding import find_lattice
from stitchview.sheets.papererror import PaperError
from stitchview.sheets.paperpicture import PaperPicture
from tests.paper.photographing import Photograph, in_memory, photographed
from tests.paper.printing import printed_sheets


@pytest.fixture(scope="module")
def careful() -> Photograph:
    """A careful photograph of a sheet of 60 x 80 squares."""
    return photographed(printed_sheets(60, 80, 20, 0).pages[0], "careful", 0)


def cut(picture: PaperPicture, part: tuple[slice, slice]) -> PaperPicture:
    """A part of a picture."""
    return replace(
        picture,
        colour=np.ascontiguousarray(picture.colour[part]),
        grey=np.ascontiguousarray(picture.grey[part]),
    )


def worst(found: NDArray[np.float32], true: NDArray[np.float32], square: float) -> float:
    """The largest distance of a node from its true place, in squares."""
    return float(np.linalg.norm(found - true, axis=2).max()) / square


@pytest.mark.parametrize("condition", ["scan", "careful"])
def test_every_node_of_a_sheet_is_found(condition: str) -> None:
    """A sheet has its right number of columns and rows, and each crossing is where it is printed."""
    taken = photographed(printed_sheets(60, 80, 20, 0).pages[0], condition, 0)
    lattice = find_lattice(taken.picture)
    assert (lattice.columns, lattice.rows) == (60, 80)
    assert worst(lattice.nodes, taken.nodes, lattice.pixels_a_square) < 0.15
    assert lattice.heavy_columns == taken.page.heavy_columns
    assert lattice.heavy_rows == taken.page.heavy_rows


def test_a_poor_picture_is_counted_but_warned_of() -> None:
    """A picture with 13 pixels a square says how to photograph the sheet again."""
    taken = photographed(printed_sheets(60, 80, 20, 0).pages[0], "poor", 0)
    lattice = find_lattice(taken.picture)
    assert (lattice.columns, lattice.rows) == (60, 80)
    assert any("13 pixels" in doubt for doubt in lattice.doubts)


def test_corners_say_how_the_sheet_lies() -> None:
    """A sheet lying on its side is turned upright by the four clicked corners."""
    taken = photographed(printed_sheets(60, 80, 20, 0).pages[0], "careful", 0, turns=1)
    true = taken.nodes
    corners = np.array([true[0, 0], true[0, -1], true[-1, -1], true[-1, 0]], np.float64) + 2.0
    lattice = find_lattice(taken.picture, corners=corners)
    assert worst(lattice.nodes, true, lattice.pixels_a_square) < 0.15


@pytest.mark.parametrize(
    ("side", "part"),
    [
        ("right", (slice(None), slice(0, 1500))),
        ("left", (slice(None), slice(500, None))),
        ("top", (slice(700, None), slice(None))),
        ("bottom", (slice(0, 1500), slice(None))),
    ],
)
def test_a_cut_chart_is_refused(careful: Photograph, side: str, part: tuple[slice, slice]) -> None:
    """A chart that goes on beyond the picture is not passed off as whole, and the edge is named."""
    with pytest.raises(PaperError, match=side):
        find_lattice(cut(careful.picture, part))


def test_blank_paper_and_noise_are_refused() -> None:
    """Nothing is read out of a blank page or out of grain."""
    random = np.random.default_rng(1)
    blank = np.full((900, 800, 3), 240, np.uint8)
    grain = random.integers(0, 256, (900, 800, 3), np.uint8)
    for colour in (blank, grain):
        with pytest.raises(PaperError, match="no chart"):
            find_lattice(in_memory(colour, "holiday.jpg"))
