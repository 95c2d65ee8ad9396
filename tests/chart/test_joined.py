"""Runs and joined groups, checked against scipy's labelling and plain loops."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from stitchview.chart.joined import Runs, expanded, labels_of, runs_of_mask, runs_of_squares

ndimage = pytest.importorskip("scipy.ndimage")

Mask = NDArray[np.bool_]

EDGES, CORNERS = np.array([[0, 1, 0], [1, 1, 1], [0, 1, 0]]), np.ones((3, 3), int)


def random_mask(columns: int, rows: int, share: float, seed: int) -> Mask:
    mask: Mask = np.random.default_rng(seed).random((rows, columns)) < share
    return mask


def flat(runs: Runs) -> NDArray[np.int64]:
    """The squares of runs, in rows without the gap."""
    return expanded(runs.starts - runs.rows, runs.lengths)


masks = st.builds(
    random_mask, st.integers(1, 60), st.integers(1, 60), st.floats(0, 1), st.integers(0, 2**32 - 1)
)


@given(masks)
def test_runs_hold_exactly_the_squares(mask: Mask) -> None:
    """Cut from a mask or from a list of squares, the runs are the same and hold every square once."""
    runs = runs_of_mask(mask)
    assert flat(runs).tolist() == np.flatnonzero(mask).tolist()
    listed = runs_of_squares(np.flatnonzero(mask), mask.shape[1])
    assert runs.starts.tolist() == listed.starts.tolist()
    assert runs.ends.tolist() == listed.ends.tolist()
    assert runs.width == listed.width
    assert (runs.starts[1:] > runs.ends[:-1]).all()


@given(masks, st.booleans())
def test_groups_are_those_of_scipy(mask: Mask, corners: bool) -> None:
    """Two squares are in one group exactly when scipy.ndimage.label says so, with corners or without."""
    runs = runs_of_mask(mask)
    ours = np.repeat(labels_of(runs, corners), runs.lengths)
    theirs, count = ndimage.label(mask, CORNERS if corners else EDGES)
    labels = theirs.ravel()[flat(runs)]
    pairs = set(zip(ours.tolist(), labels.tolist(), strict=True))
    assert len(pairs) == len(set(ours.tolist())) == count


def comb(teeth: int, length: int) -> Mask:
    """Teeth that hang from nothing and are joined at their feet only."""
    mask = np.ones((length, 2 * teeth), bool)
    mask[:-1, 1::2] = False
    return mask


def serpentine(turns: int, length: int) -> Mask:
    """One way down, across, up, across, and so on."""
    mask = np.ones((length, 4 * turns), bool)
    mask[:-1, 1::4] = False
    mask[1:, 3::4] = False
    return mask


@pytest.mark.parametrize("corners", [False, True])
@pytest.mark.parametrize("mask", [comb(3000, 3), comb(3000, 3)[::-1], serpentine(300, 40), serpentine(1, 9)])
def test_many_teeth_are_joined_in_few_levels(mask: Mask, corners: bool) -> None:
    """Thousands of teeth of one comb are one group; joined one by one they would be 3000 levels deep."""
    runs = runs_of_mask(mask)
    assert set(labels_of(runs, corners).tolist()) == {0}
    assert ndimage.label(mask)[1] == 1


def test_a_chart_without_squares_has_no_runs() -> None:
    """Nothing to label is no fault."""
    for mask in (np.zeros((0, 5), bool), np.zeros((5, 0), bool), np.zeros((3, 4), bool)):
        runs = runs_of_mask(mask)
        assert len(runs) == len(labels_of(runs)) == 0
    assert len(runs_of_squares(np.zeros(0, np.int64), 4)) == 0


def test_a_run_does_not_go_round_the_edge() -> None:
    """The last square of a row and the first of the next are not neighbours, not even cornerwise."""
    runs = runs_of_squares(np.array([3, 4]), 4)
    assert labels_of(runs, corners=True).tolist() == [0, 1]


@given(st.lists(st.tuples(st.integers(0, 1000), st.integers(1, 30))))
def test_runs_expand_in_order(runs: list[tuple[int, int]]) -> None:
    """Runs become the squares that a plain loop makes of them."""
    starts, lengths = np.array(runs, np.int64).reshape(-1, 2).T
    by_loop = [start + step for start, length in runs for step in range(length)]
    assert expanded(starts, lengths).tolist() == by_loop
