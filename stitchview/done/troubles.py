"""What SQLite and the disk say when a done layer cannot be read or kept, in a stitcher's words."""

import errno
import sqlite3
from pathlib import Path

from stitchview.errors import LayerError

DAMAGE = ("SQLITE_CORRUPT", "SQLITE_NOTADB", "SQLITE_FORMAT", "SQLITE_MISMATCH", "SQLITE_SCHEMA")
IN_USE = ("SQLITE_BUSY", "SQLITE_LOCKED")
FULL = ("SQLITE_FULL",)
REFUSED = ("SQLITE_READONLY", "SQLITE_CANTOPEN", "SQLITE_PERM", "SQLITE_AUTH")
NO_ROOM = (errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC))
REFUSALS = (errno.EROFS, errno.EACCES, errno.EPERM)
MOVED = "SQLITE_READONLY_DBMOVED"

Failure = sqlite3.Error | OSError


class DamagedLayer(Exception):
    """A file that should be a done layer is not one, or not a whole one."""


def name_of(error: Failure) -> str:
    """SQLite's name for what went wrong, "" if it has none."""
    return str(getattr(error, "sqlite_errorname", "") or "")


def is_damage(error: Failure) -> bool:
    """Whether the error means that the file is damaged, rather than out of reach for now."""
    name = name_of(error)
    if name.startswith(DAMAGE):
        return True
    # SQL that does not fit the tables: the file is not laid out as a done layer.
    return isinstance(error, sqlite3.Error) and name in ("SQLITE_ERROR", "SQLITE_CONSTRAINT")


def said_by(error: Failure) -> str:
    """What the system or SQLite said, in the few words that go into a sentence."""
    said = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
    return f"{said[:1].lower()}{said[1:].rstrip('.')}"


def in_words(path: Path, error: Failure, waiting: int = 0) -> LayerError:
    """One sentence on why the layer at `path` cannot be used; `waiting` strokes are not on disk yet."""
    what = f"“{path.name}” {_reason(error)}"
    if waiting:
        what += f"; {strokes(waiting)} not yet kept"
    return LayerError(f"{what}.", _remedy(error))


def replaced(path: Path, waiting: int) -> LayerError:
    """One sentence for a layer in whose place something else was put while the chart was open."""
    return LayerError(
        f"Something else was put in the place of “{path.name}” while the chart was open;"
        f" {strokes(waiting)} not yet kept.",
        "Move it away, and go on marking.",
    )


def no_memory(waiting: int) -> LayerError:
    """One sentence for strokes that could not be made ready for the disk."""
    return LayerError(
        f"There is not enough memory; {strokes(waiting)} not yet kept.", "Close other programs."
    )


def copy_trouble(path: Path, error: Failure | DamagedLayer) -> str:
    """Say that no dated copy of the layer at `path` could be kept, why, and that the marks are safe."""
    if isinstance(error, DamagedLayer):
        return (
            f"No dated copy of “{path.name}” was kept, for it is damaged. Open its chart: it is mended then."
        )
    full = name_of(error).startswith(FULL) or getattr(error, "errno", None) in NO_ROOM
    refused = name_of(error).startswith(REFUSED) or getattr(error, "errno", None) in REFUSALS
    why = "the disk is full" if full else "your data folder cannot be written" if refused else said_by(error)
    remedy = "Free some space" if full else "Check your data folder"
    return (
        f"No dated copy of “{path.name}” could be kept ({why}). The marks themselves are safe. {remedy}, and"
        " the next closing keeps one."
    )


def strokes(count: int) -> str:
    """So many strokes, as a phrase with its verb."""
    return "1 stroke is" if count == 1 else f"{count:,} strokes are"


def _reason(error: Failure) -> str:
    name = name_of(error)
    if name.startswith(IN_USE):
        return "is in use by another program"
    if name.startswith(FULL):
        return "cannot be written because the disk is full"
    if name == MOVED:
        return "was moved or deleted while the chart was open"
    if name.startswith(REFUSED):
        return "cannot be written here"
    if is_damage(error):
        return "is damaged"
    return f"cannot be read or written ({said_by(error)})"


def _remedy(error: Failure) -> str:
    name = name_of(error)
    if name.startswith(IN_USE):
        return "Close the other program."
    if name.startswith(FULL):
        return "Free some space on the disk; nothing kept so far is lost."
    if is_damage(error):
        return "Close the chart and open it again: what can be read is saved then."
    return "Check the disk and the folder; nothing kept so far is lost."
