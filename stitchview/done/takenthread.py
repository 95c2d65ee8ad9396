"""A thread that one piece uses instead of a printed one, as the workbasket tells other pieces of it."""

from dataclasses import dataclass
from typing import Any

from stitchview.chart.model import Chart, OwnEntry
from stitchview.done.notebook import Notes
from stitchview.done.usedinstead import OwnThread, UsedInstead
from stitchview.done.usedkey import several


@dataclass(frozen=True, slots=True)
class TakenThread:
    """The thread taken, what it is used `instead_of`, "" if for none, and so many `skeins`; 0 if not told.

    `colour` is #RRGGBB; `time` is when she noted it, in ms since 1970, UTC.
    """

    name: str
    number: str = ""
    range: str = ""
    kind: str = ""
    colour: str = ""
    lot: str = ""
    skeins: float = 0.0
    instead_of: str = ""
    time: int = 0


def taken_threads(chart: Chart, notes: Notes) -> tuple[TakenThread, ...]:
    """What the workbasket is told of threads used in the whole piece, and in areas of it."""
    entries = {entry.code: entry for entry in chart.key if isinstance(entry, OwnEntry)}
    own = ((each, entries[each.id]) for each in notes.own_threads if each.id in entries)
    whole = (_taken(each, each.name or each.number) for each in notes.used_instead)
    return (
        *whole,
        *(_taken(each, several(entry.instead_of)) for each, entry in own),
    )


def _taken(note: UsedInstead | OwnThread, instead_of: str) -> TakenThread:
    return TakenThread(
        note.used_name,
        note.used_number,
        note.range,
        note.kind,
        note.colour.hex,
        note.lot,
        note.skeins,
        instead_of,
        note.time,
    )


def taken_read(told: Any) -> TakenThread | None:
    """The thread that a member of the basket's file tells of; None for what makes no sense."""
    if not isinstance(told, dict):
        return None
    texts = ("name", "number", "range", "kind", "colour", "lot", "instead_of")
    found = {each: told[each] for each in texts if isinstance(told.get(each), str)}
    skeins, time = told.get("skeins", 0), told.get("time", 0)
    if not (found.get("name") or found.get("number")):
        return None
    return TakenThread(
        **{"name": "", **found},
        skeins=float(skeins) if isinstance(skeins, int | float) and 0 <= skeins < 1e6 else 0.0,
        time=time if isinstance(time, int) and time >= 0 else 0,
    )
