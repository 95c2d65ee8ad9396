"""Recorded differences as a stroke of the file holds them: their members, written and read."""

from stitchview.done.differences import Added, Difference, NotWorked, OtherThread, Shifted
from stitchview.done.notefields import Members, identity, text, whole

Origin = tuple[int, int]


def difference_members(note: Difference, origin: Origin) -> Members:
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


def _code_or_any(told: Members, name: str) -> str:
    """The code of a key entry, or no text for any of them."""
    return identity(told, name) if text(told, name) else ""


def _area(told: Members, origin: Origin) -> tuple[int, int, int, int]:
    corner = whole(told, "column") - origin[0], whole(told, "row") - origin[1]
    return (*corner, whole(told, "columns"), whole(told, "rows"))
