"""The lattice of plates set by hand from type is found to a fraction of a square, or else refused."""

import json
from pathlib import Path

import cv2
import numpy as np
import pytest

from stitchview.sheets.papererror import PaperError
from stitchview.sheets.typeset import find_typeset_lattice
from tests.paper.photographing import in_memory, photographed
from tests.paper.printing import printed_sheets
from tests.paper.typesetting import PLATE, typeset_plate


@pytest.mark.parametrize("number", [288, 289])
def test_the_lattice_of_a_real_plate_is_found(number: int, shared: Path) -> None:
    """Columns and rows of plates of 1886 are counted right, every helping node is near (shared/plates)."""
    truth = json.loads((shared / "plates" / f"plate-{number}.truth.json").read_text("utf-8"))
    pixels = cv2.imread(str(shared / "plates" / f"plate-{number}.jpg"), cv2.IMREAD_COLOR)
    assert pixels is not None
    colour = np.ascontiguousarray(np.asarray(pixels, np.uint8)[..., ::-1])
    lattice = find_typeset_lattice(in_memory(colour, f"plate-{number}.jpg"))
    assert (lattice.columns, lattice.rows) == (truth["columns"], truth["rows"])
    assert lattice.kind == "typeset"
    column, row, x, y = np.array(truth["nodes"]).T
    found = lattice.nodes[row.astype(int), column.astype(int)]
    miss = np.hypot(found[:, 0] - x, found[:, 1] - y) / lattice.pixels_a_square
    assert miss.max() < 0.15
    assert np.median(miss) < 0.03


@pytest.mark.parametrize("seed", [1, 4, 8])
def test_the_lattice_of_other_plates_is_found(seed: int) -> None:
    """Plates with other signs, sizes, gaps and wear than the real ones are found as well."""
    taken = photographed(typeset_plate(30 + 3 * seed, 24 + seed, 3 + seed, seed), PLATE, seed)
    found = find_typeset_lattice(taken.picture)
    assert found.nodes.shape == taken.nodes.shape
    miss = np.linalg.norm(found.nodes - taken.nodes, axis=2) / found.pixels_a_square
    assert miss.max() < 0.15


def test_a_plate_photographed_at_a_slant_is_found() -> None:
    """A careful photograph of a plate, in perspective and a little curled, has its lattice too."""
    taken = photographed(typeset_plate(40, 32, 9, 22), "careful", 22)
    found = find_typeset_lattice(taken.picture)
    assert found.nodes.shape == taken.nodes.shape
    miss = np.linalg.norm(found.nodes - taken.nodes, axis=2) / found.pixels_a_square
    assert miss.max() < 0.15


@pytest.mark.parametrize("what", ["blank", "noise", "ruled"])
def test_what_is_not_set_from_type_is_refused(what: str) -> None:
    """A blank page, mere noise and a chart with a drawn grid are refused in a sentence."""
    if what == "ruled":
        picture = photographed(printed_sheets(40, 40, 20, 1).pages[0], "careful", 1).picture
    else:
        colour = np.full((900, 1200, 3), 245, np.uint8)
        if what == "noise":
            colour = np.random.default_rng(1).integers(0, 255, colour.shape, dtype=np.uint8)
        picture = in_memory(colour, what)
    with pytest.raises(PaperError, match=r"No squares .* Photograph"):
        find_typeset_lattice(picture)
