"""Pictures that show no chart, or not a whole one, are refused in a sentence; plates are found as such."""

import json
from pathlib import Path

import numpy as np
import pytest

from stitchview.sheets.latticefinding import find_lattice
from stitchview.sheets.opening import open_pictures
from stitchview.sheets.papererror import PaperError
from stitchview.sheets.ruledproof import runs_through
from tests.paper.looks import Look
from tests.paper.otherpictures import OTHER_PICTURES
from tests.paper.photographing import in_memory, photographed
from tests.paper.printing import Paper, printed_sheets


@pytest.mark.parametrize("what", OTHER_PICTURES)
def test_pictures_of_other_things_are_refused(what: str) -> None:
    """A coast, a hedge, houses, tiles, print, a table, knitting and empty paper are no charts."""
    picture = in_memory(OTHER_PICTURES[what](np.random.default_rng([1, 7])), "holiday.jpg")
    with pytest.raises(PaperError, match=r"holiday\.jpg .*\. Photograph"):
        find_lattice(picture)


@pytest.mark.parametrize("number", [288, 289])
def test_a_real_plate_is_found_as_set_from_type(number: int, shared: Path) -> None:
    """Plates of 1886 are not taken for ruled charts: columns, rows and nodes are right (shared/plates)."""
    truth = json.loads((shared / "plates" / f"plate-{number}.truth.json").read_text("utf-8"))
    (picture,) = open_pictures(shared / "plates" / f"plate-{number}.jpg")
    lattice = find_lattice(picture)
    assert (lattice.kind, lattice.columns, lattice.rows) == ("typeset", truth["columns"], truth["rows"])
    column, row, x, y = np.array(truth["nodes"]).T
    found = lattice.nodes[row.astype(int), column.astype(int)]
    assert np.hypot(found[:, 0] - x, found[:, 1] - y).max() / lattice.pixels_a_square < 0.15


def test_a_plate_counted_otherwise_by_a_person_is_doubted(shared: Path) -> None:
    """Where a person counts other columns than are seen, both numbers are told."""
    (picture,) = open_pictures(shared / "plates" / "plate-288.jpg")
    lattice = find_lattice(picture, 70, 40)
    assert any("You gave 70 columns, but 72 are seen" in doubt for doubt in lattice.doubts)


@pytest.mark.parametrize("turns", [1, 2, 3])
def test_a_sheet_that_lies_turned_is_read_upright(turns: int) -> None:
    """Whatever side is up in the picture, the first node is the top left one as the sheet is read."""
    page = printed_sheets(50, 36, 15, 4, Paper(look=Look())).pages[0]
    taken = photographed(page, "careful", 4, turns)
    lattice = find_lattice(taken.picture)
    assert lattice.nodes.shape == taken.nodes.shape
    miss = np.linalg.norm(lattice.nodes - taken.nodes, axis=2) / lattice.pixels_a_square
    assert miss.max() < 0.25
    assert lattice.heavy_columns == page.heavy_columns
    assert lattice.heavy_rows == page.heavy_rows
    given = find_lattice(taken.picture, 50, 36)
    assert (given.columns, given.rows) == (50, 36)


def test_a_sheet_without_numbers_says_that_up_is_not_known() -> None:
    """Where nothing printed tells which side is up, it stays as it lies and is doubted."""
    page = printed_sheets(40, 30, 15, 4, Paper(look=Look(numbered=frozenset()))).pages[0]
    taken = photographed(page, "scan", 4, 2)
    lattice = find_lattice(taken.picture)
    assert any("which side of the sheet is up" in doubt for doubt in lattice.doubts)
    assert np.abs(lattice.nodes[::-1, ::-1] - taken.nodes).max() < 0.2 * lattice.pixels_a_square


def test_lines_must_run_through() -> None:
    """Squares of unbroken lines pass; with gaps in the upright ones, or with those left out, they do not."""
    drawn = np.zeros((400, 400), np.uint8)
    drawn[10::20] = drawn[:, 10::20] = 200
    nodes = np.stack(np.meshgrid(np.arange(10.0, 400, 20), np.arange(10.0, 400, 20)), axis=2)
    assert runs_through(drawn, nodes)
    broken = drawn.copy()
    for row in range(16, 400, 20):
        broken[row : row + 8] = 0
    assert not runs_through(broken, nodes)
    one_way = np.zeros_like(drawn)
    one_way[10::20] = 200
    assert not runs_through(one_way, nodes)


def test_a_cut_scan_is_not_taken_for_a_plate() -> None:
    """A scan whose first columns are cut off is refused as such, whatever else might be seen in it."""
    taken = photographed(printed_sheets(50, 40, 20, 6).pages[0], "scan", 6)
    inside = int(taken.nodes[:, 3, 0].mean() + taken.lattice.pixels_a_square / 2)
    cut = in_memory(np.ascontiguousarray(taken.picture.colour[:, inside:]), "cut.png")
    with pytest.raises(PaperError, match="cut off at the left edge"):
        find_lattice(cut)
