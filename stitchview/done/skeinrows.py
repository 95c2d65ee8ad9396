"""Notes about skeins as a stroke of the file holds them: their members, written and read."""

from stitchview.done.notefields import MOST_WHOLE, Members, identity, length, text, whole
from stitchview.done.skeinnotes import (
    MOST_STRAND_MM,
    LotArea,
    LotTime,
    SkeinNote,
    SkeinSize,
)
from stitchview.done.usedinstead import OwnThread, UsedInstead
from stitchview.done.usedrows import used_members

Origin = tuple[int, int]
SkeinKind = SkeinNote | SkeinSize | LotArea | LotTime | UsedInstead | OwnThread


def skein_members(note: SkeinKind, origin: Origin) -> Members:
    """What the file says of a note, squares as addresses."""
    if isinstance(note, UsedInstead | OwnThread):
        return used_members(note)
    thread = {"name": note.name, "number": note.number}
    match note:
        case SkeinNote():
            event = {"event": note.event, "skeins": note.skeins, "lot": note.lot}
            return {"id": note.id, **thread, **event, "reckoned_mm": note.reckoned_mm, "time": note.time}
        case SkeinSize():
            return {**thread, "length_m": note.length_m, "strands": note.strands, "grams": note.grams}
        case LotArea():
            corner = {"column": note.column + origin[0], "row": note.row + origin[1]}
            size = {"columns": note.columns, "rows": note.rows}
            return {"id": note.id, **thread, "lot": note.lot, **corner, **size}
        case LotTime():
            return {"id": note.id, **thread, "lot": note.lot, "since": note.since, "until": note.until}


def skein_note(told: Members, _: Origin) -> SkeinNote:
    """Read what became of skeins; raises `MalformedStroke`, `ValueError` or `CommandError`, as all here."""
    return SkeinNote(
        identity(told, "id"),
        *_thread(told),
        text(told, "event"),
        length(told, "skeins"),
        text(told, "lot"),
        length(told, "reckoned_mm", MOST_STRAND_MM),
        whole(told, "time", MOST_WHOLE),
    )


def skein_size(told: Members, _: Origin) -> SkeinSize:
    """Read how a thread is sold."""
    name, number = _thread(told)
    sizes = length(told, "length_m"), whole(told, "strands"), length(told, "grams")
    return SkeinSize(name, number, *sizes)


def lot_area(told: Members, origin: Origin) -> LotArea:
    """Read an area of one lot."""
    corner = whole(told, "column") - origin[0], whole(told, "row") - origin[1]
    size = whole(told, "columns"), whole(told, "rows")
    return LotArea(identity(told, "id"), *_thread(told), text(told, "lot"), *corner, *size)


def lot_time(told: Members, _: Origin) -> LotTime:
    """Read a time of one lot."""
    times = whole(told, "since", MOST_WHOLE), whole(told, "until", MOST_WHOLE)
    return LotTime(identity(told, "id"), *_thread(told), text(told, "lot"), *times)


def _thread(told: Members) -> tuple[str, str]:
    return text(told, "name"), text(told, "number")
