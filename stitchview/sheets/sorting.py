"""Hold which square belongs to which pile of like signs, and sort anew when a person has answered."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.doubt import Calibration, Weighed, chances_of_wrong, worth_showing

Numbers = NDArray[np.float32]
Places = NDArray[np.intp]


@dataclass(frozen=True)
class SheetPiles:
    """One sheet's part of a sorting, each (rows, columns)."""

    piles: NDArray[np.int32]
    second: NDArray[np.int32]
    doubt: NDArray[np.float32]
    shown: NDArray[np.bool_]


@dataclass(frozen=True)
class Sorting:
    """Every square of one or more sheets of a chart, in piles of like signs.

    Squares of all sheets stand one after another (N), row by row; ``shapes`` are the sheets'
    (rows, columns) and ``sheet(n)`` cuts sheet n out. ``piles`` and ``second`` (N,) int32 are the likeliest
    pile and the next (-1 where there is none), ``doubt`` (N,) the estimated chance that ``piles`` is wrong,
    ``shown`` (N,) whether a person should look. ``blank`` is the pile of squares without a sign, or -1.
    ``pictures`` (K, 24, 24) uint8 is what each pile looks like (255 paper); a pile joined to another has no
    squares left, numbers never move.

    ``unlike`` holds for each pile how unlike each square is (squared distance in spreads of a sign,
    infinite where out of question); ``numbers`` (N, D) describe the squares, ``means`` (K, D) the piles;
    ``clear`` (N,) marks squares no line crosses; ``sure`` (N,) is the pile a person gave, or -1; ``fit`` (N,)
    is how unlike each square was to its own pile, where 1 is usual; ``weighed`` holds what the weighing of
    all evidence said, if it was done.
    """

    shapes: tuple[tuple[int, int], ...]
    piles: NDArray[np.int32]
    second: NDArray[np.int32]
    doubt: Numbers
    shown: NDArray[np.bool_]
    blank: int
    pictures: NDArray[np.uint8]
    unlike: tuple[Numbers, ...]
    numbers: Numbers
    means: Numbers
    clear: NDArray[np.bool_]
    sure: NDArray[np.int32]
    fit: Numbers
    calibration: Calibration
    weighed: Weighed | None = None

    @property
    def count(self) -> int:
        """How many pile numbers there are, empty piles included."""
        return len(self.unlike)

    @property
    def sizes(self) -> NDArray[np.intp]:
        """How many squares each pile holds: (K,)."""
        return np.bincount(self.piles, minlength=self.count)

    def sheet(self, number: int) -> SheetPiles:
        """The part of sheet ``number``, counted from 0."""
        shape = self.shapes[number]
        first = sum(rows * columns for rows, columns in self.shapes[:number])
        part = slice(first, first + shape[0] * shape[1])
        return SheetPiles(
            self.piles[part].reshape(shape),
            self.second[part].reshape(shape),
            self.doubt[part].reshape(shape),
            self.shown[part].reshape(shape),
        )

    def samples(self, pile: int, count: int = 6) -> tuple[Places, Places]:
        """The ``count`` most usual and the ``count`` most doubtful squares of a pile, as places in N."""
        members = np.flatnonzero(self.piles == pile)
        near = self.unlike[pile][members]
        return members[np.argsort(near)[:count]], members[np.argsort(-self.doubt[members])[:count]]


def merge(sorting: Sorting, kept: int, other: int) -> Sorting:
    """The two piles are one sign: ``other`` goes into ``kept`` and stays empty."""
    unlike = list(sorting.unlike)
    unlike[kept] = np.minimum(unlike[kept], unlike[other])
    unlike[other] = np.full_like(unlike[other], np.inf)
    pictures = sorting.pictures.copy()
    sizes = sorting.sizes
    if sizes[other] > sizes[kept]:
        pictures[kept] = pictures[other]
    sure = np.where(sorting.sure == other, kept, sorting.sure).astype(np.int32)
    blank = kept if sorting.blank == other else sorting.blank
    weighed = sorting.weighed.with_merged(kept, other) if sorting.weighed else None
    joined = replace(
        sorting, unlike=tuple(unlike), pictures=pictures, sure=sure, blank=blank, weighed=weighed
    )
    return resorted(joined)


def split(sorting: Sorting, pile: int, members: Places) -> Sorting:
    """The squares ``members`` of a pile are another sign: they found a pile of their own, and squares follow.

    The new pile has the last number; the other squares of the old pile stay where they are likelier.
    """
    rest = np.setdiff1d(np.flatnonzero(sorting.piles == pile), members)
    if not len(members) or not len(rest):
        return sorting
    grown = replace(
        sorting,
        unlike=(*sorting.unlike, np.full(len(sorting.piles), np.inf, np.float32)),
        means=np.concatenate([sorting.means, sorting.means[pile : pile + 1]]),
        pictures=np.concatenate([sorting.pictures, sorting.pictures[pile : pile + 1]]),
        weighed=sorting.weighed.with_new_pile() if sorting.weighed else None,
    )
    founded = _with_mean(grown, sorting.count, members)
    founded = _with_mean(founded, pile, rest)
    return answered(founded, members, sorting.count)


def answered(sorting: Sorting, squares: Places, pile: int) -> Sorting:
    """A person says that the squares (places in N) belong to ``pile``; the pile's look is taken anew."""
    sure = sorting.sure.copy()
    sure[squares] = pile
    told = replace(sorting, sure=sure)
    members = np.flatnonzero(((sorting.piles == pile) & (sure < 0) & ~sorting.shown) | (sure == pile))
    return resorted(_with_mean(told, pile, members))


def resorted(sorting: Sorting) -> Sorting:
    """Piles, next piles, doubt and what is shown, from how unlike the squares are; sure ones stay."""
    first, second, near, next_near = _two_nearest(sorting.unlike)
    told = sorting.sure >= 0
    other = np.where(told & (first != sorting.sure), first, second)
    first = np.where(told, sorting.sure, first).astype(np.int32)
    doubt = chances_of_wrong(next_near - near, sorting.fit, sorting.clear, sorting.calibration)
    if sorting.weighed is not None:
        doubt = sorting.weighed.doubts(first, doubt)
        other = _asked_as_a_pile(sorting.weighed, first, other, told)
    doubt[told] = 0
    shown = worth_showing(doubt, most=sorting.weighed.most if sorting.weighed else 1.0)
    return replace(sorting, piles=first, second=other.astype(np.int32), doubt=doubt, shown=shown)


def _asked_as_a_pile(
    weighed: Weighed, first: NDArray[np.int32], second: NDArray[np.int32], told: NDArray[np.bool_]
) -> NDArray[np.int32]:
    """The next piles (N,): of a pile that is doubted more than its square, the one it is likest to.

    So that all squares of such a pile are one question, which one answer settles.
    """
    like = weighed.like[first]
    as_pile = (weighed.of_pile[first] > weighed.alone) & (like >= 0) & (like != first) & ~told
    return np.where(as_pile & (first == weighed.piles), like, second).astype(np.int32)


def leads_of(unlike: tuple[Numbers, ...]) -> Numbers:
    """How much more unlike each square (N,) is to the next pile than to the nearest."""
    _, _, near, next_near = _two_nearest(unlike)
    return np.asarray(np.nan_to_num(next_near - near, posinf=1e6), np.float32)


def _with_mean(sorting: Sorting, pile: int, members: Places) -> Sorting:
    """The sorting with one pile's mean taken from ``members`` and every clear square measured against it."""
    clear = members[sorting.clear[members]]
    if not len(clear):
        return sorting
    mean = (
        np.median(sorting.numbers[clear], axis=0) if len(clear) < 9 else sorting.numbers[clear].mean(axis=0)
    )
    means = sorting.means.copy()
    means[pile] = mean
    rest = sorting.numbers - means[pile]
    column = np.einsum("nd,nd->n", rest, rest)
    unlike = list(sorting.unlike)
    unlike[pile] = np.where(sorting.clear, column, unlike[pile]).astype(np.float32)
    return replace(sorting, means=means, unlike=tuple(unlike))


def _two_nearest(
    unlike: tuple[Numbers, ...],
) -> tuple[NDArray[np.int32], NDArray[np.int32], Numbers, Numbers]:
    """For each square the two least unlike piles and how unlike they are; one pass over each column."""
    length = len(unlike[0])
    first = np.full(length, -1, np.int32)
    second = np.full(length, -1, np.int32)
    near = np.full(length, np.inf, np.float32)
    next_near = np.full(length, np.inf, np.float32)
    for pile, column in enumerate(unlike):
        closer = column < near
        between = ~closer & (column < next_near)
        np.copyto(next_near, near, where=closer)
        np.copyto(second, first, where=closer)
        np.copyto(next_near, column, where=between)
        second[between] = pile
        np.copyto(near, column, where=closer)
        first[closer] = pile
    return first, second, near, next_near
