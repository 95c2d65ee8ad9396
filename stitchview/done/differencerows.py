"""Recorded differences as a stroke of the file holds them: their members, written and read."""

from stitchview.done.differences import Added, Difference, NotWorked, OtherThread, Shifted
from stitchview.done.notefields import Members, identity, length, text, whole
from stitchview.done.unpicked import MOST_STRAND_MM, Unpicked

Origin = tuple[int, int]


def difference_members(note: Difference | Unpicked, origin: Origin) -> Members:
    """What the file says of a difference, squares as addresses."""
    corner = {"column": note.column + origin[0], "row": note.row + origin[1]}
    placed = {"id": note.id, **corner, "columns": note.columns, "rows": note.rows}
    match note:
        case Shifted():
            return {**placed, "across": note.across, "down": note.down}
        case OtherThread():
            return {**placed, "sort": note.sort, "was": note.was, "code": note.code}
        case NotWorked():
            return {**placed, "sort": note.sort, "code": note.code}
        case Added():
            return {**placed, "code": note.code}
        case Unpicked():
            thread = {"name": note.name, "number": note.number}
            return {**placed, **thread, "stitches": note.stitches, "lost_mm": note.lost_mm}


def shifted(told: Members, origin: Origin) -> Shifted:
    """Read a block that lies off; raises `MalformedStroke` or `ValueError`, as all here."""
    return Shifted(identity(told, "id"), *_area(told, origin), whole(told, "across"), whole(told, "down"))


def other_thread(told: Members, origin: Origin) -> OtherThread:
    """Read stitches that are of another thread."""
    sort, was = text(told, "sort"), _code_or_any(told, "was")
    return OtherThread(identity(told, "id"), *_area(told, origin), sort, was, identity(told, "code"))


def not_worked(told: Members, origin: Origin) -> NotWorked:
    """Read stitches that are not worked."""
    sort, code = text(told, "sort"), _code_or_any(told, "code")
    return NotWorked(identity(told, "id"), *_area(told, origin), sort, code)


def added(told: Members, origin: Origin) -> Added:
    """Read stitches that were added."""
    return Added(identity(told, "id"), *_area(told, origin), identity(told, "code"))


def unpicked(told: Members, origin: Origin) -> Unpicked:
    """Read what was unpicked."""
    lost = whole(told, "stitches"), length(told, "lost_mm", MOST_STRAND_MM)
    thread = text(told, "name"), text(told, "number")
    return Unpicked(identity(told, "id"), *thread, *_area(told, origin), *lost)


def _code_or_any(told: Members, name: str) -> str:
    """The code of a key entry, or no text for any of them."""
    return identity(told, name) if text(told, name) else ""


def _area(told: Members, origin: Origin) -> tuple[int, int, int, int]:
    corner = whole(told, "column") - origin[0], whole(told, "row") - origin[1]
    return (*corner, whole(told, "columns"), whole(told, "rows"))
