"""Threads held back for the end: which they are, and what there is of them still to come."""

from dataclasses import dataclass

from stitchview.chart.model import Chart
from stitchview.done.notebook import Notes, NotesChange
from stitchview.done.notes import HeldBack
from stitchview.follow.threadwork import Left, ThreadWork


@dataclass(frozen=True, slots=True)
class StillHeld:
    """A key entry that is held back, by its number, and what is left of it for the end."""

    number: int
    left: Left


def held_numbers(chart: Chart, notes: Notes) -> frozenset[int]:
    """The numbers of the key entries that wait for the end: as she chose, else as the chart says."""
    return frozenset(number for number, entry in enumerate(chart.key, 1) if notes.is_held(entry))


def holding_back(chart: Chart, notes: Notes, number: int, held: bool) -> NotesChange | None:
    """What is noted when a key entry is held back or, with `held` false, released.

    None when it is so already. Raises `ValueError` for a number the key has not.
    """
    if not 1 <= number <= len(chart.key):
        raise ValueError(f"the key has no entry number {number}")
    entry = chart.key[number - 1]
    return None if notes.is_held(entry) is held else notes.putting(HeldBack(entry.code, held))


def still_held(work: ThreadWork) -> tuple[StillHeld, ...]:
    """The threads held back of which something is left, in the order of the key; O(key)."""
    held = sorted(held_numbers(work.chart, work.marks.notes))
    found = (StillHeld(number, work.left(number)) for number in held)
    return tuple(each for each in found if each.left.total)


def work_that_is_next(work: ThreadWork) -> ThreadWork:
    """The work without the threads held back, for everything that asks what is next; O(1).

    Made anew after a thread was held back or released.
    """
    return work.leaving_out(held_numbers(work.chart, work.marks.notes))
