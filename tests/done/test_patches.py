"""Patches are exactly the joined squares, whatever their form, checked against scipy's labelling."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.done.patches import joined_squares

ndimage = pytest.importorskip("scipy.ndimage")

Mask = NDArray[np.bool_]


def found(mask: Mask, column: int, row: int) -> list[int]:
    whole = Area(0, 0, mask.shape[1], mask.shape[0])
    squares = joined_squares(lambda area: mask[area.slices()], whole, column, row)
    assert squares.dtype == np.int64
    flat: list[int] = squares.tolist()
    return flat


def by_scipy(mask: Mask, column: int, row: int) -> list[int]:
    """Squares with the label of the asked one: scipy.ndimage.label, edge neighbours by default."""
    labels, _ = ndimage.label(mask)
    if not mask[row, column]:
        return []
    same: list[int] = np.flatnonzero(labels == labels[row, column]).tolist()
    return same


@given(
    st.integers(1, 70),
    st.integers(1, 70),
    st.floats(0.3, 0.95),
    st.integers(0, 2**32 - 1),
)
def test_a_patch_is_what_is_joined_edge_by_edge(columns: int, rows: int, share: float, seed: int) -> None:
    """From any square of any chart the patch is the one that scipy.ndimage.label finds."""
    random = np.random.default_rng(seed)
    mask = random.random((rows, columns)) < share
    for _ in range(4):
        column, row = int(random.integers(columns)), int(random.integers(rows))
        assert found(mask, column, row) == by_scipy(mask, column, row)


@given(st.integers(0, 2**32 - 1), st.integers(40, 130))
def test_winding_patches_are_followed_to_their_end(seed: int, size: int) -> None:
    """Patches that wind through the whole chart are found whole."""
    random = np.random.default_rng(seed)
    mask = np.ones((size, size), bool)
    # Walls in every other row and column with one gap each make long winding ways.
    for at in range(1, size, 2):
        wall = np.zeros(size, bool)
        wall[random.integers(size)] = True
        if at % 4 == 1:
            mask[at] = wall
        else:
            mask[:, at] &= wall | (random.random(size) < 0.7)
    column, row = (int(n) for n in random.integers(0, size, 2))
    assert found(mask, column, row) == by_scipy(mask, column, row)


def spiral(size: int) -> Mask:
    mask = np.zeros((size, size), bool)
    row, column, down, across = 0, 0, 0, 1
    mask[0, 0] = True
    turned = 0
    while turned < 2:
        ahead, beyond = (row + down, column + across), (row + 2 * down, column + 2 * across)
        free = 0 <= ahead[0] < size and 0 <= ahead[1] < size and not mask[ahead]
        if free and 0 <= beyond[0] < size and 0 <= beyond[1] < size and mask[beyond]:
            free = False
        if free:
            row, column = ahead
            mask[row, column], turned = True, 0
        else:
            down, across = across, -down
            turned += 1
    return mask


@pytest.mark.parametrize("size", [5, 30, 101])
def test_a_spiral_is_one_patch_from_both_ends(size: int) -> None:
    """The longest way a patch can wind is followed from its outer and from its inner end."""
    mask = spiral(size)
    assert ndimage.label(mask)[1] == 1
    inner = by_scipy(mask, 0, 0)[len(by_scipy(mask, 0, 0)) // 2]
    assert found(mask, 0, 0) == np.flatnonzero(mask).tolist()
    assert found(mask, inner % size, inner // size) == np.flatnonzero(mask).tolist()


def test_corners_do_not_join() -> None:
    """Squares that meet at a corner only are two patches."""
    board = np.indices((9, 9)).sum(axis=0) % 2 == 0
    assert found(board, 4, 4) == [4 * 9 + 4]
    assert found(board, 3, 4) == []


def test_squares_off_the_chart_have_no_patch() -> None:
    """A press beside the chart takes nothing."""
    mask = np.ones((4, 4), bool)
    for column, row in ((-1, 0), (4, 0), (0, -1), (0, 4)):
        assert found(mask, column, row) == []


def test_a_small_patch_looks_at_little_of_a_big_chart() -> None:
    """The squares looked at for a small patch do not grow with the chart."""
    looked = 0
    mask = np.zeros((2000, 2000), bool)
    mask[990:1000, 990:1003] = True

    def ground(area: Area) -> Mask:
        nonlocal looked
        looked += area.count
        return mask[area.slices()]

    assert len(joined_squares(ground, Area(0, 0, 2000, 2000), 995, 995)) == 130
    assert looked < 4000
