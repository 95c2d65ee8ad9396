"""Pairing one to one, against scipy's solver of the assignment problem."""

import numpy as np
import pytest
from scipy.optimize import linear_sum_assignment

from stitchview.sheets.pairing import best_pairs


@pytest.mark.parametrize("seed", range(60))
def test_pairs_are_worth_as_much_as_a_known_solver_says(seed: int) -> None:
    """Pairs are worth together what scipy.optimize.linear_sum_assignment finds, ties and lone rows too."""
    random = np.random.default_rng(seed)
    worth = random.normal(size=random.integers(1, 16, 2))
    if seed % 3 == 0:
        worth = np.rint(worth)
    pairs = best_pairs(worth)
    rows = np.flatnonzero(pairs >= 0)
    assert len(rows) == min(worth.shape) == len(set(pairs[rows].tolist()))
    expected = linear_sum_assignment(worth, maximize=True)
    assert worth[rows, pairs[rows]].sum() == pytest.approx(worth[expected].sum())
