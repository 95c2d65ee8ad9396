"""Signs nobody here drew: two plates of 1886 fall into piles of one sign."""

import json
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.interpolate import RegularGridInterpolator
from scipy.optimize import linear_sum_assignment
from sklearn.metrics import adjusted_rand_score  # type: ignore[import-untyped]

from stitchview.sheets.lattice import Lattice
from stitchview.sheets.paperpicture import PaperPicture
from stitchview.sheets.sortingsquares import sort_squares
from stitchview.sheets.straightening import straighten


def right_share(piles: NDArray[np.int32], truth: NDArray[np.intp]) -> float:
    """The share of squares in the right pile after the best one-to-one matching (scipy)."""
    table = np.zeros((int(piles.max()) + 1, int(truth.max()) + 1), np.int64)
    np.add.at(table, (piles.ravel(), truth.ravel()), 1)
    rows, columns = linear_sum_assignment(-table)
    return float(table[rows, columns].sum() / piles.size)


@pytest.mark.parametrize("plate", [288, 289])
def test_printed_plates_fall_into_pure_piles(shared: Path, plate: int) -> None:
    """The squares of an old printed plate fall into piles of one sign each, few more than there are signs."""
    truth = json.loads((shared / "plates" / f"plate-{plate}.truth.json").read_text("utf-8"))
    picture = cv2.imread(str(shared / "plates" / f"plate-{plate}.jpg"))
    assert picture is not None
    colour = np.asarray(picture[:, :, ::-1], np.uint8).copy()
    grey = np.asarray(cv2.cvtColor(colour, cv2.COLOR_RGB2GRAY), np.uint8)
    known = np.array(truth["nodes"], np.float64)
    columns, rows = np.unique(known[:, 0]), np.unique(known[:, 1])
    sparse = np.zeros((len(rows), len(columns), 2))
    sparse[np.searchsorted(rows, known[:, 1]), np.searchsorted(columns, known[:, 0])] = known[:, 2:]
    places = np.meshgrid(np.arange(truth["rows"] + 1), np.arange(truth["columns"] + 1), indexing="ij")
    nodes = RegularGridInterpolator((rows, columns), sparse)(np.stack(places, axis=2)).astype(np.float32)
    sheet = straighten(PaperPicture("plate", 1, colour, grey), Lattice(nodes, kind="typeset"), 24, 6)
    letters = "".join(truth["grid"])
    codes = np.unique(list(letters), return_inverse=True)[1].reshape(truth["rows"], truth["columns"])
    piles = sort_squares([sheet]).sheet(0).piles
    assert right_share(piles, codes) > 0.99
    assert adjusted_rand_score(codes.ravel(), piles.ravel()) > 0.98
    assert len(np.unique(piles)) <= 1.5 * len(np.unique(codes))
