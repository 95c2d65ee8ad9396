"""Proposes the next needleful: gathers stitches for one working length and finds a short way through them."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.errors import CommandError
from stitchview.follow.carrying import Ground, gap_mm, next_door
from stitchview.follow.gathering import Gathered, Reach, gathered, stitches_left
from stitchview.follow.length import Working
from stitchview.follow.nearest import nearest
from stitchview.follow.needleful import Needleful, Wish, broken_off, needleful_of
from stitchview.follow.ordering import bettered_order, short_order
from stitchview.follow.route import Journey, Stitches, joined, simple_order
from stitchview.follow.threadwork import Left, ThreadWork
from stitchview.follow.unitoptions import Choices, choices, singles, straight_rows, with_costs

TRIES = 3
"""How often the stitches are gathered anew when the way through them was shorter than thought."""

GOINGS_ON = 3
"""How often the thread is taken up again where a carry that is not allowed broke the way off."""

SPARE = 0.1
"""The share of a working length that may remain before that is done: going on from the end uses it up."""

OVER = 1.04
"""A little too much is gathered: what does not fit is left at the end of the way, and goes on there."""

BEGINNING = 0.2
"""What a millimetre from the place to the first stitch weighs against one of thread."""

ROUNDING = 1e-6

Floats = NDArray[np.float64]


def next_needleful(work: ThreadWork, wish: Wish) -> Needleful | None:
    """The stitches of the wished thread that one working length covers, from the nearest one on.

    None when no whole or part stitch of it is left. No carry is longer or barer than allowed; the
    thread at the back is never longer than in row order where that keeps to the same carries. Costs
    the same on any chart, but for finding the first stitch when that lies far away. Raises
    `ValueError` for a number the key has not, `CommandError` for a thread too short for one stitch.
    """
    left = work.left(wish.number).in_squares
    found = nearest(work, wish.number, wish.place, wish.needle.pitch) if left else None
    if found is None:
        return None
    path = _begun(work, wish, (found.column, found.row), left)
    if path.left_mm < -ROUNDING:
        raise CommandError(
            f"A working length of {wish.needle.length_mm:g} mm is too short for one stitch.",
            "Cut a longer one.",
        )
    begun = path
    for _ in range(GOINGS_ON):
        longer = _gone_on(work, path, left)
        if longer is None or len(longer) <= len(path):
            break
        path = longer
    if path is not begun:
        path = _smoothed(work, path)
    return _or_in_rows(work, path)


def why_none(left: Left, name: str) -> str:
    """Why there is no needleful of the thread `name`, of which so much is left, in words."""
    if left.lines or left.points:
        return f"Of {name} only lines, knots or beads are left, which are not worked by the needleful."
    return f"{name[:1].upper()}{name[1:]} is finished."


def _smoothed(work: ThreadWork, path: Needleful) -> Needleful:
    """The path, or its stitches in order anew where that takes less thread.

    What it went on to at its end may lie next to where it had been.
    """
    wish, stitches = path.wish, path.stitches
    got = Gathered(stitches, Ground.of(work, stitches.bounds, wish.carrying), True)
    open_to = _choices(got, wish, [tuple(journey) for journey in path.journeys])
    _, known = np.unique(open_to.piece, return_index=True)  # each as it is: the first of its options
    order = bettered_order(open_to, known, _beginning(stitches, open_to, wish, BEGINNING))
    way = open_to.journeys(order.tolist())
    anew = _fitted(work, needleful_of(wish, stitches, way, path.left_after + len(path)))
    better = len(anew) == len(path) and anew.back_mm < path.back_mm - ROUNDING
    return anew if better else path


def _or_in_rows(work: ThreadWork, path: Needleful) -> Needleful:
    """The path, or its stitches in row order where that takes less thread and is allowed."""
    order = simple_order(path.stitches, path.wish.needle, path.wish.course)
    rows = needleful_of(path.wish, path.stitches, order, path.left_after + len(path))
    if rows.back_mm > path.back_mm - ROUNDING or len(_fitted(work, rows)) < len(path):
        return path
    return rows


def _begun(work: ThreadWork, wish: Wish, first: tuple[int, int], left: int) -> Needleful:
    """A path of its own from about the square `first`."""
    budget = wish.needle.usable_mm * OVER
    for _ in range(TRIES):
        got = gathered(work, wish.number, first, Reach(budget, wish.needle, wish.carrying))
        path = _fitted(work, needleful_of(wish, got.stitches, _journeys(got, wish, BEGINNING), left))
        if not got.more or len(path) < len(got.stitches) or path.left_mm < SPARE * wish.needle.usable_mm:
            break
        budget += path.left_mm + wish.needle.usable_mm * (OVER - 1)
    return path


def _gone_on(work: ThreadWork, path: Needleful, left: int) -> Needleful | None:
    """The path with what its end can still reach; None if that is nothing."""
    wish, last = path.wish, path.journeys[-1].start
    end = int(path.stitches.columns[last]), int(path.stitches.rows[last])
    first = _within_carry(work, path, end)
    if first is None:
        return None
    reach = Reach(path.left_mm * OVER, wish.needle, wish.carrying)
    got = gathered(work, wish.number, first, reach, path.stitches)
    on = _journeys(got, replace(wish, place=end), 1.0)
    both = joined(path.stitches, got.stitches)
    shifted = [tuple(number + len(path) for number in journey) for journey in on]
    return _fitted(work, needleful_of(wish, both, [*map(tuple, path.journeys), *shifted], left))


def _within_carry(work: ThreadWork, path: Needleful, end: tuple[int, int]) -> tuple[int, int] | None:
    """The nearest open square that the thread may be carried to from the end of the path."""
    pitch, carrying = path.wish.needle.pitch, path.wish.carrying
    if path.left_mm < path.wish.needle.worked_mm(path.wish.needle.diagonal_mm, 0, 2):
        return None
    window = Area(*end, 1, 1).grown(carrying.squares(pitch) + 1).clipped(work.chart.area)
    spots = stitches_left(work, path.wish.number, window, path.stitches)
    across, down = spots.columns - end[0], spots.rows - end[1]
    near = gap_mm(across, down, pitch) <= carrying.longest_mm
    if carrying.under_stitches and near.any():
        start = np.full(len(spots), end[0]), np.full(len(spots), end[1])
        bare = Ground.of(work, window, carrying).bare_between(*start, spots.columns, spots.rows)
        near &= next_door(across, down) | ~bare
    if not near.any():
        return None
    away = np.where(near, np.hypot(across * pitch.across_mm, down * pitch.down_mm), np.inf)
    best = int(away.argmin())
    return int(spots.columns[best]), int(spots.rows[best])


def _journeys(got: Gathered, wish: Wish, weight: float) -> list[Journey]:
    """A short way through the gathered stitches; `weight` is what the way from the place counts."""
    stitches = got.stitches
    rows = _choices(got, wish, straight_rows(stitches))
    way = rows.journeys(short_order(rows, _beginning(stitches, rows, wish, weight)).tolist())
    if wish.needle.working is Working.ROWS:
        return way
    # Crosses completed one by one need not keep to rows.
    each = _choices(got, wish, singles(stitches))
    known = np.array([number for journey in way for number in journey], np.int64)
    return each.journeys(bettered_order(each, known, _beginning(stitches, each, wish, weight)).tolist())


def _choices(got: Gathered, wish: Wish, pieces: list[Journey]) -> Choices:
    options = choices(got.stitches, pieces, wish.needle)
    return with_costs(got.stitches, options, wish.needle, (wish.carrying, got.ground))


def _beginning(stitches: Stitches, open_to: Choices, wish: Wish, weight: float) -> Floats:
    """What beginning with each option costs: its way from the place."""
    first = np.array([option.first for option in open_to.options], np.int64)
    pitch = wish.needle.pitch
    across = (stitches.columns[first] - wish.place[0]) * pitch.across_mm
    away: Floats = weight * np.hypot(across, (stitches.rows[first] - wish.place[1]) * pitch.down_mm)
    return away


def _fitted(work: ThreadWork, path: Needleful) -> Needleful:
    """The path as far as the thread reaches and no carry is refused; at least one stitch of it."""
    fits = int(np.searchsorted(path.used_mm, path.wish.needle.usable_mm + ROUNDING, side="right"))
    ground = Ground.of(work, path.stitches.bounds, path.wish.carrying)
    refused = np.flatnonzero(_refused(ground, path))
    if len(refused):
        fits = min(fits, path.carries[refused[0]].comes_to)
    return broken_off(path, max(1, fits))


def _refused(ground: Ground, path: Needleful) -> NDArray[np.bool_]:
    """Which carries of the path are not allowed."""
    carrying, stitches = path.wish.carrying, path.stitches
    refused = np.array([carry.mm > carrying.longest_mm + ROUNDING for carry in path.carries], bool)
    if carrying.under_stitches and path.carries:
        one = np.array([carry.leaves for carry in path.carries])
        other = np.array([carry.comes_to for carry in path.carries])
        start, end = stitches.taken(one), stitches.taken(other)
        refused |= ground.bare_between(start.columns, start.rows, end.columns, end.rows)
    return refused
