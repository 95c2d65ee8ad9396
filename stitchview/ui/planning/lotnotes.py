"""What she tells of dye lots: where, and between which days, a thread was of which lot."""

from datetime import date, datetime, time, timedelta

from stitchview.chart.area import Area
from stitchview.chart.threadname import identity_of
from stitchview.done.ids import new_name
from stitchview.done.notebook import Notes
from stitchview.done.sittings import day_words
from stitchview.done.skeinnotes import LotArea, LotTime
from stitchview.plan.stashwords import skeins_words
from stitchview.plan.threads import BoughtThread

Told = LotArea | LotTime


def told_of(notes: Notes, thread: BoughtThread) -> list[Told]:
    """What was told of the lots of a thread, areas first, each in the order in which it was told."""
    told: tuple[Told, ...] = (*notes.lot_areas, *notes.lot_times)
    return [each for each in told if identity_of(each.name, each.number) == thread.identity]


def lot_of_area(thread: BoughtThread, lot: str, area: Area) -> LotArea:
    """The note that all that is done of a thread in an area is of one lot; raises `CommandError`."""
    corner = area.column, area.row, area.columns, area.rows
    return LotArea(new_name(), thread.name, thread.number, " ".join(lot.split()), *corner)


def lot_of_days(thread: BoughtThread, lot: str, first: date, last: date) -> LotTime:
    """The note that all stitched from one day to another, both whole, is of one lot."""
    since, until = (_begins(day) for day in (min(first, last), max(first, last) + timedelta(days=1)))
    return LotTime(new_name(), thread.name, thread.number, " ".join(lot.split()), since, until)


def told_words(note: Told) -> str:
    """A note in a line; squares are counted from 1 at the top left."""
    lot = f"Lot {note.lot}" if note.lot else "No lot"
    if isinstance(note, LotTime):
        last = _day(note.until - 1)
        first = _day(note.since)
        days = day_words(first) if first == last else f"{day_words(first)} to {day_words(last)}"
        return f"{lot}: stitched {days}"
    return (
        f"{lot}: columns {note.column + 1:,} to {note.column + note.columns:,},"
        f" rows {note.row + 1:,} to {note.row + note.rows:,}"
    )


def area_of(note: LotArea) -> Area:
    """The squares that a note names."""
    return Area(note.column, note.row, note.columns, note.rows)


def lots_had(notes: Notes, thread: BoughtThread) -> str:
    """Which lots she noted skeins of, and how many she got of each."""
    got: dict[str, float] = {}
    for note in notes.skeins:
        if identity_of(note.name, note.number) == thread.identity and note.lot:
            got[note.lot] = got.get(note.lot, 0.0) + (note.skeins if note.event == "got" else 0.0)
    return ", ".join(f"{lot} (got {skeins_words(skeins)})" if skeins else lot for lot, skeins in got.items())


def _begins(day: date) -> int:
    """When a day begins where she is, in ms since 1970, UTC."""
    return int(datetime.combine(day, time.min).astimezone().timestamp() * 1000)


def _day(moment_ms: int) -> date:
    return datetime.fromtimestamp(moment_ms / 1000).astimezone().date()
