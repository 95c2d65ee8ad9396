"""Piles of like signs: what a person's answers do to them."""

from dataclasses import replace

import numpy as np
import pytest

from stitchview.sheets.sorting import Sorting, answered, merge, resorted, split
from stitchview.sheets.sortingsquares import sort_squares
from stitchview.sheets.straightening import Straight

PITCH = 24


def drawn(codes: np.ndarray[tuple[int, int], np.dtype[np.int32]], seed: int) -> Straight:
    """A straightened sheet whose signs are blocks of ink chosen by chance, one for each code but 0."""
    random = np.random.default_rng(seed)
    tiles = np.full((int(codes.max()) + 1, PITCH, PITCH), 245.0)
    for tile in tiles[1:]:
        tile[5:19, 5:19] = np.kron(random.permutation(49).reshape(7, 7) < 24, np.ones((2, 2))) * -210 + 245
    tiles[:, 0] = tiles[:, -1] = tiles[:, :, 0] = tiles[:, :, -1] = 60
    rows, columns = codes.shape
    picture = tiles[codes].transpose(0, 2, 1, 3).reshape(rows * PITCH, columns * PITCH)
    grey = np.clip(picture + random.normal(0, 5, picture.shape), 0, 255).astype(np.uint8)
    return Straight(grey, np.repeat(grey[..., None], 3, axis=2), PITCH, 0, columns, rows)


@pytest.fixture(scope="module")
def codes() -> np.ndarray[tuple[int, int], np.dtype[np.int32]]:
    """Nine signs and blank squares on a small sheet."""
    return np.random.default_rng(3).integers(0, 10, (30, 40)).astype(np.int32)


@pytest.fixture(scope="module")
def sorting(codes: np.ndarray[tuple[int, int], np.dtype[np.int32]]) -> Sorting:
    """That sheet, sorted."""
    return sort_squares([drawn(codes, 4)])


def test_every_pile_is_one_sign(
    sorting: Sorting, codes: np.ndarray[tuple[int, int], np.dtype[np.int32]]
) -> None:
    """Clean signs fall into exactly as many piles as there are signs, and blank squares are a pile too."""
    sheet = sorting.sheet(0)
    pairs = set(zip(sheet.piles.ravel().tolist(), codes.ravel().tolist(), strict=True))
    assert len(pairs) == 10
    assert (sheet.piles == sorting.blank).sum() == (codes == 0).sum()


def test_merge_joins_two_piles(sorting: Sorting) -> None:
    """Two piles called one sign become one pile, and the other squares stay where they were."""
    before = sorting.piles
    after = merge(sorting, 2, 5)
    assert (after.piles[np.isin(before, [2, 5])] == 2).all()
    others = ~np.isin(before, [2, 5])
    assert (after.piles[others] == before[others]).all()
    assert after.sizes[5] == 0
    assert not (after.second == 5).any()


def test_split_undoes_merge(sorting: Sorting) -> None:
    """A pile of two signs comes apart again when a few squares of one are pointed at."""
    before = sorting.piles
    joined = merge(sorting, 2, 5)
    apart = split(joined, 2, np.flatnonzero(before == 5)[:4])
    new = sorting.count
    assert (apart.piles[before == 5] == new).mean() > 0.95
    assert (apart.piles[before == 2] == 2).mean() > 0.95


def test_an_answer_is_kept(sorting: Sorting) -> None:
    """Squares a person has named stay so, are no longer doubted and are not shown again."""
    squares = np.array([3, 17, 400])
    told = answered(sorting, squares, 1)
    again = resorted(merge(told, 3, 4))
    for after in (told, again):
        assert (after.piles[squares] == 1).all()
        assert (after.doubt[squares] == 0).all()
        assert not after.shown[squares].any()
        assert (after.second[squares] != 1).all()


def test_doubt_is_a_chance(sorting: Sorting) -> None:
    """Doubt lies between 0 and 1 and the squares shown are the most doubtful ones."""
    assert ((sorting.doubt >= 0) & (sorting.doubt <= 1)).all()
    if sorting.shown.any():
        assert sorting.doubt[sorting.shown].min() >= sorting.doubt[~sorting.shown].max()


def test_the_nearest_pile_wins(sorting: Sorting) -> None:
    """A square goes to the pile it is least unlike to, and the next likeliest comes second.

    Second to a pile that is doubted more than the square is the one that the whole pile is likest to.
    """
    unlike = np.stack(sorting.unlike)
    order = np.argsort(unlike, axis=0)
    assert (sorting.piles == order[0]).all()
    assert sorting.weighed is not None
    by_itself = sorting.weighed.of_pile[sorting.piles] <= sorting.weighed.alone
    assert by_itself.any()
    assert (sorting.second == order[1])[by_itself].all()
    assert (sorting.second == sorting.weighed.like[sorting.piles])[~by_itself].all()
    shuffled = replace(sorting, piles=np.zeros_like(sorting.piles))
    assert (resorted(shuffled).piles == sorting.piles).all()


def test_two_sheets_share_piles(codes: np.ndarray[tuple[int, int], np.dtype[np.int32]]) -> None:
    """The same sign has the same pile on every sheet of a chart."""
    halves = [codes[:15], codes[15:]]
    whole = drawn(codes, 4)
    sheets = [
        Straight(part, np.repeat(part[..., None], 3, axis=2), PITCH, 0, 40, 15)
        for part in np.split(whole.grey, 2)
    ]
    sorting = sort_squares(sheets)
    pairs = {
        pair
        for number, half in enumerate(halves)
        for pair in zip(sorting.sheet(number).piles.ravel().tolist(), half.ravel().tolist(), strict=True)
    }
    assert len(pairs) == 10
