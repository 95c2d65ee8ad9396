"""From what she noted of skeins and needlefuls: her use of thread, and what she still has."""

import math
import time
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from stitchview.chart.model import Chart
from stitchview.chart.threadname import ThreadName, identity_of
from stitchview.done.ids import made_at, new_name
from stitchview.done.notebook import Notes
from stitchview.done.notes import NeedlefulEnd
from stitchview.done.skeinnotes import FINISHED, GOT, LEFT, SkeinNote
from stitchview.plan.need import Supply, ThreadNeed
from stitchview.plan.skeins import Skein
from stitchview.plan.threads import BoughtThread, bought_threads
from stitchview.plan.usage import USUAL_FACTOR, Stretch

GUESS_SKEINS = 0.05
"""How much a skein that is begun may be out when she says what is left of it (an estimate)."""
NEEDLEFUL_LOOSE = 0.06
"""Needlefuls say nothing of what is unpicked, frayed or lost besides (an estimate)."""


@dataclass(frozen=True, slots=True)
class Holding:
    """She had so many skeins when `reckoned_mm` of strand was done by geometry; bought ones counted in.

    `lot` is that of the skein begun or bought last, "" if she told none.
    """

    skeins: float
    reckoned_mm: float
    lot: str = ""


def supply_of(chart: Chart, notes: Notes, known: Supply | None = None) -> Supply:
    """What is `known` and what her notes on this chart add: sizes of skeins, and what she used."""
    known = known or Supply()
    sizes = {
        identity_of(each.name, each.number): Skein(each.length_m, each.strands, each.grams)
        for each in notes.skein_sizes
    }
    supply = replace(known, skeins={**known.skeins, **sizes})
    threads = {each.identity: each for each in bought_threads(chart)}
    in_all = _in_all(supply, threads, notes)
    stretches = [*known.stretches, *in_all]
    settled = {each.thread for each in in_all}
    for identity, told in _by_thread(notes.skeins).items():
        if identity in threads and identity not in settled:
            thread = threads[identity]
            book = _Book(supply.skein_of(thread), identity, thread.kind)
            stretches += book.read(told)
    stretches += (each for each in _of_needlefuls(chart, notes.needlefuls) if each.thread not in settled)
    return replace(supply, stretches=tuple(stretches))


def holding_of(need: ThreadNeed, notes: Notes) -> Holding | None:
    """What she has of a thread by her notes; None where she told nothing of it."""
    told = _by_thread(notes.skeins).get(need.thread.identity, [])
    book = _Book(need.skein, need.thread.identity, need.thread.kind)
    book.read(told)
    if book.shelf is None:
        return None
    lots = [each.lot for each in told if each.lot]
    shelf = max(0.0, book.shelf - _lost_mm(need, notes, told[-1].time) / need.skein.strand_mm)
    return Holding(shelf, book.at_mm or 0.0, lots[-1] if lots else "")


def _lost_mm(need: ThreadNeed, notes: Notes, since_ms: int) -> float:
    """Single strand lost by unpicking since her last word on the thread, which counted all before."""
    return sum(
        each.lost_mm
        for each in notes.unpicked
        if identity_of(each.name, each.number) == need.thread.identity and made_at(each.id) > since_ms
    )


def skein_note(need: ThreadNeed, event: str, skeins: float = 1.0, lot: str = "") -> SkeinNote:
    """The note that something became of skeins now; put it among the notes with `Notes.putting`.

    Raises `CommandError` for a number of skeins that one cannot have.
    """
    now = time.time_ns() // 1_000_000
    lot = " ".join(lot.split())
    return SkeinNote(
        new_name(), need.name, need.number, event, skeins, lot, max(0.0, need.done.reckoned_mm), now
    )


class _Book:
    """Goes through the notes on one thread: `shelf` skeins were there when `at_mm` was reckoned as done."""

    def __init__(self, skein: Skein, thread: ThreadName, kind: str) -> None:
        self._skein, self._thread, self._kind = skein, thread, kind
        self.shelf: float | None = None
        self.at_mm: float | None = None

    def read(self, notes: Iterable[SkeinNote]) -> list[Stretch]:
        """The stretches of work that the notes tell of, in the order in which they were made."""
        return [stretch for note in notes if (stretch := self._take(note)) is not None]

    def _take(self, note: SkeinNote) -> Stretch | None:
        if note.event == GOT:
            self.shelf = note.skeins + (self.shelf or 0.0)
            self.at_mm = note.reckoned_mm if self.at_mm is None else self.at_mm
            return None
        if note.event == LEFT:
            used = None if self.shelf is None else self.shelf - note.skeins
            return self._move(note, used, note.skeins, GUESS_SKEINS)
        if note.event == FINISHED:
            return self._finish(note)
        # A skein begun says only where the first one begins, if nothing else did.
        self.at_mm = note.reckoned_mm if self.at_mm is None else self.at_mm
        return None

    def _finish(self, note: SkeinNote) -> Stretch | None:
        if self.shelf is None:
            # Nobody told of a beginning: then the thread began with this skein.
            self.at_mm = self.at_mm or 0.0
            return self._move(note, note.skeins, None, 0.0)
        # What was begun is gone first, so whole skeins are there now.
        left = max(0.0, math.ceil(self.shelf - 1e-6) - note.skeins)
        return self._move(note, self.shelf - left, left, 0.0)

    def _move(self, note: SkeinNote, used: float | None, shelf: float | None, guess: float) -> Stretch | None:
        before, self.at_mm, self.shelf = self.at_mm, note.reckoned_mm, shelf
        if used is None or used <= 0 or before is None:
            return None
        used_mm = used * self._skein.strand_mm
        return Stretch(self._thread, self._kind, note.reckoned_mm - before, used_mm, guess / used)


def _in_all(supply: Supply, threads: Mapping[ThreadName, BoughtThread], notes: Notes) -> list[Stretch]:
    """What she said at the end that threads took in all; it goes before everything noted on the way."""
    found = []
    for each in notes.used_in_all:
        thread = threads.get(identity_of(each.name, each.number))
        if thread is not None and each.reckoned_mm > 0:
            used_mm = each.skeins * supply.skein_of(thread).strand_mm
            loose = GUESS_SKEINS / each.skeins
            found.append(Stretch(thread.identity, thread.kind, each.reckoned_mm, used_mm, loose))
    return found


def _by_thread(notes: Iterable[SkeinNote]) -> dict[ThreadName, list[SkeinNote]]:
    found: dict[ThreadName, list[SkeinNote]] = {}
    for note in notes:
        found.setdefault(identity_of(note.name, note.number), []).append(note)
    return found


def _of_needlefuls(chart: Chart, ends: Iterable[NeedlefulEnd]) -> Iterable[Stretch]:
    """Needlefuls used up with plain threads; a needleful leaves out what is lost between needlefuls."""
    entries = {entry.code: entry for entry in chart.key if not entry.blend}
    for end in ends:
        if end.used_up and end.code in entries:
            entry = entries[end.code]
            thread = identity_of(entry.name, entry.number)
            reckoned, used = (mm * entry.cross_strands for mm in (end.reckoned_mm, end.used_mm))
            yield Stretch(thread, entry.kind, reckoned, used * USUAL_FACTOR, NEEDLEFUL_LOOSE)
