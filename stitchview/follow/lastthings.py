"""The last things of a piece: all that is open or later, step by step and nearest first."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import IntEnum

import numpy as np

from stitchview.chart.joined import Indices, Mask
from stitchview.chart.model import Chart
from stitchview.chart.stitches import PointKind
from stitchview.done.change import DONE, FAMILIES, FIRST_LEG, LATER, MISTAKE
from stitchview.done.counts import keys_of
from stitchview.done.leftout import CROSSES, LINES, POINTS, LeftOut
from stitchview.done.marks import Marks
from stitchview.follow.clothpitch import Pitch
from stitchview.follow.hiddenholes import hidden_squares
from stitchview.follow.lastgroups import Group, line_groups, point_groups, square_groups

MOST_LEFT = 5_000
"""With more stitches than this to come nothing is "the last things" yet."""
METALLIC = "metallic"
SORT_OF = {"squares": CROSSES, "parts": CROSSES, "lines": LINES, "points": POINTS}


class Step(IntEnum):
    """What is done one after the other at the end, so that the later is not rubbed (common practice)."""

    MISTAKES = 0
    HIDDEN = 1
    CROSSES = 2
    BACK_STITCH = 3
    KNOTS = 4
    METALLICS = 5
    BEADS = 6


@dataclass(frozen=True, slots=True)
class LastThing:
    """One joined group that is left of a thread: where it is nearest, how far that is, how many stitches.

    `waits` tells that it was left open on purpose, for later, `legs` that these are first legs, to be
    crossed; `group` what it is made of.
    """

    step: Step
    number: int
    waits: bool
    group: Group
    square: tuple[int, int]
    mm: float
    legs: bool = False


@dataclass(frozen=True, slots=True)
class StepProgress:
    """How far one step is: its stitches, those done, those of the others that are left out."""

    step: Step
    stitches: int
    done: int
    left_out: int

    @property
    def left(self) -> int:
        """How many are still to come."""
        return self.stitches - self.done - self.left_out


@dataclass(frozen=True, slots=True)
class BeadsToBuy:
    """Of one bead: how many the piece has, without those left out, and how many are on it already."""

    number: int
    wanted: int
    sewn_on: int
    left_out: int

    @property
    def to_come(self) -> int:
        """How many must be at hand for what is still to be sewn on."""
        return self.wanted - self.sewn_on


@dataclass(frozen=True, slots=True)
class LastThings:
    """The list, in the order in which it is worked.

    While there is far too much left it is not `complete`: it holds mistakes only, which never wait.
    """

    things: tuple[LastThing, ...]
    complete: bool
    steps: tuple[StepProgress, ...]
    beads: tuple[BeadsToBuy, ...]
    left: int

    @property
    def finished(self) -> bool:
        """Whether nothing is left but what is left out on purpose."""
        return self.left == 0


def last_things(marks: Marks, place: tuple[int, int], pitch: Pitch) -> LastThings:
    """What is left of a piece, seen from the square `place`; O(chart)."""
    chart = marks.chart
    todo = [
        (states.reshape(-1) != DONE) & (keys != 0)
        for states, keys in zip(marks.families, keys_of(chart), strict=True)
    ]
    out = [mask & other for mask, other in zip(todo, _left_out(chart, marks.notes.left_out), strict=True)]
    left = [mask & ~other for mask, other in zip(todo, out, strict=True)]
    count = sum(int(np.count_nonzero(mask)) for mask in left)
    complete = count <= MOST_LEFT
    if not complete:
        wrong = (states.reshape(-1) == MISTAKE for states in marks.families)
        left = [_first(mask & each) for mask, each in zip(left, wrong, strict=True)]
    things = _things(marks, left, (place, pitch))
    return LastThings(things, complete, _progress(marks, out), _beads(marks, out), count)


def leaving_out(chart: Chart, things: Iterable[LastThing]) -> tuple[LeftOut, ...]:
    """The notes by which just these things are left out, each stitch by its own few squares."""
    found = dict.fromkeys(
        LeftOut(each.group.sort, chart.key[each.number - 1].code, *corner, *size)
        for each in things
        for corner, size in each.group.rooms
    )
    return tuple(found)


def _first(mask: Mask) -> Mask:
    """As many of the stitches chosen as a list can hold."""
    chosen = np.flatnonzero(mask)
    if len(chosen) > MOST_LEFT:
        mask[chosen[MOST_LEFT:]] = False
    return mask


def _left_out(chart: Chart, notes: tuple[LeftOut, ...]) -> list[Mask]:
    """Which stitches of each family lie in an area that is left out."""
    keys, numbers = keys_of(chart), {entry.code: number for number, entry in enumerate(chart.key, 1)}
    found = [np.zeros(len(each), np.bool_) for each in keys]
    parts, lines, points = chart.parts, chart.lines, chart.points
    middles = (lines.x1 + lines.x2) // 4, (lines.y1 + lines.y2) // 4
    homes = {
        CROSSES: {1: (parts.columns, parts.rows)},
        LINES: {2: middles},
        POINTS: {3: (points.x // 2, points.y // 2)},
    }
    for note in notes:
        number = numbers.get(note.code)
        if number is None:
            continue
        right, bottom = note.column + note.columns, note.row + note.rows
        if note.sort == CROSSES:
            here = slice(max(note.row, 0), max(bottom, 0)), slice(max(note.column, 0), max(right, 0))
            found[0].reshape(chart.squares.shape)[here] |= chart.squares[here] == number
        for family, (columns, rows) in homes.get(note.sort, {}).items():
            inside = (columns >= note.column) & (columns < right) & (rows >= note.row) & (rows < bottom)
            found[family] |= inside & (keys[family] == number)
    return found


def steps_of(marks: Marks, family: int, indices: Indices) -> Indices:
    """The `Step` of stitches of a family, but for hidden squares, which only their surroundings tell."""
    chart = marks.chart
    metallic = np.array([False, *(entry.kind == METALLIC for entry in chart.key)])
    plain = (Step.CROSSES, Step.CROSSES, Step.BACK_STITCH, Step.KNOTS)[family]
    steps = np.full(len(indices), plain, np.int64)
    steps[metallic[keys_of(chart)[family][indices]]] = Step.METALLICS
    if FAMILIES[family] == "points":
        steps[chart.points.kinds[indices] == PointKind.BEAD] = Step.BEADS
    return steps


def _things(marks: Marks, left: list[Mask], seen: tuple[tuple[int, int], Pitch]) -> tuple[LastThing, ...]:
    chart, found = marks.chart, list[LastThing]()
    hidden = hidden_squares(marks)
    sorts: dict[tuple[int, int, int, str], list[list[int]]] = {}
    for family, mask in enumerate(left):
        indices = np.flatnonzero(mask)
        told = zip(indices.tolist(), *_told(marks, family, indices, hidden), strict=True)
        for at, step, number, state in told:
            group = sorts.setdefault((step, number, state, SORT_OF[FAMILIES[family]]), [[], [], [], []])
            group[family].append(at)
    for (step, number, state, sort), members in sorts.items():
        for each in _grouped(chart, sort, members):
            square, mm = each.nearest(*seen)
            found.append(LastThing(Step(step), number, state == LATER, each, square, mm, state == FIRST_LEG))
    found.sort(key=lambda each: (each.step, each.mm, each.square[1], each.square[0], each.number))
    return tuple(found)


def _told(
    marks: Marks, family: int, indices: Indices, hidden: Mask
) -> tuple[list[int], list[int], list[int]]:
    """Of some stitches the steps, the key numbers, and the states."""
    chart, states = marks.chart, marks.families[family].reshape(-1)[indices]
    steps = steps_of(marks, family, indices)
    if SORT_OF[FAMILIES[family]] == CROSSES:
        parts = chart.parts
        flat = indices
        if FAMILIES[family] == "parts":
            flat = parts.rows[indices].astype(np.int64) * chart.columns + parts.columns[indices]
        # A first leg can be seen on the cloth, so it hides from nobody.
        steps[(steps == Step.CROSSES) & hidden[flat] & (states != FIRST_LEG)] = Step.HIDDEN
    steps[states == MISTAKE] = Step.MISTAKES
    keys = keys_of(chart)[family][indices]
    return steps.tolist(), keys.tolist(), states.tolist()


def _grouped(chart: Chart, sort: str, members: list[list[int]]) -> Iterable[Group]:
    """The joined groups of stitches of one sort, given by family."""
    squares, parts, lines, points = members
    if sort == CROSSES:
        return square_groups(chart, squares, parts)
    return line_groups(chart, lines) if sort == LINES else point_groups(chart, points)


def _progress(marks: Marks, out: list[Mask]) -> tuple[StepProgress, ...]:
    """Every step of which the chart has something; hidden squares are crosses, mistakes where they belong."""
    sums = np.zeros((3, len(Step)), np.int64)
    for family, keys in enumerate(keys_of(marks.chart)):
        there = np.flatnonzero(keys)
        steps = steps_of(marks, family, there)
        done = marks.families[family].reshape(-1)[there] == DONE
        for at, which in enumerate((np.ones(len(there), np.bool_), done, out[family][there])):
            sums[at] += np.bincount(steps[which], minlength=len(Step))
    return tuple(StepProgress(step, *(int(each) for each in sums[:, step])) for step in Step if sums[0, step])


def _beads(marks: Marks, out: list[Mask]) -> tuple[BeadsToBuy, ...]:
    points, found = marks.chart.points, list[BeadsToBuy]()
    beads = points.kinds == PointKind.BEAD
    for number in np.unique(points.keys[beads]).tolist():
        mine = beads & (points.keys == number)
        left_out = int(np.count_nonzero(mine & out[3]))
        wanted = int(np.count_nonzero(mine)) - left_out
        found.append(
            BeadsToBuy(number, wanted, int(np.count_nonzero(mine & (marks.points == DONE))), left_out)
        )
    return tuple(found)
