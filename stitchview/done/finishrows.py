"""Notes of the end as a stroke of the file holds them: their members, written and read."""

from stitchview.done.finishnotes import Finished, ThreadTest, ThreadUsed
from stitchview.done.notefields import Members, length, text
from stitchview.done.skeinnotes import MOST_STRAND_MM

Origin = tuple[int, int]
FinishKind = Finished | ThreadUsed | ThreadTest


def finish_members(note: FinishKind) -> Members:
    """What the file says of a note."""
    match note:
        case Finished():
            return {"day": note.day, "width_mm": note.width_mm, "height_mm": note.height_mm}
        case ThreadUsed():
            thread = {"name": note.name, "number": note.number}
            return {**thread, "skeins": note.skeins, "reckoned_mm": note.reckoned_mm}
        case ThreadTest():
            thread = {"name": note.name, "number": note.number}
            return {**thread, "result": note.result, "words": note.words}


def finished(told: Members, _: Origin) -> Finished:
    """Read when it was finished; raises `MalformedStroke`, `ValueError` or `CommandError`, as all here."""
    return Finished(text(told, "day"), length(told, "width_mm"), length(told, "height_mm"))


def thread_used(told: Members, _: Origin) -> ThreadUsed:
    """Read what was used of a thread in all."""
    thread = text(told, "name"), text(told, "number")
    return ThreadUsed(*thread, length(told, "skeins"), length(told, "reckoned_mm", MOST_STRAND_MM))


def thread_test(told: Members, _: Origin) -> ThreadTest:
    """Read what a test of a thread showed."""
    return ThreadTest(text(told, "name"), text(told, "number"), text(told, "result"), text(told, "words"))
