"""Notes as a stroke of the file holds them: JSON that names squares by their addresses, deflated."""

import json
from collections.abc import Callable, Iterable, Iterator

from stitchview.chart.entries import strictjson
from stitchview.done.deflated import MalformedStroke, deflate, inflate
from stitchview.done.differencerows import (
    added,
    difference_members,
    not_worked,
    other_thread,
    shifted,
    unpicked,
)
from stitchview.done.differences import Added, NotWorked, OtherThread, Shifted
from stitchview.done.finishnotes import Finished, ThreadTest, ThreadUsed
from stitchview.done.finishrows import finish_members, finished, thread_test, thread_used
from stitchview.done.leftout import LeftOut
from stitchview.done.notebook import NO_NOTES, Notes, NotesChange, Rewritten
from stitchview.done.notefields import Members, identity, length, text, truth, whole
from stitchview.done.notes import HeldBack, NeedlefulEnd, Note, Parked, Pin
from stitchview.done.sittingnotes import ClothPhoto, SittingSeam, SittingWord, TimePin
from stitchview.done.sittingrows import (
    cloth_photo,
    sitting_members,
    sitting_seam,
    sitting_word,
    time_pin,
)
from stitchview.done.skeinnotes import LotArea, LotTime, SkeinNote, SkeinSize
from stitchview.done.skeinrows import lot_area, lot_time, skein_members, skein_note, skein_size
from stitchview.done.unpicked import Unpicked
from stitchview.done.usedinstead import OwnThread, UsedInstead
from stitchview.done.usedrows import own_thread, used_instead
from stitchview.errors import CommandError

MOST_BYTES = 64 << 20

Origin = tuple[int, int]

KINDS: dict[str, type[Note]] = {
    "pin": Pin,
    "parked": Parked,
    "held back": HeldBack,
    "needleful": NeedlefulEnd,
    "skeins": SkeinNote,
    "skein size": SkeinSize,
    "lot area": LotArea,
    "lot time": LotTime,
    "sitting seam": SittingSeam,
    "sitting": SittingWord,
    "photograph": ClothPhoto,
    "pin in time": TimePin,
    "left out": LeftOut,
    "finished": Finished,
    "thread used": ThreadUsed,
    "thread test": ThreadTest,
    "shifted": Shifted,
    "other thread": OtherThread,
    "not worked": NotWorked,
    "added": Added,
    "used instead": UsedInstead,
    "own thread": OwnThread,
    "unpicked": Unpicked,
}
"""The kinds of notes by their names in the file."""
NAMES = {kind: name for name, kind in KINDS.items()}


def packed(notes: NotesChange, origin: Origin) -> bytes | None:
    """What the file holds of notes rewritten, on a chart with this origin; None of none."""
    if not notes:
        return None
    told = [
        {
            "about": NAMES[type(each.note)],
            "old": None if each.old is None else _members(each.old, origin),
            "new": None if each.new is None else _members(each.new, origin),
        }
        for each in notes.rewritten
    ]
    return deflate(strictjson.dump(told).encode())


def unpacked(blob: bytes | None, origin: Origin) -> NotesChange:
    """The notes that `packed` gave, on a chart with this origin, but for kinds not known here.

    Raises `MalformedStroke` for what no program can have written.
    """
    if blob is None:
        return NO_NOTES
    try:
        told = json.loads(inflate(blob, MOST_BYTES).decode(), parse_constant=_no_constant)
        notes = NotesChange(tuple(_rewritten(told, origin)))
        if any(isinstance(each, Pin) and each.extra for pair in notes.rewritten for each in pair.sides):
            # What is to be written again just as it is must be such that it can be.
            strictjson.parse(inflate(blob, MOST_BYTES))
    except MalformedStroke:
        raise
    except (ValueError, RecursionError, CommandError) as error:
        raise MalformedStroke("the notes of a stroke make no sense") from error
    if len({each.place for each in notes.rewritten}) < len(notes.rewritten):
        raise MalformedStroke("a stroke rewrites one note twice")
    return notes


def notes_after(blobs: Iterable[bytes], origin: Origin) -> Notes:
    """The notes that strokes lead to, the last word on each winning; raises `MalformedStroke`."""
    return Notes().after_all(unpacked(blob, origin) for blob in blobs)


def kinds_in(blob: bytes) -> frozenset[str]:
    """Which kinds of notes a stroke rewrites, by their names in the file, those not known here too.

    Raises `MalformedStroke` for what is no list of notes.
    """
    try:
        told = json.loads(inflate(blob, MOST_BYTES).decode(), parse_constant=_no_constant)
    except (ValueError, RecursionError) as error:
        raise MalformedStroke("the notes of a stroke make no sense") from error
    if not isinstance(told, list) or not all(isinstance(each, dict) for each in told):
        raise MalformedStroke("the notes of a stroke are no list")
    return frozenset(text(each, "about") for each in told)


def _rewritten(told: object, origin: Origin) -> Iterator[Rewritten]:
    if not isinstance(told, list):
        raise MalformedStroke("the notes of a stroke are no list")
    for each in told:
        if not isinstance(each, dict):
            raise MalformedStroke("a note is no object")
        kind = KINDS.get(text(each, "about"))
        if kind is None:
            continue
        old, new = (_note(kind, each.get(side), origin) for side in ("old", "new"))
        if (old or new) is None or (old and new and old.subject != new.subject):
            raise MalformedStroke("a note does not tell what it is about")
        yield Rewritten(old, new)


def _members(note: Note, origin: Origin) -> Members:
    match note:
        case Pin() | Parked() | NeedlefulEnd():
            return _square_members(note, origin)
        case HeldBack() | LeftOut():
            return _choice_members(note, origin)
        case SkeinNote() | SkeinSize() | LotArea() | LotTime() | UsedInstead() | OwnThread():
            return skein_members(note, origin)
        case SittingSeam() | SittingWord() | ClothPhoto() | TimePin():
            return sitting_members(note)
        case Shifted() | OtherThread() | NotWorked() | Added() | Unpicked():
            return difference_members(note, origin)
    return finish_members(note)


def _square_members(note: Pin | Parked | NeedlefulEnd, origin: Origin) -> Members:
    match note:
        case Pin():
            texts = {"name": note.name, "note": note.note}
            return {**note.extra, "id": note.id, **_address(note, origin), **texts}
        case Parked():
            return {"code": note.code, **_address(note, origin)}
    covered = {"stitches": note.stitches, **_address(note, origin), "used_up": note.used_up}
    lengths = {"reckoned_mm": note.reckoned_mm, "used_mm": note.used_mm}
    return {"id": note.id, "code": note.code, **covered, **lengths}


def _choice_members(note: HeldBack | LeftOut, origin: Origin) -> Members:
    if isinstance(note, HeldBack):
        return {"code": note.code, "held": note.held}
    size = {"columns": note.columns, "rows": note.rows}
    return {"sort": note.sort, "code": note.code, **_address(note, origin), **size}


def _address(note: Pin | Parked | NeedlefulEnd | LeftOut, origin: Origin) -> Members:
    return {"column": note.column + origin[0], "row": note.row + origin[1]}


def _note(kind: type[Note], told: object, origin: Origin) -> Note | None:
    if told is None:
        return None
    if not isinstance(told, dict):
        raise MalformedStroke("a note is no object")
    return _READERS[kind](told, origin)


def _pin(told: Members, origin: Origin) -> Pin:
    known = ("id", "column", "row", "name", "note")
    extra = {name: value for name, value in told.items() if name not in known}
    return Pin(identity(told, "id"), *_square(told, origin), text(told, "name"), text(told, "note"), extra)


def _parked(told: Members, origin: Origin) -> Parked:
    return Parked(identity(told, "code"), *_square(told, origin))


def _held_back(told: Members, _: Origin) -> HeldBack:
    return HeldBack(identity(told, "code"), truth(told, "held"))


def _needleful_end(told: Members, origin: Origin) -> NeedlefulEnd:
    return NeedlefulEnd(
        identity(told, "id"),
        identity(told, "code"),
        whole(told, "stitches"),
        *_square(told, origin),
        truth(told, "used_up"),
        length(told, "reckoned_mm"),
        length(told, "used_mm"),
    )


def _left_out(told: Members, origin: Origin) -> LeftOut:
    size = whole(told, "columns"), whole(told, "rows")
    return LeftOut(text(told, "sort"), identity(told, "code"), *_square(told, origin), *size)


_READERS: dict[type[Note], Callable[[Members, Origin], Note]] = {
    Pin: _pin,
    Parked: _parked,
    HeldBack: _held_back,
    NeedlefulEnd: _needleful_end,
    SkeinNote: skein_note,
    SkeinSize: skein_size,
    LotArea: lot_area,
    LotTime: lot_time,
    SittingSeam: sitting_seam,
    SittingWord: sitting_word,
    ClothPhoto: cloth_photo,
    TimePin: time_pin,
    LeftOut: _left_out,
    Finished: finished,
    ThreadUsed: thread_used,
    ThreadTest: thread_test,
    Shifted: shifted,
    OtherThread: other_thread,
    NotWorked: not_worked,
    Added: added,
    UsedInstead: used_instead,
    OwnThread: own_thread,
    Unpicked: unpicked,
}


def _square(told: Members, origin: Origin) -> tuple[int, int]:
    return whole(told, "column") - origin[0], whole(told, "row") - origin[1]


def _no_constant(name: str) -> float:
    raise ValueError(f"{name} is not a number in JSON")
