"""Recording that the cloth differs: one change, with pins and parked threads of a shifted block."""

from dataclasses import replace

import numpy as np

from stitchview.done.asworked import altered_by, on_cloth
from stitchview.done.change import DONE, OPEN, Altered, Change
from stitchview.done.differences import DIFFERENCES, Added, Difference, OtherThread, Shifted
from stitchview.done.loom import Effect
from stitchview.done.marks import Marks, noting
from stitchview.done.notebook import NO_NOTES, Notes, NotesChange, both
from stitchview.done.notes import Note, Parked, Pin
from stitchview.done.usedinstead import OwnThread


def touches_differences(change: NotesChange) -> bool:
    """Whether the chart is another one once these notes are rewritten."""
    return any(isinstance(each.note, (*DIFFERENCES, OwnThread)) for each in change.rewritten)


def effect_of(marks: Marks, new: Difference, own: OwnThread | None = None) -> Effect:
    """What one more difference would alter on the cloth; raises `CommandError` if it cannot be.

    `own` is a thread not noted yet that it names.
    """
    known = marks.notes.own_threads if own is None else (*marks.notes.own_threads, own)
    return altered_by(marks.chart, marks.notes.differences, new, known)


def recording(marks: Marks, new: Difference, own: OwnThread | None = None) -> Change:
    """The change that records a difference, and the thread of her `own` that it names.

    Raises `CommandError` if it cannot be.

    Pins and threads parked in a shifted block lie where the block lies. Stitches that were added are
    done. Marks need no change: they are kept by where their stitches are printed.
    """
    effect_of(marks, new, own)
    notes = marks.notes.putting(*([new] if own is None else [new, own]))
    if isinstance(new, Shifted):
        notes = both(notes, _moved(marks.notes, new))
    change = noting(marks.chart, notes or NO_NOTES)
    return replace(change, squares=_turned(marks, new, DONE)) if isinstance(new, Added) else change


def taking_back(marks: Marks, old: Difference) -> Change:
    """The change that has the cloth no longer differ there, pins and parked threads back with the block.

    Stitches that were added are not done any more, should the chart ever get some there. A thread of her
    own that no other difference names goes with it.
    """
    notes = marks.notes.removing(old, *_unnamed(marks.notes, old))
    if isinstance(old, Shifted):
        home = replace(old, column=old.target.column, row=old.target.row, across=-old.across, down=-old.down)
        notes = both(notes, _moved(marks.notes, home))
    change = noting(marks.chart, notes or NO_NOTES)
    if isinstance(old, Added) and old in held(marks):
        return replace(change, squares=_turned(marks, old, OPEN))
    return change


def held(marks: Marks) -> tuple[Difference, ...]:
    """The differences that hold on this chart, in the order in which they were recorded."""
    return on_cloth(marks.chart, marks.notes.differences, marks.notes.own_threads).hold


def _unnamed(notes: Notes, old: Difference) -> list[OwnThread]:
    """Threads of her own that are named by this difference alone."""
    if not isinstance(old, OtherThread | Added):
        return []
    others = {each.code for each in notes.other_threads if each != old}
    others |= {each.code for each in notes.added if each != old}
    return [each for each in notes.own_threads if each.id == old.code and each.id not in others]


def _turned(marks: Marks, added: Added, state: int) -> Altered:
    """All squares that were added, in another state."""
    rows, columns = np.mgrid[added.area.slices()].reshape(2, -1)
    flat = (rows * marks.chart.columns + columns).astype(np.int64)
    return Altered(flat, marks.squares.reshape(-1)[flat], np.full(len(flat), state, np.uint8))


def _moved(notes: Notes, shift: Shifted) -> NotesChange | None:
    """Pins and parked threads in the block go with it."""
    gone, put = list[Note](), list[Note]()
    for each in (*notes.pins, *notes.parked):
        if isinstance(each, Pin | Parked) and shift.area.holds(each.column, each.row):
            gone.append(each)
            put.append(replace(each, column=each.column + shift.across, row=each.row + shift.down))
    # A parked thread is told by its square: it is taken off at one and hung at the other.
    off = notes.removing(*(each for each in gone if each not in put))
    return both(notes.putting(*put), off)
