"""What the diary window knows of the open chart: its sittings, and what came in each."""

from datetime import date
from functools import cached_property

from stitchview.canvas.desk import Desk
from stitchview.done.counts import in_halves
from stitchview.done.diary import BEFORE_ALL, Diary, Since, before, start_of
from stitchview.done.gains import Gains
from stitchview.done.newswords import hours_words, new_words
from stitchview.done.sittings import Sitting, day_of, moment
from stitchview.plan.forecast import day_totals


class DiaryBook:
    """The diary at one moment; make another after marks have changed. Raises `LayerError`."""

    def __init__(self, desk: Desk) -> None:
        self.chart = desk.chart
        self.diary = Diary(desk.chart, desk.strokes(), desk.notes)
        self.now = desk.tally.total()

    @cached_property
    def gains(self) -> tuple[Gains, ...]:
        """What came in each sitting, the first one first."""
        return tuple(self.diary.gains())

    @property
    def sittings(self) -> tuple[Sitting, ...]:
        """The sittings, the first one first."""
        return self.diary.sittings

    def line(self, number: int) -> str:
        """One sitting in a line."""
        sitting, gains = self.sittings[number], self.gains[number]
        began = moment(sitting.began_ms)
        stitches = "1 stitch" if gains.stitches == 1 else f"{in_halves(gains.stitches)} stitches"
        told = f"{began.day} {began:%b %Y, %H:%M}: {stitches}, {hours_words(sitting.minutes)}"
        if sitting.minutes >= 1 and gains.stitches > 0:
            told += f", {gains.stitches / sitting.minutes * 60:,.0f} an hour"
        return told

    def since_sitting(self, number: int) -> Since:
        """What is new since a sitting began."""
        return self.diary.since(before(self.sittings[number]))

    def since_day(self, day: date) -> Since:
        """What is new since a day began; raises `CommandError` for a day that is none."""
        return self.diary.since(start_of(day))

    def all(self) -> Since:
        """All that was ever stitched."""
        return self.diary.since(BEFORE_ALL)

    def words(self, since: Since) -> str:
        """What is new, to be read out."""
        begin = moment(since.sittings[0].began_ms) if since.sittings else None
        return " ".join(new_words(self.chart, begin, since.gains, since.sittings, self.now))

    def a_sitting(self) -> list[float]:
        """Stitches of each sitting."""
        return [float(each.stitches) for each in self.gains]

    def a_day(self, today: date) -> list[float]:
        """Stitches of every day since the first sitting, 0 for days without."""
        days = [day_of(each) for each in self.sittings]
        return day_totals(list(zip(days, self.a_sitting(), strict=True)), today)
