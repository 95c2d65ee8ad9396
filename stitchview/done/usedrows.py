"""Notes on threads that the key does not print as a stroke of the file holds them, written and read."""

from stitchview.chart.colour import Colour
from stitchview.done.notefields import MOST_WHOLE, Members, identity, length, text, whole
from stitchview.done.usedinstead import OwnThread, UsedInstead

Origin = tuple[int, int]


def used_members(note: UsedInstead | OwnThread) -> Members:
    """What the file says of a note."""
    if isinstance(note, OwnThread):
        told: Members = {"id": note.id}
    else:
        told = {"name": note.name, "number": note.number}
    return {
        **told,
        **{"used_name": note.used_name, "used_number": note.used_number, "kind": note.kind},
        **{"colour": note.colour.hex, "lot": note.lot, "range": note.range},
        **{"skeins": note.skeins, "time": note.time},
    }


def used_instead(told: Members, _: Origin) -> UsedInstead:
    """Read a thread used instead; raises `MalformedStroke`, `ValueError` or `CommandError`."""
    return UsedInstead(text(told, "name"), text(told, "number"), *_used(told))


def own_thread(told: Members, _: Origin) -> OwnThread:
    """Read a thread of her own; raises `MalformedStroke`, `ValueError` or `CommandError`."""
    return OwnThread(identity(told, "id"), *_used(told))


def _used(told: Members) -> tuple[str, str, str, Colour, str, str, float, int]:
    return (
        text(told, "used_name"),
        text(told, "used_number"),
        text(told, "kind"),
        Colour.from_hex(text(told, "colour")),
        text(told, "lot"),
        text(told, "range"),
        length(told, "skeins"),
        whole(told, "time", MOST_WHOLE),
    )
