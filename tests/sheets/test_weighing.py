"""A sheet's doubts: wrong squares stand out, and a doubted pile is one question."""

from dataclasses import dataclass, replace

import numpy as np
import pytest

from stitchview.sheets.fitteddoubt import CLEAR, CROSSED, PART, PILE
from stitchview.sheets.mixedsigns import PART_NUMBERS
from stitchview.sheets.pilewitness import PILE_NUMBERS
from stitchview.sheets.sorting import Sorting, merge, resorted, split
from stitchview.sheets.sortingsquares import sorted_with_cutouts
from stitchview.sheets.squarewitness import SQUARE_NUMBERS
from stitchview.sheets.weighing import evidence_of, square_numbers, weighed
from tests.sheets.doubtfitting import sheet_of, straight_of


@dataclass(frozen=True)
class Read:
    """A sheet sorted but not weighed, and the cut-outs it was sorted from."""

    sorting: Sorting
    cutouts: np.ndarray


@pytest.fixture(scope="module")
def read() -> Read:
    """A careful photograph of 60 x 70 squares with 24 signs."""
    return Read(*sorted_with_cutouts([straight_of(sheet_of("careful", 106))]))


@pytest.fixture(scope="module")
def after(read: Read) -> Sorting:
    """The same, weighed."""
    return weighed(read.sorting, read.cutouts)


def test_every_number_has_its_weight() -> None:
    """As many weights as there are kinds of evidence."""
    assert len(PILE.weights) == len(PILE_NUMBERS)
    assert len(PART.weights) == len(PART_NUMBERS)
    assert len(CLEAR.weights) == len(CROSSED.weights) == len(SQUARE_NUMBERS) + 2


def test_evidence_is_finite_and_complete(read: Read) -> None:
    """Every square and every pile has its evidence, and none of it runs out of bounds."""
    evidence = evidence_of(read.sorting, read.cutouts)
    numbers = square_numbers(evidence)
    assert numbers.shape == (len(read.cutouts), len(CLEAR.weights))
    assert np.isfinite(numbers).all()
    assert np.isfinite(evidence.piles.numbers).all()


def test_a_square_put_into_another_pile_is_doubted(read: Read, after: Sorting) -> None:
    """Squares moved to a pile of another sign become far more doubtful than they were, and are shown."""
    sure = np.flatnonzero((after.doubt < 0.01) & (after.piles == 3))[:4]
    assert len(sure) == 4
    unlike = [column.copy() for column in read.sorting.unlike]
    unlike[2][sure] = unlike[3][sure] * np.float32(0.5)
    moved = resorted(replace(read.sorting, unlike=tuple(unlike)))
    assert (moved.piles[sure] == 2).all()
    again = weighed(moved, read.cutouts)
    assert (again.doubt[sure] > 10 * after.doubt[sure]).all()
    assert again.shown[sure].all()


def test_a_pile_broken_in_two_is_one_question(read: Read, after: Sorting) -> None:
    """Half of a sign's squares in a pile of their own are all doubted; the other half is the next pile."""
    new = read.sorting.count
    broken = weighed(_broken(read.sorting, 3), read.cutouts)
    mine = broken.piles == new
    assert mine.sum() > 10
    assert np.median(broken.doubt[mine]) > 20 * np.median(after.doubt)
    assert (broken.second[mine] == 3).mean() > 0.9
    told = merge(broken, 3, new)
    assert np.median(told.doubt[mine]) < np.median(broken.doubt[mine]) / 5


def test_splitting_a_weighed_pile_keeps_the_weights_in_step(read: Read, after: Sorting) -> None:
    """A person may found a new pile after the weighing; its squares are then no doubt of hers."""
    members = np.flatnonzero(after.piles == 1)[:3]
    apart = split(after, 1, members)
    assert (apart.piles[members] == read.sorting.count).all()
    assert (apart.doubt[members] == 0).all()


def _broken(sorting: Sorting, pile: int) -> Sorting:
    """Every other square of a pile in a pile of its own."""
    members = np.flatnonzero(sorting.piles == pile)[::2]
    own = np.full(len(sorting.piles), np.inf, np.float32)
    own[members] = sorting.unlike[pile][members] * np.float32(0.5)
    grown = replace(
        sorting,
        unlike=(*sorting.unlike, own),
        means=np.concatenate([sorting.means, sorting.means[pile : pile + 1]]),
        pictures=np.concatenate([sorting.pictures, sorting.pictures[pile : pile + 1]]),
    )
    return resorted(grown)
