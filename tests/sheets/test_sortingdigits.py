"""Sorting signs nobody here drew: handwritten digits of an open dataset, printed as the signs of a chart.

Source of the signs: `sklearn.datasets.load_digits` (1,797 digits of 8 x 8 pixels by 43 writers), which ships
with scikit-learn; pile quality by `sklearn.metrics.adjusted_rand_score`. A printed chart repeats each sign
alike, so one picture of the set is one sign here, and reading it means finding all its reprints.

Sorting the handwritings themselves into ten digits is another task, and the program fails it: given 1,794 of
them as a sheet of 46 x 39 squares it puts all in one pile (adjusted Rand score 0.0; an earlier state 0.004).
No two of those squares are reprints of each other, so that nothing shows how far print of one sign may
differ; a chart of one person's own hand cannot be read with it.
"""

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from sklearn.datasets import load_digits  # type: ignore[import-untyped]
from sklearn.metrics import adjusted_rand_score, homogeneity_score  # type: ignore[import-untyped]

from stitchview.sheets.latticefinding import find_lattice
from stitchview.sheets.sortingsquares import sort_squares
from stitchview.sheets.straightening import straighten
from tests.paper.charts import invented
from tests.paper.photographing import photographed
from tests.paper.printing import Paper, print_chart
from tests.paper.symbols import FINE, Sign


def digit_signs(count: int, seed: int) -> list[Sign]:
    """Digits of the set, chosen at random, printed in black; none nearly like another."""
    digits = load_digits()
    order = np.random.default_rng(seed).permutation(len(digits.images))
    signs: list[Sign] = []
    taken: list[NDArray[np.float64]] = []
    for at in order.tolist():
        image = digits.images[at]
        if all(np.square(image - other).mean() > 20 for other in taken):
            taken.append(image)
            large = cv2.resize(image / 16, (FINE * 3 // 4, FINE * 3 // 4), interpolation=cv2.INTER_CUBIC)
            ink = np.zeros((FINE, FINE), np.uint8)
            edge = FINE // 8
            ink[edge:-edge, edge:-edge] = np.where(large > 0.5, 255, 0)
            signs.append(Sign(f"digit {digits.target[at]}, {at}", "digits", ink))
        if len(signs) == count:
            break
    assert len(signs) == count
    return signs


@pytest.mark.parametrize(("condition", "count"), [("scan", 30), ("careful", 20)])
def test_printed_digits_nobody_here_drew_are_sorted(condition: str, count: int) -> None:
    """Several sevens by several hands are as many signs; no pile mixes two, and few signs stand in two."""
    content = invented(60, 50, count, 3, 0.02)
    taken = photographed(print_chart(content, digit_signs(count, 1), Paper(), 3).pages[0], condition, 3)
    lattice = find_lattice(taken.picture)
    assert (lattice.columns, lattice.rows) == (60, 50)
    sorting = sort_squares([straighten(taken.picture, lattice, 24, 8)])
    codes = taken.content.codes.ravel()
    # Reached when this was written: scan 0.9995 and 0.980, careful 1.0 and 0.976.
    assert homogeneity_score(codes, sorting.piles) > 0.998
    assert adjusted_rand_score(codes, sorting.piles) > 0.95
    assert len(np.unique(sorting.piles)) <= 1.5 * (count + 1)
