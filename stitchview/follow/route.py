"""A route over stitches, and the thread it takes from hole to hole."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area, spanning
from stitchview.follow.clothpitch import Pitch
from stitchview.follow.course import Course
from stitchview.follow.legs import (
    BOTTOM,
    CROSS,
    LEFT,
    RIGHT,
    TOP,
    Way,
    there_and_back,
    worked,
)
from stitchview.follow.length import Needle, Working

Whole = NDArray[np.int64]
Lengths = NDArray[np.float64]
Journey = tuple[int, ...]
"""Stitches (by number) worked together: one by itself, or a straight row worked there and back."""

_SIDES = {(1, 0): LEFT, (-1, 0): RIGHT, (0, 1): TOP, (0, -1): BOTTOM}


@dataclass(frozen=True, eq=False, slots=True)
class Stitches:
    """n stitches in squares: `columns` and `rows` from 0, and `parts`, the index of a part stitch.

    All arrays have shape (n,); `parts` is -1 for a whole cross, and `shapes` is `CROSS` or a `PartShape`.
    """

    columns: Whole
    rows: Whole
    parts: Whole
    shapes: Whole

    def __len__(self) -> int:
        return len(self.columns)

    def taken(self, numbers: Sequence[int] | Whole) -> "Stitches":
        """The stitches of those numbers, in that order."""
        at = np.asarray(numbers, np.int64)
        return Stitches(self.columns[at], self.rows[at], self.parts[at], self.shapes[at])

    @property
    def bounds(self) -> Area:
        """The smallest area that holds them all; empty if there are none."""
        if not len(self):
            return Area(0, 0, 0, 0)
        first = int(self.columns.min()), int(self.rows.min())
        return spanning(first, (int(self.columns.max()), int(self.rows.max())))


@dataclass(frozen=True, eq=False, slots=True)
class Measured:
    """What a route takes, in millimetres of thread in the needle, tails left out.

    `used_mm` (stitches,) is what has been used when it is broken off after a stitch, which is then
    finished; `back_mm` is all that lies at the back (flat, without the needle's factor), of which
    `between_mm` (journeys,) lies between a journey and the one before it: 0 for the first.
    """

    used_mm: Lengths
    back_mm: float
    between_mm: Lengths

    @property
    def total_mm(self) -> float:
        """All the thread that the route takes."""
        return float(self.used_mm[-1]) if len(self.used_mm) else 0.0


def joined(one: Stitches, other: Stitches) -> Stitches:
    """The stitches of both, those of `other` numbered on."""
    pairs = ((getattr(one, each.name), getattr(other, each.name)) for each in fields(Stitches))
    return Stitches(*(np.concatenate(pair) for pair in pairs))


def measured(stitches: Stitches, journeys: Sequence[Journey], needle: Needle) -> Measured:
    """The thread of a route: checks.md, sections 2.1, 2.2 and 6.4.

    Each cross is begun at whichever of its holes makes the least thread over the whole route; all
    lean alike all the same. Found step by step over the ways of each journey, so it is exact.
    """
    pitch = needle.pitch
    reached = _Reached.at_start()
    used: list[float] = []
    steps: list[_Reached] = []
    front, passes = 0.0, 0
    for journey in journeys:
        corner = (int(stitches.columns[journey[0]]), int(stitches.rows[journey[0]]))
        for count, number in enumerate(journey, 1):
            one = worked(int(stitches.shapes[number]), pitch)
            front, passes = front + one.front_mm, passes + one.passes
            ways = one.ways if count == 1 else (_row_way(stitches, journey[:count], pitch),)
            step = reached.followed_by(corner, ways, pitch)
            used.append(needle.worked_mm(front, min(step.back_mm), passes))
        steps.append(step)
        reached = step
    between = _between(steps)
    return Measured(np.array(used), min(reached.back_mm), np.array(between))


def simple_order(
    stitches: Stitches,
    needle: Needle,
    course: Course = Course(),  # noqa: B008 (frozen, so one default can be shared)
) -> list[Journey]:
    """Line by line in their course, usually as one reads; joined squares there and back if she works so."""
    lines, along = stitches.rows, stitches.columns
    if course.down:
        lines, along = along, lines
    lines, along = (-lines if course.from_last else lines), (-along if course.against else along)
    order = np.lexsort((stitches.parts, along, lines)).tolist()
    journeys: list[list[int]] = []
    for number in order:
        last = journeys[-1][-1] if journeys and needle.working is Working.ROWS else None
        beside = last is not None and lines[last] == lines[number] and along[last] + 1 == along[number]
        if last is not None and beside and _crosses(stitches, last, number):
            journeys[-1].append(number)
        else:
            journeys.append([number])
    return [tuple(journey) for journey in journeys]


def _crosses(stitches: Stitches, one: int, other: int) -> bool:
    return bool(stitches.shapes[one] == CROSS and stitches.shapes[other] == CROSS)


def _row_way(stitches: Stitches, journey: Journey, pitch: Pitch) -> Way:
    first, second = journey[:2]
    across = int(stitches.columns[second] - stitches.columns[first])
    down = int(stitches.rows[second] - stitches.rows[first])
    return there_and_back(len(journey), _SIDES[across, down], pitch)


@dataclass(frozen=True, slots=True)
class _Reached:
    """Where the thread may be: for each way of the last journey its end hole and the least back thread."""

    holes: tuple[tuple[float, float], ...]
    back_mm: tuple[float, ...]
    before: tuple[int, ...]
    between_mm: tuple[float, ...]

    @classmethod
    def at_start(cls) -> "_Reached":
        return cls((), (0.0,), (), ())

    def followed_by(self, corner: tuple[int, int], ways: tuple[Way, ...], pitch: Pitch) -> "_Reached":
        holes, backs, befores, betweens = [], [], [], []
        across, down = pitch.across_mm, pitch.down_mm
        for way in ways:
            x, y = corner[0] + way.enter[0], corner[1] + way.enter[1]
            least, best, between = way.back_mm, 0, 0.0
            for at, (hole_x, hole_y) in enumerate(self.holes):
                # Out of the hole it just went into it would pull the stitch out again: then one leg is
                # worked the other way round, which takes a diagonal in all.
                step = math.hypot((x - hole_x) * across, (y - hole_y) * down) or math.hypot(across, down)
                back = self.back_mm[at] + step + way.back_mm
                if at == 0 or back < least:
                    least, best, between = back, at, step
            holes.append((corner[0] + way.leave[0], corner[1] + way.leave[1]))
            backs.append(least)
            befores.append(best)
            betweens.append(between)
        return _Reached(tuple(holes), tuple(backs), tuple(befores), tuple(betweens))


def _between(steps: list[_Reached]) -> list[float]:
    """The thread between the journeys along the best ways, read backwards from the end."""
    between: list[float] = []
    at = steps[-1].back_mm.index(min(steps[-1].back_mm)) if steps else 0
    for step in reversed(steps):
        between.append(step.between_mm[at])
        at = step.before[at]
    return between[::-1]


def least_back(shape: int, pitch: Pitch) -> float:
    """The least thread at the back inside one stitch of `shape`."""
    return min(way.back_mm for way in worked(shape, pitch).ways)
