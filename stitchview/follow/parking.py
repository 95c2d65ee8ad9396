"""Parked threads: where they hang, and which are taken up again by stitching on."""

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.change import DONE, FIRST_LEG, Altered, Change
from stitchview.done.notebook import Notes, NotesChange
from stitchview.done.notes import Parked
from stitchview.errors import CommandError
from stitchview.follow.threadnames import spoken_names

Whole = NDArray[np.int64]
Mask = NDArray[np.bool_]

BESIDE = ((0, 0, 0), (0, -1, 0), (0, 1, 0), (0, 0, -1), (0, 0, 1))
"""The square itself and those joined to it by an edge, as (number, column, row) steps."""


def number_of(chart: Chart, code: str) -> int:
    """The number of the key entry with this code; 0 when the key has none (any more)."""
    return next((number for number, entry in enumerate(chart.key, 1) if entry.code == code), 0)


def parking(chart: Chart, notes: Notes, number: int, column: int, row: int) -> NotesChange | None:
    """What is noted when the thread of key entry `number` is left hanging at a square.

    None when it hangs there already. Raises `CommandError` when it has no stitch at that square:
    a thread is parked where it will go on. Raises `ValueError` for a number the key has not.
    """
    if not 1 <= number <= len(chart.key):
        raise ValueError(f"the key has no entry number {number}")
    parked = Parked(chart.key[number - 1].code, column, row)
    if not has_stitch(chart, parked):
        raise CommandError(
            f"{_name(chart, parked)} has no stitch at this square, so it cannot be parked here.",
            "Park it at a square where it goes on.",
        )
    return notes.putting(parked)


def has_stitch(chart: Chart, parked: Parked) -> bool:
    """Whether the thread has a stitch of any kind, done or not, in or at the square it hangs at."""
    number, column, row = number_of(chart, parked.code), parked.column, parked.row
    if not number or not chart.area.holds(column, row):
        return False
    if chart.squares[row, column] == number:
        return True
    mine = (np.flatnonzero(each.keys == number) for each in (chart.parts, chart.lines, chart.points))
    return bool((_small(chart, *mine) == (number, column, row)).all(axis=1).any())


def strays(chart: Chart, notes: Notes) -> tuple[Parked, ...]:
    """The parked threads whose stitch was taken out by a correction; they stay until they are taken up."""
    return tuple(parked for parked in notes.parked if not has_stitch(chart, parked))


def stray_words(chart: Chart, parked: Parked) -> str:
    """What is to be said of one of the `strays`."""
    return (
        f"{_name(chart, parked)} is parked at a square where it has no stitch any more:"
        " the chart was corrected. Park it elsewhere, or take it off."
    )


def parked_in(notes: Notes, area: Area) -> tuple[Parked, ...]:
    """The threads parked in an area, in reading order."""
    return tuple(parked for parked in notes.parked if area.holds(parked.column, parked.row))


def unparked_by(chart: Chart, notes: Notes, change: Change) -> NotesChange | None:
    """What is rewritten because a change goes on with parked threads; None when it does not.

    A thread is taken up again when a stitch of it is marked in the square it hangs at, or in one
    joined to that by an edge; a line counts where it ends, a knot or bead where it lies. `notes` are
    those before the change.
    """
    known = {entry.code: number for number, entry in enumerate(chart.key, 1)}
    here = [each for each in parked_in(notes, chart.area) if each.code in known]
    if not here:
        return None
    hung = np.array([(known[each.code], each.column, each.row) for each in here], np.int64)
    near = (hung[:, None] + np.array(BESIDE, np.int64)).reshape(-1, 3)
    goes_on = _marked_whole(chart, change, near) | _marked_small(chart, change, near)
    taken_up = np.flatnonzero(goes_on.reshape(len(here), len(BESIDE)).any(axis=1))
    return notes.removing(*(here[at] for at in taken_up))


def _marked_whole(chart: Chart, change: Change, near: Whole) -> Mask:
    """Whether a change marks a whole stitch of each (number, column, row) of `near`; shape (n,)."""
    numbers, columns, rows = near.T
    done = _done(change.squares)
    inside = (columns >= 0) & (columns < chart.columns) & (rows >= 0) & (rows < chart.rows)
    flat = np.where(inside, rows * chart.columns + columns, 0)
    # The few squares are looked for among the many marked, which may be a whole chart.
    at = np.minimum(np.searchsorted(done, flat), len(done) - 1)
    marked: Mask = inside & (chart.squares.reshape(-1)[flat] == numbers)
    marked &= done[at] == flat if len(done) else False
    return marked


def _marked_small(chart: Chart, change: Change, near: Whole) -> Mask:
    """As `_marked_whole`, but for stitches of every other kind, in the square or at it."""
    wanted = np.zeros(len(chart.key) + 1, bool)
    wanted[near[:, 0]] = True
    tables = (
        (chart.parts.keys, change.parts),
        (chart.lines.keys, change.lines),
        (chart.points.keys, change.points),
    )
    chosen = (done[wanted[keys[done]]] for keys, done in ((keys, _done(each)) for keys, each in tables))
    marked: Mask = np.isin(_codes(chart, near), _codes(chart, _small(chart, *chosen)))
    return marked


def _done(altered: Altered) -> Whole:
    done: Whole = altered.indices[(altered.new == DONE) | (altered.new == FIRST_LEG)]
    return done


def _small(chart: Chart, parts: Whole, lines: Whole, points: Whole) -> Whole:
    """The squares that part stitches lie in and ends of lines, knots and beads touch.

    (number, column, row), shape (n, 3); those named are indices of the chart's tables.
    """
    keys, x = [chart.lines.keys[lines]] * 2, [chart.lines.x1[lines], chart.lines.x2[lines]]
    y = [chart.lines.y1[lines], chart.lines.y2[lines], chart.points.y[points]]
    numbers = np.concatenate((*keys, chart.points.keys[points])).astype(np.int64)
    across, down = np.concatenate((*x, chart.points.x[points])), np.concatenate(y)
    # In half squares; a spot on a grid line touches the squares on both of its sides.
    touched = [
        np.column_stack((numbers, (across - left) // 2, (down - up) // 2)) for left in (0, 1) for up in (0, 1)
    ]
    inside = (chart.parts.keys[parts], chart.parts.columns[parts], chart.parts.rows[parts])
    return np.concatenate((np.column_stack(inside).astype(np.int64), *touched))


def _codes(chart: Chart, spots: Whole) -> Whole:
    """One number for each (number, column, row), with room for squares beside the chart."""
    numbers, columns, rows = spots.T
    codes: Whole = (numbers * (chart.rows + 4) + rows + 2) * (chart.columns + 4) + columns + 2
    return codes


def _name(chart: Chart, parked: Parked) -> str:
    number = number_of(chart, parked.code)
    name = spoken_names(chart.key)[number - 1] if number else f"the thread of symbol {parked.code}"
    return f"{name[:1].upper()}{name[1:]}"
