"""All notes of a chart as one value, and what one stroke rewrites of them."""

import bisect
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain
from typing import Any

from stitchview.chart.area import Area
from stitchview.chart.model import KeyEntry
from stitchview.done.differences import (
    Added,
    Difference,
    NotWorked,
    OtherThread,
    Shifted,
)
from stitchview.done.finishnotes import Finished, ThreadTest, ThreadUsed
from stitchview.done.leftout import LeftOut
from stitchview.done.notes import HeldBack, NeedlefulEnd, Note, Parked, Pin, Subject
from stitchview.done.sittingnotes import ClothPhoto, SittingSeam, SittingWord, TimePin
from stitchview.done.skeinnotes import LotArea, LotTime, SkeinNote, SkeinSize
from stitchview.done.unpicked import Unpicked
from stitchview.done.usedinstead import OwnThread, UsedInstead
from stitchview.errors import CommandError

MOST_PINS = 1000
FARTHEST = 1 << 29
"""Columns and rows from the chart's top left square, beyond which nothing is noted."""
WEIGHT = 500
"""Bytes that a note takes in memory, roughly."""

Place = tuple[type[Note], Subject]
"""What tells a note from all others of any kind."""


@dataclass(frozen=True, slots=True)
class Rewritten:
    """One note as it was and as it is now; None where there was none, or is none any more."""

    old: Note | None
    new: Note | None

    @property
    def note(self) -> Note:
        """The note as it is now, or as it was if it is gone."""
        note = self.old if self.new is None else self.new
        if note is None:
            raise ValueError("a note that neither was nor is")
        return note

    @property
    def place(self) -> Place:
        """What tells the note from all others of any kind."""
        return type(self.note), self.note.subject

    @property
    def sides(self) -> tuple[Note | None, Note | None]:
        """The note as it was, and as it is."""
        return self.old, self.new

    def inverse(self) -> "Rewritten":
        """The way back."""
        return Rewritten(self.new, self.old)


@dataclass(frozen=True, slots=True)
class NotesChange:
    """All notes that one stroke rewrites, each at most once; false if there are none."""

    rewritten: tuple[Rewritten, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.rewritten)

    @property
    def area(self) -> Area:
        """The squares that the notes name, before and now; empty if they name none."""
        area = Area(0, 0, 0, 0)
        for each in self.rewritten:
            for note in each.sides:
                for square in _squares(note):
                    area = area.joined(Area(*square, 1, 1))
        return area

    @property
    def weight(self) -> int:
        """Bytes that they take, roughly, for whoever must bound memory."""
        return WEIGHT * len(self.rewritten)

    def inverse(self) -> "NotesChange":
        """The change that takes this one back."""
        return NotesChange(tuple(each.inverse() for each in self.rewritten))

    def about(self, kind: type[Note]) -> tuple[Rewritten, ...]:
        """Only what is rewritten of the notes of one kind."""
        return tuple(each for each in self.rewritten if isinstance(each.note, kind))


NO_NOTES = NotesChange()


def both(one: NotesChange | None, other: NotesChange | None) -> NotesChange:
    """What two changes of the same notes rewrite; of a note that both name, the first one's word counts."""
    found: dict[Place, Rewritten] = {}
    for change in (one or NO_NOTES, other or NO_NOTES):
        for each in change.rewritten:
            found.setdefault(each.place, each)
    return NotesChange(tuple(found.values()))


@dataclass(frozen=True, slots=True)
class Notes:
    """Everything noted on a chart, each kind in the order of its subjects; a value, never altered.

    Squares count from the chart's top left, as everything in memory does. `putting` and `removing`
    tell what would be rewritten; `after` gives the notes when it is.
    """

    pins: tuple[Pin, ...] = ()
    parked: tuple[Parked, ...] = ()
    held_back: tuple[HeldBack, ...] = ()
    needlefuls: tuple[NeedlefulEnd, ...] = ()
    skeins: tuple[SkeinNote, ...] = ()
    skein_sizes: tuple[SkeinSize, ...] = ()
    lot_areas: tuple[LotArea, ...] = ()
    lot_times: tuple[LotTime, ...] = ()
    seams: tuple[SittingSeam, ...] = ()
    sitting_words: tuple[SittingWord, ...] = ()
    photos: tuple[ClothPhoto, ...] = ()
    time_pins: tuple[TimePin, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    finished: tuple[Finished, ...] = ()
    used_in_all: tuple[ThreadUsed, ...] = ()
    tests: tuple[ThreadTest, ...] = ()
    shifted: tuple[Shifted, ...] = ()
    other_threads: tuple[OtherThread, ...] = ()
    not_worked: tuple[NotWorked, ...] = ()
    added: tuple[Added, ...] = ()
    used_instead: tuple[UsedInstead, ...] = ()
    own_threads: tuple[OwnThread, ...] = ()
    unpicked: tuple[Unpicked, ...] = ()

    @classmethod
    def of(cls, notes: Iterable[Note]) -> "Notes":
        """The notes in any order; of two of one subject the later counts."""
        found = {(type(note), note.subject): note for note in notes}.values()
        kinds: dict[str, list[Note]] = {name: [] for name in _FIELDS.values()}
        for note in found:
            kinds[_FIELDS[type(note)]].append(note)
        ordered: dict[str, Any] = {name: tuple(sorted(each, key=_subject)) for name, each in kinds.items()}
        return cls(**ordered)

    def __iter__(self) -> Iterator[Note]:
        return chain.from_iterable(self._kinds.values())

    @property
    def differences(self) -> tuple[Difference, ...]:
        """Where the cloth differs from the chart, in the order in which it was recorded."""
        found: list[Difference] = [*self.shifted, *self.other_threads, *self.not_worked, *self.added]
        return tuple(sorted(found, key=_subject))

    def is_held(self, entry: KeyEntry) -> bool:
        """Whether a thread waits for the end: as she chose last, else as the chart says."""
        chosen = (choice.held for choice in self.held_back if choice.code == entry.code)
        return next(chosen, entry.held_back)

    def putting(self, *notes: Note) -> NotesChange | None:
        """What is rewritten when these are put in or, where their subjects are known, put in their place.

        None when nothing is. Raises `CommandError` when there would be too many pins, and
        `ValueError` for squares out of all bounds.
        """
        if any(max(map(abs, square)) > FARTHEST for note in notes for square in _squares(note)):
            raise ValueError("a note names a square out of all bounds")
        new = {
            each.subject for each in notes if isinstance(each, Pin) and not self._found((Pin, each.subject))
        }
        if new and len(self.pins) + len(new) > MOST_PINS:
            raise CommandError(f"A chart can have {MOST_PINS:,} pins.", "Take one off first.")
        return self._rewriting({(type(note), note.subject): note for note in notes})

    def removing(self, *notes: Note) -> NotesChange | None:
        """What is rewritten when the notes of these subjects are taken off; None when nothing is."""
        return self._rewriting({(type(note), note.subject): None for note in notes})

    def after(self, change: NotesChange) -> "Notes":
        """The notes once `change` is made true, whatever was there before."""
        if not change:
            return self
        altered: dict[str, Any] = {
            name: _after(getattr(self, name), changed)
            for kind, name in _FIELDS.items()
            if (changed := change.about(kind))
        }
        return replace(self, **altered)

    def after_all(self, changes: Iterable[NotesChange]) -> "Notes":
        """The notes once all of `changes` are made true, one after the other."""
        found = self._by_place()
        for change in changes:
            for each in change.rewritten:
                if each.new is None:
                    found.pop(each.place, None)
                else:
                    found[each.place] = each.new
        return Notes.of(found.values())

    def towards(self, other: "Notes") -> NotesChange:
        """What is rewritten on the way from these notes to the others."""
        gone: dict[Place, Note | None] = dict.fromkeys(self._by_place())
        return self._rewriting({**gone, **other._by_place()}) or NO_NOTES

    @property
    def _kinds(self) -> dict[type[Note], Sequence[Note]]:
        return {kind: getattr(self, name) for kind, name in _FIELDS.items()}

    def _by_place(self) -> dict[Place, Note]:
        return {(type(note), note.subject): note for note in self}

    def _found(self, place: Place) -> Note | None:
        notes = self._kinds[place[0]]
        at, there = _place_in(notes, place[1])
        return notes[at] if there else None

    def _rewriting(self, wanted: Mapping[Place, Note | None]) -> NotesChange | None:
        rewritten = (Rewritten(self._found(place), note) for place, note in wanted.items())
        altered = tuple(each for each in rewritten if each.old != each.new)
        return NotesChange(altered) if altered else None


_FIELDS: dict[type[Note], str] = {
    Pin: "pins",
    Parked: "parked",
    HeldBack: "held_back",
    NeedlefulEnd: "needlefuls",
    SkeinNote: "skeins",
    SkeinSize: "skein_sizes",
    LotArea: "lot_areas",
    LotTime: "lot_times",
    SittingSeam: "seams",
    SittingWord: "sitting_words",
    ClothPhoto: "photos",
    TimePin: "time_pins",
    LeftOut: "left_out",
    Finished: "finished",
    ThreadUsed: "used_in_all",
    ThreadTest: "tests",
    Shifted: "shifted",
    OtherThread: "other_threads",
    NotWorked: "not_worked",
    Added: "added",
    UsedInstead: "used_instead",
    OwnThread: "own_threads",
    Unpicked: "unpicked",
}
"""Where the notes of each kind stand in `Notes`, in the order in which they are told."""
NOTHING_NOTED = Notes()


def _squares(note: Note | None) -> tuple[tuple[int, int], ...]:
    match note:
        case Pin() | Parked() | NeedlefulEnd():
            return ((note.column, note.row),)
        case LotArea() | LeftOut() | Shifted() | OtherThread() | NotWorked() | Added() | Unpicked():
            return (note.column, note.row), (note.column + note.columns - 1, note.row + note.rows - 1)
    return ()


def _place_in(notes: Sequence[Note], subject: Subject) -> tuple[int, bool]:
    """Where the note of a subject is or would be, and whether it is there."""
    at = bisect.bisect_left(notes, subject, key=lambda note: note.subject)
    return at, at < len(notes) and notes[at].subject == subject


def _after(notes: tuple[Note, ...], changed: Iterable[Rewritten]) -> tuple[Note, ...]:
    # Not sorted anew: after years there are thousands of needlefuls.
    found = list(notes)
    for each in changed:
        at, there = _place_in(found, each.note.subject)
        found[at : at + there] = [] if each.new is None else [each.new]
    return tuple(found)


def _subject(note: Note) -> Subject:
    return note.subject
