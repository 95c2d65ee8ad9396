"""Notes about sittings as a stroke of the file holds them: their members, written and read."""

from stitchview.done.deflated import MalformedStroke
from stitchview.done.notefields import MOST_WHOLE, Members, identity, length, text, truth, whole
from stitchview.done.sittingnotes import ClothPhoto, SittingSeam, SittingWord, TimePin

Origin = tuple[int, int]
SittingKind = SittingSeam | SittingWord | ClothPhoto | TimePin


def sitting_members(note: SittingKind) -> Members:
    """What the file says of a note."""
    match note:
        case SittingSeam():
            return {"stroke": note.stroke, "begins": note.begins}
        case SittingWord():
            told = {"minutes": note.minutes, "struck": note.struck, "note": note.note}
            return {"stroke": note.stroke, **told}
        case ClothPhoto():
            file = {"file": note.file, "sha256": note.sha256, "size": note.size}
            return {"id": note.id, "stroke": note.stroke, **file}
        case TimePin():
            return {"id": note.id, "name": note.name, "time": note.time}


def sitting_seam(told: Members, _: Origin) -> SittingSeam:
    """Read where a sitting begins; raises `MalformedStroke`, `ValueError` or `CommandError`, as all here."""
    return SittingSeam(text(told, "stroke"), truth(told, "begins"))


def sitting_word(told: Members, _: Origin) -> SittingWord:
    """Read what she said of a sitting."""
    if "minutes" not in told:
        raise MalformedStroke("the “minutes” of a note are missing")
    minutes = None if told["minutes"] is None else length(told, "minutes")
    return SittingWord(text(told, "stroke"), minutes, truth(told, "struck"), text(told, "note"))


def cloth_photo(told: Members, _: Origin) -> ClothPhoto:
    """Read which photograph was taken in a sitting."""
    file = text(told, "file"), text(told, "sha256"), whole(told, "size", MOST_WHOLE)
    return ClothPhoto(identity(told, "id"), text(told, "stroke"), *file)


def time_pin(told: Members, _: Origin) -> TimePin:
    """Read a moment that has a name."""
    return TimePin(identity(told, "id"), text(told, "name"), whole(told, "time", MOST_WHOLE))
