"""Notes on threads used instead of printed ones as a stroke of the file holds them, written and read."""

from stitchview.chart.colour import Colour
from stitchview.done.notefields import MOST_WHOLE, Members, length, text, whole
from stitchview.done.usedinstead import UsedInstead

Origin = tuple[int, int]


def used_members(note: UsedInstead) -> Members:
    """What the file says of a note."""
    return {
        **{"name": note.name, "number": note.number},
        **{"used_name": note.used_name, "used_number": note.used_number, "kind": note.kind},
        **{"colour": note.colour.hex, "lot": note.lot, "range": note.range},
        **{"skeins": note.skeins, "time": note.time},
    }


def used_instead(told: Members, _: Origin) -> UsedInstead:
    """Read a thread used instead; raises `MalformedStroke`, `ValueError` or `CommandError`."""
    return UsedInstead(
        text(told, "name"),
        text(told, "number"),
        text(told, "used_name"),
        text(told, "used_number"),
        text(told, "kind"),
        Colour.from_hex(text(told, "colour")),
        text(told, "lot"),
        text(told, "range"),
        length(told, "skeins"),
        whole(told, "time", MOST_WHOLE),
    )
