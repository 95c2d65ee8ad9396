"""The pieces a route is put together from, each with the ways in which it may be gone through."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.follow.carrying import Carrying, Ground, next_door
from stitchview.follow.legs import BOTTOM, CROSS, LEFT, RIGHT, TOP, Hole, there_and_back, worked
from stitchview.follow.length import Needle, Working
from stitchview.follow.route import Journey, Stitches
from stitchview.follow.rowcrossing import rows_crossed

FORBIDDEN = 1e6
"""Added to the cost, in millimetres, of a carry that is not allowed: more than any route is long."""

OVER_A_ROW = 12.0
"""What leading the thread over a worked row weighs, in squares of thread: it looks wrong and tangles.

With 2 one route in four did so on harbour charts, with 12 one in twenty, for half a percent more thread.
"""

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Option:
    """One way through a piece: the journeys made, which end is entered and which is left, and what it adds.

    `back` is how many options further the same way backwards stands in the list; a row there and
    back is its own.
    """

    piece: int
    journeys: tuple[Journey, ...]
    enters: tuple[Hole, ...]
    leaves: tuple[Hole, ...]
    added_mm: float = 0.0
    back: int = 0

    @property
    def first(self) -> int:
        """The stitch that it begins at."""
        return self.journeys[0][0]

    @property
    def last(self) -> int:
        """The stitch at which it ends: a row there and back ends where it began."""
        return self.journeys[-1][0]


@dataclass(frozen=True, eq=False, slots=True)
class Choices:
    """n options of all pieces, what leads from each to each, and which belong together.

    `cost` has shape (n, n): millimetres from the end of one (row) to the beginning of another
    (column), middle to middle of their squares, and what it weighs to lead `over` worked rows. `back`
    and `piece` have shape (n,).
    """

    options: tuple[Option, ...]
    cost: Floats
    over: Floats
    added: Floats
    back: Whole
    piece: Whole

    def total(self, order: Sequence[int]) -> float:
        """What a route costs, its beginning left out."""
        at = np.asarray(order, np.int64)
        return float(self.cost[at[:-1], at[1:]].sum() + self.added[at].sum())

    def leads_over(self, order: Whole) -> bool:
        """Whether a route leads the thread over a worked row anywhere."""
        return bool(self.over[order[:-1], order[1:]].any())

    def journeys(self, order: Iterable[int]) -> list[Journey]:
        """The journeys of a route, in order."""
        return [journey for at in order for journey in self.options[at].journeys]


def singles(stitches: Stitches) -> list[Journey]:
    """Every stitch as a piece by itself."""
    return [(number,) for number in range(len(stitches))]


def straight_rows(stitches: Stitches) -> list[Journey]:
    """Level rows of joined crosses, upright ones of crosses that stand alone in their rows, and the rest."""
    level = _lines(stitches, range(len(stitches)), stitches.rows, stitches.columns)
    alone = [row[0] for row in level if len(row) == 1]
    upright = _lines(stitches, alone, stitches.columns, stitches.rows)
    return [row for row in level if len(row) > 1] + upright


def choices(stitches: Stitches, pieces: Sequence[Journey], needle: Needle) -> tuple[Option, ...]:
    """All options of all pieces."""
    found: list[Option] = []
    for piece, numbers in enumerate(pieces):
        found += _options(stitches, piece, numbers, needle)
    return tuple(found)


def with_costs(
    stitches: Stitches, options: tuple[Option, ...], needle: Needle, rules: tuple[Carrying, Ground]
) -> Choices:
    """The options with what leads from one to the other; what `rules` do not allow is `FORBIDDEN`."""
    last = np.array([option.last for option in options])
    first = np.array([option.first for option in options])
    across = stitches.columns[first] - stitches.columns[last][:, None]
    down = stitches.rows[first] - stitches.rows[last][:, None]
    pitch = needle.pitch
    cost = np.hypot(across * pitch.across_mm, down * pitch.down_mm)
    far = ~next_door(across, down)
    carrying, ground = rules
    refused = far & (_hole_to_hole(options, (across, down), needle) > carrying.longest_mm)
    if carrying.under_stitches:
        one, other = np.nonzero(far & ~refused)
        ends = stitches.columns[last[one]], stitches.rows[last[one]]
        refused[one, other] = ground.bare_between(
            *ends, stitches.columns[first[other]], stitches.rows[first[other]]
        )
    allowed = np.nonzero(far & ~refused)
    over = np.zeros(cost.shape)
    crossed = _crossed(stitches, options, (last[allowed[0]], first[allowed[1]]))
    over[allowed] = OVER_A_ROW * min(pitch.across_mm, pitch.down_mm) * crossed
    cost += over
    cost[refused] += FORBIDDEN
    numbers = np.arange(len(options))
    back = numbers + np.array([option.back for option in options], np.int64)
    piece = np.array([option.piece for option in options], np.int64)
    return Choices(options, cost, over, np.array([option.added_mm for option in options]), back, piece)


def _crossed(stitches: Stitches, options: tuple[Option, ...], ends: tuple[Whole, Whole]) -> Whole:
    """Over how many level rows the thread would lead from stitch to stitch, shape (n,)."""
    bounds = stitches.bounds
    in_row = np.zeros((bounds.rows, bounds.columns), bool)
    columns, rows = stitches.columns - bounds.column, stitches.rows - bounds.row
    for option in options:
        numbers = [number for journey in option.journeys for number in journey]
        if len(numbers) > 1 and rows[numbers[0]] == rows[numbers[1]]:
            in_row[rows[numbers], columns[numbers]] = True
    one, other = ends
    return rows_crossed(in_row, (columns[one], rows[one]), (columns[other], rows[other]))


def _lines(stitches: Stitches, numbers: Iterable[int], lines: Whole, places: Whole) -> list[Journey]:
    ordered = sorted(numbers, key=lambda n: (lines[n], places[n]))
    found: list[list[int]] = []
    for number in ordered:
        last = found[-1][-1] if found else number
        joined = lines[last] == lines[number] and places[last] + 1 == places[number]
        if found and joined and stitches.shapes[last] == CROSS == stitches.shapes[number]:
            found[-1].append(number)
        else:
            found.append([number])
    return [tuple(each) for each in found]


def _options(stitches: Stitches, piece: int, numbers: Journey, needle: Needle) -> list[Option]:
    enters, leaves = _holes(stitches, numbers[0], needle)
    if len(numbers) == 1:
        return [Option(piece, (numbers,), enters, leaves)]
    turned = numbers[::-1]
    rows = needle.working is Working.ROWS
    level = bool(stitches.rows[numbers[0]] == stitches.rows[numbers[1]])
    side = needle.pitch.down_mm if level else needle.pitch.across_mm
    added = (len(numbers) - 1) * (needle.diagonal_mm - side) if rows else 0.0
    onward = [
        Option(piece, tuple((n,) for n in numbers), enters, leaves, added, 1),
        Option(piece, tuple((n,) for n in turned), enters, leaves, added, -1),
    ]
    if not rows:
        return onward
    sides = (LEFT, RIGHT) if level else (TOP, BOTTOM)
    there = []
    for begun, each in zip(sides, (numbers, turned), strict=True):
        way = there_and_back(len(numbers), begun, needle.pitch)
        there.append(Option(piece, (each,), (way.enter,), (way.leave,)))
    return there + onward


def _holes(stitches: Stitches, number: int, needle: Needle) -> tuple[tuple[Hole, ...], tuple[Hole, ...]]:
    ways = worked(int(stitches.shapes[number]), needle.pitch).ways
    return tuple({way.enter: None for way in ways}), tuple({way.leave: None for way in ways})


def _hole_to_hole(options: tuple[Option, ...], steps: tuple[Whole, Whole], needle: Needle) -> Floats:
    """The least thread at the back from each option to each, as `steps` (across, down) lie apart."""
    enters, leaves = _padded([o.enters for o in options]), _padded([o.leaves for o in options])
    least = np.full(steps[0].shape, np.inf)
    for up in range(enters.shape[1]):
        for gone in range(leaves.shape[1]):
            across = steps[0] + enters[None, :, up, 0] - leaves[:, None, gone, 0]
            down = steps[1] + enters[None, :, up, 1] - leaves[:, None, gone, 1]
            apart = np.hypot(across * needle.pitch.across_mm, down * needle.pitch.down_mm)
            np.minimum(least, np.where(apart == 0, needle.diagonal_mm, apart), out=least)
    return least


def _padded(holes: Sequence[tuple[Hole, ...]]) -> Floats:
    """Hole lists of one length, the last hole repeated: shape (n, longest, 2)."""
    longest = max(len(each) for each in holes)
    return np.array([[*each, *[each[-1]] * (longest - len(each))] for each in holes], np.float64)
