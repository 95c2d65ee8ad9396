"""Sittings, told from the strokes themselves: when she sat down, when she stopped, how long she was at it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, tzinfo

from stitchview.done.ids import time_of
from stitchview.errors import CommandError

MINUTE_MS = 60_000
USUAL_GAP_MINUTES = 45
"""A pause so long ends a sitting (common practice; a setting)."""
USUAL_IDLE_MINUTES = 5
"""A pause longer than this is a cup of tea, not stitching (common practice; a setting)."""


@dataclass(frozen=True, slots=True)
class Pauses:
    """Minutes of quiet: `gap` ends a sitting, more than `idle` within one is not counted as work."""

    gap: float = USUAL_GAP_MINUTES
    idle: float = USUAL_IDLE_MINUTES

    def __post_init__(self) -> None:
        if not 0 < self.idle <= self.gap <= 24 * 60:
            raise CommandError(
                f"A sitting cannot end after {self.gap:g} minutes with {self.idle:g} minutes of pause in it.",
                "Let a pause be above 0 and a sitting end after a longer one, within a day.",
            )


@dataclass(frozen=True, slots=True)
class Sitting:
    """Strokes made one after the other without a long pause.

    `first` and `last` are the ids of its first and last stroke, whose times are `began_ms` and
    `ended_ms`, in milliseconds since 1970, UTC; `work_ms` is the time between without idle pauses.
    What she told of it goes before what was measured: `minutes_told`, `note`, and `struck` where it
    was no sitting at all.
    """

    first: bytes
    last: bytes
    strokes: int
    work_ms: int
    minutes_told: float | None = None
    struck: bool = False
    note: str = ""

    @property
    def began_ms(self) -> int:
        """When its first stroke was made."""
        return time_of(self.first)

    @property
    def ended_ms(self) -> int:
        """When its last stroke was made."""
        return time_of(self.last)

    @property
    def minutes(self) -> float:
        """Minutes at work: as she told, else as measured."""
        return self.measured if self.minutes_told is None else self.minutes_told

    @property
    def measured(self) -> float:
        """Minutes at work as the strokes tell them."""
        return self.work_ms / MINUTE_MS

    def holds(self, stroke_id: bytes) -> bool:
        """Whether a stroke was made in it, or would have been."""
        return self.first <= stroke_id <= self.last


def sittings_of(
    stroke_ids: Iterable[bytes], pauses: Pauses | None = None, seams: Mapping[bytes, bool] | None = None
) -> tuple[Sitting, ...]:
    """The sittings that strokes were made in, from their ids in rising order.

    An id carries the time of its stroke and never runs backwards (RFC 9562, version 7), so a clock set
    back makes no sitting of negative length. `seams` tells of some strokes whether a sitting begins with
    them, whatever the pause before was. O(strokes).
    """
    pauses, seams = pauses or Pauses(), seams or {}
    gap_ms, idle_ms = (round(minutes * MINUTE_MS) for minutes in (pauses.gap, pauses.idle))
    found: list[Sitting] = []
    for each in stroke_ids:
        quiet = time_of(each) - found[-1].ended_ms if found else gap_ms + 1
        if not found or seams.get(each, quiet > gap_ms):
            found.append(Sitting(each, each, 1, 0))
        else:
            so_far = found[-1]
            work = so_far.work_ms + (quiet if quiet <= idle_ms else 0)
            found[-1] = Sitting(so_far.first, each, so_far.strokes + 1, work)
    return tuple(found)


def day_of(sitting: Sitting, zone: tzinfo | None = None) -> date:
    """The day the sitting belongs to: the local one it began on, though it may have gone past midnight."""
    return moment(sitting.began_ms, zone).date()


def moment(ms: int, zone: tzinfo | None = None) -> datetime:
    """A time in milliseconds since 1970, UTC, on the clock of `zone`, or of this computer."""
    return datetime.fromtimestamp(ms / 1000, zone).astimezone(zone)


def day_words(day: date) -> str:
    """A day in words: "3 March 2026"."""
    return f"{day.day} {day:%B %Y}"
