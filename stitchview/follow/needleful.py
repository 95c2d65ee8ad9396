"""A needleful: the stitches one working length covers, in the order of working, and what came of it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from stitchview.done.change import Selection
from stitchview.follow.carrying import Carrying
from stitchview.follow.course import Course
from stitchview.follow.length import Needle
from stitchview.follow.route import Journey, Stitches, measured

Lengths = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Wish:
    """What is wanted: stitches of key entry `number` from `place` (column, row) on, and how to work them.

    `course` is how she would work them line by line.
    """

    number: int
    place: tuple[int, int]
    needle: Needle = field(default_factory=Needle)
    carrying: Carrying = field(default_factory=Carrying)
    course: Course = Course()  # noqa: RUF009 (frozen, so one default can be shared)


@dataclass(frozen=True, slots=True)
class Carry:
    """The thread behind from one stitch of the path to another (by number) that is not next door to it.

    `mm` is told from the hole where it goes down to the hole where it comes up.
    """

    leaves: int
    comes_to: int
    mm: float


@dataclass(frozen=True, eq=False, slots=True)
class Needleful:
    """A path of n stitches of `wish.number`, in the order in which they are begun.

    `journeys` are ranges of the path: a row worked there and back, which ends at the stitch where it
    began, or one stitch by itself. `used_mm` (n,) is the thread used once a stitch is finished, tails
    left out; `back_mm` what of it lies at the back. `left_after` counts the whole and part stitches
    of the thread that are still open when these are done.
    """

    wish: Wish
    stitches: Stitches
    journeys: tuple[range, ...]
    carries: tuple[Carry, ...]
    used_mm: Lengths
    back_mm: float
    left_after: int

    def __len__(self) -> int:
        return len(self.stitches)

    @property
    def left_mm(self) -> float:
        """The thread that remains in the needle at the end, without the tail that is too short to sew."""
        used = float(self.used_mm[-1]) if len(self.used_mm) else 0.0
        return self.wish.needle.usable_mm - used

    def selection(self, columns: int) -> Selection:
        """The stitches as marks choose them, on a chart so many `columns` wide."""
        crosses = self.stitches.parts < 0
        flat = self.stitches.rows[crosses] * columns + self.stitches.columns[crosses]
        return Selection.of(squares=flat, parts=self.stitches.parts[~crosses])


def needleful_of(wish: Wish, stitches: Stitches, journeys: Sequence[Journey], left: int) -> Needleful:
    """The needleful that works `journeys` of `stitches`; `left` stitches of the thread are open now."""
    ordered = stitches.taken([number for journey in journeys for number in journey])
    ranges = tuple(_ranges(journeys))
    length = measured(ordered, [tuple(each) for each in ranges], wish.needle)
    carries = tuple(
        Carry(one.start, other.start, float(mm))
        for (one, other), mm in zip(pairwise(ranges), length.between_mm[1:], strict=True)
        if not _next_door(ordered, one.start, other.start)
    )
    return Needleful(wish, ordered, ranges, carries, length.used_mm, length.back_mm, left - len(ordered))


def broken_off(path: Needleful, count: int) -> Needleful:
    """The first `count` stitches of the path as a needleful of their own."""
    if count >= len(path):
        return path
    kept = [tuple(range(each.start, min(each.stop, count))) for each in path.journeys if each.start < count]
    return needleful_of(path.wish, path.stitches, kept, path.left_after + len(path))


def used_up(path: Needleful, at: int) -> Needleful:
    """What was done of the path when the thread was used up at its stitch `at`, which is finished.

    -1 when none was. Raises `ValueError` for a stitch that the path has not.
    """
    if not -1 <= at < len(path):
        raise ValueError(f"the needleful has no stitch number {at}")
    return broken_off(path, at + 1)


def _ranges(journeys: Sequence[Journey]) -> Iterator[range]:
    at = 0
    for journey in journeys:
        yield range(at, at + len(journey))
        at += len(journey)


def _next_door(stitches: Stitches, one: int, other: int) -> bool:
    across = abs(int(stitches.columns[one] - stitches.columns[other]))
    return across <= 1 and abs(int(stitches.rows[one] - stitches.rows[other])) <= 1
