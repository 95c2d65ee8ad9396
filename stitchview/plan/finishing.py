"""All that can be told of a piece at its end: dates, hours, thread, cloth, and what another can learn."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from stitchview.chart.model import Chart
from stitchview.chart.threadname import ThreadName, identity_of
from stitchview.done.diary import Diary
from stitchview.done.differences import Difference
from stitchview.done.finishnotes import Finished, ThreadTest
from stitchview.done.ledger import Ledger
from stitchview.done.leftout import LeftOut
from stitchview.done.marks import Marks
from stitchview.done.notebook import Notes
from stitchview.done.sittings import Pauses, day_of
from stitchview.done.strokes import StrokeRow
from stitchview.errors import CommandError
from stitchview.follow.habits import Habits
from stitchview.follow.lastthings import LastThings, last_things
from stitchview.plan.cameout import CameOut, came_out, stitched_extent
from stitchview.plan.clothcount import ClothCount
from stitchview.plan.clothsize import Size
from stitchview.plan.finishedpieces import FinishedPiece, UsedThread
from stitchview.plan.need import Need, ThreadNeed, need
from stitchview.plan.piece import Piece, manner_of
from stitchview.plan.usage import Stretch
from stitchview.plan.usednotes import supply_of

REMEDY = "Mark what is stitched, or leave it out in the list of the last things."
USUAL_PAUSES = Pauses()
RATED_MINUTES = 1.0
"""A sitting shorter than this says nothing of a rate: its marks were made all at once."""


@dataclass(frozen=True, slots=True)
class Timing:
    """When it was worked, in how many sittings and minutes; None and 0 where the diary is empty.

    `rated_stitches` were added in sittings that took `rated_minutes`; those told by no time are left out.
    """

    begun: date | None = None
    last: date | None = None
    sittings: int = 0
    minutes: float = 0.0
    rated_stitches: float = 0.0
    rated_minutes: float = 0.0

    @property
    def rate(self) -> float:
        """Stitches an hour; 0 where it cannot be told."""
        return 60 * self.rated_stitches / self.rated_minutes if self.rated_minutes else 0.0


@dataclass(frozen=True, slots=True)
class ThreadEnd:
    """One thread at the end: its need, the skeins she said it took (None for none said), and its test."""

    need: ThreadNeed
    skeins: float | None
    test: ThreadTest | None


@dataclass(frozen=True, eq=False, slots=True)
class Ending:
    """Everything about a piece at its end; `came` is None where nothing was measured."""

    chart: Chart
    count: ClothCount
    note: Finished | None
    last: LastThings
    left_out: tuple[LeftOut, ...]
    differences: tuple[Difference, ...]
    timing: Timing
    came: CameOut | None
    threads: tuple[ThreadEnd, ...]
    own: tuple[Stretch, ...]

    @property
    def ready(self) -> bool:
        """Whether nothing is left but what is left out on purpose."""
        return self.last.finished


def ending_of(
    marks: Marks,
    rows: Sequence[StrokeRow],
    piece: Piece,
    habits: Habits,
    ledger: Ledger | None = None,
    pauses: Pauses = USUAL_PAUSES,
) -> Ending:
    """The end of a piece as its marks, strokes and notes tell it; O(strokes + chart).

    A `ledger` that is kept goes through new strokes only.
    Raises `CommandError` for a cloth on which nobody can stitch, `MalformedStroke` for strokes that
    make no sense.
    """
    chart, notes = marks.chart, marks.notes
    count = piece.count_on(chart.cloth)
    note = notes.finished[0] if notes.finished else None
    came = None
    if note is not None and note.measured:
        came = came_out(stitched_extent(marks), count, note.width_mm, note.height_mm)
    supply = supply_of(chart, notes)
    reserve = piece.reserve
    manner = manner_of(habits, reserve.strands, reserve.back_strands)
    found = need(chart, marks, count.pitch, manner, replace(supply, margins=dict(reserve.shares)))
    return Ending(
        chart,
        count,
        note,
        last_things(marks, (0, 0), count.pitch),
        notes.left_out,
        notes.differences,
        timing_of(chart, rows, notes, ledger, pauses),
        came,
        _threads(found, notes),
        tuple(each for each in supply.stretches if each.says_something),
    )


def finish_note(ending: Ending, marks: Marks, day: date, size: Size | None) -> Finished:
    """The note that a piece is finished; `size` is what was measured, None for nothing.

    Raises `CommandError` while something is left, for a day to come, and for a size that cannot be.
    """
    if not ending.ready:
        left = "1 stitch is" if ending.last.left == 1 else f"{ending.last.left:,} stitches are"
        raise CommandError(f"The piece is not finished: {left} left.", REMEDY)
    if day > date.today():
        raise CommandError(f"{day.isoformat()} is still to come.", "Give the day on which it was finished.")
    if size is None:
        return Finished(day.isoformat())
    note = Finished(day.isoformat(), size.width_mm, size.height_mm)
    came_out(stitched_extent(marks), ending.count, size.width_mm, size.height_mm)
    return note


def timing_of(
    chart: Chart,
    rows: Sequence[StrokeRow],
    notes: Notes,
    ledger: Ledger | None = None,
    pauses: Pauses = USUAL_PAUSES,
) -> Timing:
    """When a piece was worked and how fast, from its strokes; struck sittings are left out."""
    diary, ledger = Diary(chart, rows, notes, pauses), ledger or Ledger(chart)
    ledger.take(rows)
    worked = ledger.by_sitting(diary.sittings)
    true = [(each, float(worked[at].sum())) for at, each in enumerate(diary.sittings) if not each.struck]
    if not true:
        return Timing()
    rated = [(each.minutes, stitches) for each, stitches in true if each.minutes >= RATED_MINUTES]
    stitches = sum(each for _, each in rated)
    return Timing(
        day_of(true[0][0]),
        day_of(true[-1][0]),
        len(true),
        sum(each.minutes for each, _ in true),
        max(0.0, stitches),
        sum(minutes for minutes, _ in rated) if stitches > 0 else 0.0,
    )


def learnt_from(ending: Ending, identity: str) -> FinishedPiece | None:
    """What another piece can learn from one that is finished; None while it is not."""
    if ending.note is None:
        return None
    sums: dict[ThreadName, UsedThread] = {}
    names = {each.need.thread.identity: each.need.thread for each in ending.threads}
    for each in ending.own:
        thread = names.get(each.thread)
        if thread is None:
            continue
        before = sums.get(each.thread)
        reckoned, used = (before.reckoned_mm, before.used_mm) if before is not None else (0.0, 0.0)
        sums[each.thread] = UsedThread(
            thread.name, thread.number, thread.kind, reckoned + each.reckoned_mm, used + each.used_mm
        )
    ratios = ending.came.ratios if ending.came is not None and ending.came.likely else None
    return FinishedPiece(
        identity,
        ending.chart.title,
        ending.note.day,
        ending.count,
        ratios,
        tuple(sums.values()),
        ending.timing.rated_stitches,
        ending.timing.rated_minutes / 60,
    )


def _threads(found: Need, notes: Notes) -> tuple[ThreadEnd, ...]:
    used = {identity_of(each.name, each.number): each.skeins for each in notes.used_in_all}
    tests = {identity_of(each.name, each.number): each for each in notes.tests}
    return tuple(
        ThreadEnd(each, used.get(each.thread.identity), tests.get(each.thread.identity))
        for each in found.threads
    )
