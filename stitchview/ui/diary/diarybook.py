"""What the diary window knows of the open chart: its sittings, and what came in each."""

from dataclasses import dataclass, field
from datetime import date, datetime

import numpy as np

from stitchview.done.counts import Progress, in_halves
from stitchview.done.diary import BEFORE_ALL, Diary, Since, before, start_of
from stitchview.done.ids import time_of
from stitchview.done.ledger import Worked
from stitchview.done.newswords import hours_words, new_words
from stitchview.done.sittingnotes import TimePin
from stitchview.done.sittings import Sitting, day_of, moment
from stitchview.done.sittingwords import photos_of
from stitchview.plan.forecast import day_totals
from stitchview.plan.pace import most_threads

MOST_THREADS_TOLD = 5


@dataclass(frozen=True, eq=False)
class DiaryBook:
    """The diary at one moment, reckoned beside the window; make another after marks have changed.

    `worked` is what each sitting added by key number, shape (sittings, key entries + 1).
    """

    diary: Diary
    now: Progress
    worked: Worked
    pins: tuple[TimePin, ...] = field(default=())

    @property
    def sittings(self) -> tuple[Sitting, ...]:
        """The sittings, the first one first, those struck out too."""
        return self.diary.sittings

    @property
    def true(self) -> list[int]:
        """The numbers of the sittings that are not struck out."""
        return [number for number, each in enumerate(self.sittings) if not each.struck]

    def stitches(self, number: int) -> float:
        """What a sitting added."""
        return float(self.worked[number].sum())

    def line(self, number: int) -> str:
        """One sitting in a line."""
        sitting, stitches = self.sittings[number], self.stitches(number)
        began = moment(sitting.began_ms)
        counted = "1 stitch" if stitches == 1 else f"{in_halves(stitches)} stitches"
        told = f"{began.day} {began:%b %Y, %H:%M}: {counted}"
        if sitting.struck:
            return f"{told}, no sitting"
        told += f", {hours_words(sitting.minutes)}"
        if sitting.minutes >= 1 and stitches > 0:
            told += f", {stitches / sitting.minutes * 60:,.0f} an hour"
        if photos_of(sitting, self.diary.notes):
            told += ", photograph"
        return told

    def threads_words(self, number: int) -> str:
        """Which threads a sitting used, the most first."""
        key, worked = self.diary.chart.key, self.worked[number]
        most = most_threads(worked, MOST_THREADS_TOLD)
        named = [f"{key[at - 1].name or key[at - 1].code} ({in_halves(count)})" for at, count in most]
        rest = int(np.count_nonzero(worked > 0)) - len(most)
        if rest > 0:
            named.append(f"{rest} more")
        return ", ".join(named)

    def before_sitting(self, number: int) -> bytes:
        """The moment before a sitting began."""
        return before(self.sittings[number])

    def since(self, begin: bytes) -> Since:
        """What is new since a moment."""
        return self.diary.since(begin)

    def words(self, since: Since, begin: bytes) -> str:
        """What is new since a moment, to be read out."""
        return " ".join(new_words(self.diary.chart, _told(begin), since.gains, since.sittings, self.now))

    def a_sitting(self) -> list[float]:
        """Stitches of each sitting that is one."""
        return [self.stitches(number) for number in self.true]

    def dayed(self) -> list[tuple[date, float]]:
        """Stitches of each sitting that is one, with its day."""
        return [(day_of(self.sittings[number]), self.stitches(number)) for number in self.true]

    def a_day(self, today: date) -> list[float]:
        """Stitches of every day since the first sitting, 0 for days without."""
        return day_totals(self.dayed(), today)


def begin_of_day(day: date) -> bytes:
    """The moment a day begins; raises `CommandError` for a day that is none."""
    return start_of(day)


def _told(begin: bytes) -> datetime | None:
    return None if begin == BEFORE_ALL else moment(time_of(begin) + 1)
