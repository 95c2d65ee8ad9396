"""The diary that the strokes write by themselves: sittings, and what was new in each or since a day."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, tzinfo
from functools import cached_property

from stitchview.chart.model import Chart
from stitchview.done.gains import Gains, gains_between
from stitchview.done.handwork import worked
from stitchview.done.ids import compose
from stitchview.done.marks import open_states
from stitchview.done.notebook import NOTHING_NOTED, Notes
from stitchview.done.pasts import states_after
from stitchview.done.sittings import Pauses, Sitting
from stitchview.done.sittingwords import sittings_told
from stitchview.done.strokes import StrokeRow
from stitchview.done.timeline import Arrays
from stitchview.errors import CommandError

BEFORE_ALL = bytes(16)


@dataclass(frozen=True, eq=False)
class Since:
    """What is new after a moment: the states `before` it and `after` the last stroke, and the gains."""

    before: Arrays
    after: Arrays
    gains: Gains
    sittings: tuple[Sitting, ...]


@dataclass(frozen=True, eq=False)
class Diary:
    """All strokes on a chart in the order of their ids, told as sittings, with what she noted of them."""

    chart: Chart
    rows: Sequence[StrokeRow]
    notes: Notes = NOTHING_NOTED
    pauses: Pauses = Pauses()  # noqa: RUF009 (frozen, so one default can be shared)

    @cached_property
    def worked(self) -> tuple[bytes, ...]:
        """The strokes made over the cloth."""
        return tuple(worked(self.rows))

    @cached_property
    def sittings(self) -> tuple[Sitting, ...]:
        """The sittings, the first one first, as she corrected them; those struck out are among them."""
        return sittings_told(self.worked, self.notes, self.pauses)

    def since(self, moment: bytes) -> Since:
        """What is new after the moment, an id below those of all strokes that came after it."""
        last = self.rows[-1].id if self.rows else BEFORE_ALL
        before, after = states_after(self.chart, self.rows, [moment, max(moment, last)])
        sittings = tuple(each for each in self.sittings if each.last > moment and not each.struck)
        return Since(before, after, gains_between(self.chart, before, after), sittings)

    def gains(self) -> Iterator[Gains]:
        """What was new in each sitting, the first one first; O(chart) each."""
        before = open_states(self.chart)
        for after in states_after(self.chart, self.rows, [each.last for each in self.sittings]):
            yield gains_between(self.chart, before, after)
            before = after

    def states(self, ends: Sequence[bytes]) -> Iterator[Arrays]:
        """How the piece was after each of some strokes, ids in rising order."""
        return states_after(self.chart, self.rows, ends)

    def before_last_sitting(self) -> bytes:
        """The moment before the last sitting began; before all where there was none."""
        true = [each for each in self.sittings if not each.struck]
        return before(true[-1]) if true else BEFORE_ALL


def before(sitting: Sitting) -> bytes:
    """The moment before a sitting began, as an id."""
    return _just_before(sitting.began_ms)


def start_of(day: date, zone: tzinfo | None = None) -> bytes:
    """The moment when a day begins on the clock of `zone`, or of this computer, as an id.

    Raises `CommandError` for a day before 1970 or thousands of years on.
    """
    try:
        begins = datetime.combine(day, time(), zone).astimezone(zone)
        return _just_before(int(begins.timestamp() * 1000))
    except (OverflowError, ValueError, OSError) as error:
        raise CommandError(f"{day} is no day of the diary.", "Give a day since 1970.") from error


def at_ms(ms: int) -> bytes:
    """A moment told in milliseconds since 1970, as an id: what was made by then lies below it."""
    return compose(ms, (1 << 74) - 1)


def _just_before(ms: int) -> bytes:
    if ms < 1:
        raise ValueError("before 1970")
    return compose(ms - 1, (1 << 74) - 1)
