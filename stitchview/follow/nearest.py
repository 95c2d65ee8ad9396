"""Where the thread in hand goes on: its nearest stitch that is left, and the next and the one before."""

from collections.abc import Callable, Iterator
from functools import partial

from stitchview.chart.area import Area
from stitchview.follow.clothpitch import Pitch
from stitchview.follow.spots import (
    ALIKE,
    Found,
    Spots,
    end_in_squares,
    near_in_squares,
    spots_on_lattice,
    starts_on_lattice,
)
from stitchview.follow.threadwork import ThreadWork

FIRST_REACH = 8
"""Squares to each side of the place that are looked at first; the reach doubles from there."""

Place = tuple[int, int]
SpotsIn = Callable[[Area], Spots]


def nearest(
    work: ThreadWork, number: int | None, place: Place, pitch: Pitch, area: Area | None = None
) -> Found | None:
    """The stitch of key entry `number` (None: of any) left nearest to the square `place` (column, row).

    Measured on the cloth in millimetres from the middle of `place`, which itself counts; of stitches
    alike far the one in the lowest row, then column, counted from the top left (checks.md, section
    6.3). Whole squares and part stitches come first; lines (by their nearer ends), knots and beads
    are gone to when none of those is left. With `area` only what lies there. None if nothing is left.
    Looks at about as many squares as lie nearer than the answer, however big the chart is.
    """
    whole = work.chart.area if area is None else area.clipped(work.chart.area)
    in_squares = partial(near_in_squares, work, number, place[0])
    on_lattice = partial(spots_on_lattice, work, number)
    for spots_in in _worth_looking(work, number, in_squares, on_lattice):
        found = _ring_by_ring(spots_in, whole, place, pitch)
        if found is not None:
            return found
    return None


def following(work: ThreadWork, number: int | None, place: Place, pitch: Pitch) -> Found | None:
    """The next stitch of `number` left after the square `place` in reading order, then from the top again.

    Comes to every square with something left once, `place` itself last. What is gone to, and what
    `number` None means, is as in `nearest`; lines are found at their upper or left ends.
    """
    return _first_of(work, number, place, pitch, onwards=True)


def preceding(work: ThreadWork, number: int | None, place: Place, pitch: Pitch) -> Found | None:
    """The stitch of `number` left before the square `place` in reading order: `following` backwards."""
    return _first_of(work, number, place, pitch, onwards=False)


def _worth_looking(
    work: ThreadWork, number: int | None, in_squares: SpotsIn, on_lattice: SpotsIn
) -> Iterator[SpotsIn]:
    left = work.left(number)
    if left.in_squares:
        yield in_squares
    if left.lines or left.points:
        yield on_lattice


def _ring_by_ring(spots_in: SpotsIn, whole: Area, place: Place, pitch: Pitch) -> Found | None:
    if whole.empty:
        return None
    reach = FIRST_REACH * max(pitch.across_mm, pitch.down_mm)
    while True:
        window = _within_reach(place, reach, pitch).clipped(whole)
        spots = spots_in(window).inside(whole)
        if len(spots):
            away = spots.away(place, pitch)
            at = spots.nearest(away)
            if away[at] <= reach or window == whole:
                return spots.found(at, float(away[at]))
            # Nothing nearer than this can lie outside a window of this reach.
            reach = float(away[at]) * ALIKE
        elif window == whole:
            return None
        else:
            reach *= 2


def _within_reach(place: Place, reach: float, pitch: Pitch) -> Area:
    across, down = int(reach / pitch.across_mm) + 1, int(reach / pitch.down_mm) + 1
    return Area(place[0] - across, place[1] - down, 2 * across + 1, 2 * down + 1)


def _first_of(
    work: ThreadWork, number: int | None, place: Place, pitch: Pitch, onwards: bool
) -> Found | None:
    in_squares = partial(end_in_squares, work, number, not onwards)
    on_lattice = partial(starts_on_lattice, work, number)
    for spots_in in _worth_looking(work, number, in_squares, on_lattice):
        for piece in _pieces(work.chart.area, place, onwards):
            spots = spots_in(piece).inside(piece)
            if len(spots):
                at = int(spots.in_order()[0 if onwards else -1])
                return spots.found(at, float(spots.away(place, pitch)[at]))
    return None


def _pieces(whole: Area, place: Place, onwards: bool) -> Iterator[Area]:
    """The chart in reading order from `place` on, ever more rows at a time, and `place` itself last."""
    column, row = place
    before, after = Area(0, row, column, 1), Area(column + 1, row, whole.columns - column - 1, 1)
    above, below = (0, min(max(row, 0), whole.rows)), (min(max(row + 1, 0), whole.rows), whole.rows)
    if onwards:
        around: tuple[Area | tuple[int, int], ...] = (after, below, above, before)
    else:
        around = (before, above, below, after)
    for each in (*around, Area(column, row, 1, 1)):
        if isinstance(each, Area):
            pieces: Iterator[Area] = iter((each.clipped(whole),))
        else:
            pieces = _doubling(each, whole.columns, onwards)
        yield from (piece for piece in pieces if not piece.empty)


def _doubling(rows: tuple[int, int], columns: int, onwards: bool) -> Iterator[Area]:
    first, last = rows
    count = 1
    while first < last:
        count = min(count, last - first)
        yield Area(0, first if onwards else last - count, columns, count)
        first, last = (first + count, last) if onwards else (first, last - count)
        count *= 2
