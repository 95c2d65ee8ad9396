"""Look at a layer file that is not the open one, wherever it lies, without touching it."""

import contextlib
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from stitchview.done.placing import journal_of
from stitchview.done.schema import APPLICATION_ID, ENDING, FACT_CHART, FACT_NAME, connect, read_rows
from stitchview.done.shelf import Condition, Finding, examine
from stitchview.done.strokes import StrokeRow
from stitchview.done.troubles import DamagedLayer, said_by
from stitchview.done.wreck import makes_sense, read_wreck
from stitchview.errors import LayerError

ANY_CHART = ""
MARK_AT = 68
HEADER_BYTES = MARK_AT + 4


@dataclass(frozen=True, eq=False, slots=True)
class Seen:
    """A layer file as it was found: its condition, its facts, and every stroke that can be read of it.

    `senseless` are the strokes that are whole to their checksums and tell what no program can have meant.
    """

    path: Path
    condition: Condition
    facts: dict[str, str] = field(default_factory=dict)
    rows: tuple[StrokeRow, ...] = ()
    reason: str = ""
    senseless: int = 0

    @property
    def damaged(self) -> bool:
        """Whether it is no sound layer, though strokes may have been read from it."""
        return self.condition is Condition.DAMAGED

    @property
    def ids(self) -> set[bytes]:
        """The ids of its strokes."""
        return {row.id for row in self.rows}


@dataclass(frozen=True, slots=True)
class Owner:
    """The chart whose layer is looked for: its `identity` (empty if it has none), and its layer's `name`."""

    identity: str
    name: str

    def surely_owns(self, facts: dict[str, str]) -> bool:
        """Whether the facts of a layer say by themselves that it is of this chart."""
        theirs = facts.get(FACT_CHART, "")
        return theirs == self.identity and (bool(theirs) or facts.get(FACT_NAME) == self.name)

    def may_own(self, seen: Seen) -> bool:
        """The same, or where one of the two has no identity, whether a name tells that it belongs."""
        theirs = seen.facts.get(FACT_CHART, "")
        if theirs and self.identity:
            return theirs == self.identity
        return seen.facts.get(FACT_NAME) == self.name or seen.path.name.startswith(self.name)


def look_into(path: Path) -> Seen:
    """The layer at `path` with all its strokes, whatever chart it is of; the file stays as it is."""
    with _to_be_read(path) as place:
        finding = examine(place, ANY_CHART, read_only=True)
        if finding is None:
            raise AssertionError("a layer of any chart was asked for")
        return _seen(path, finding)


def refuse_unreadable(seen: Seen) -> None:
    """Raise `LayerError` in one sentence when nothing can be had from a layer."""
    name = seen.path.name
    match seen.condition:
        case Condition.NEWER:
            raise LayerError(f"“{name}” was written by a newer stitchview.", "Update stitchview first.")
        case Condition.IN_USE:
            raise LayerError(f"“{name}” is in use by another program.", "Close the other program.")
        case Condition.EMPTY:
            raise LayerError(f"“{name}” is an empty file.", "Use another copy of it.")
        case Condition.UNREADABLE:
            raise LayerError(
                f"“{name}” cannot be read ({seen.reason.rstrip('.')}).",
                "Check the name, and who may read it.",
            )
        case Condition.DAMAGED if not seen.rows:
            raise LayerError(
                f"“{name}” is no done layer, or so damaged that no stroke can be read from it.",
                "Use another copy of it.",
            )


def is_marked(path: Path) -> bool:
    """Whether the file at `path` says of itself that it is a done layer, or has the ending of one."""
    if path.name.endswith(ENDING):
        return True
    with contextlib.suppress(OSError), path.open("rb") as file:
        return file.read(HEADER_BYTES)[MARK_AT:] == APPLICATION_ID.to_bytes(4, "big")
    return False


def _seen(path: Path, finding: Finding) -> Seen:
    if finding.condition is Condition.DAMAGED:
        return Seen(path, finding.condition, finding.facts, finding.wreck.rows, finding.reason)
    if finding.condition is not Condition.GOOD:
        return Seen(path, finding.condition, finding.facts, reason=finding.reason)
    try:
        with contextlib.closing(connect(finding.path, read_only=True)) as connection:
            all_rows = tuple(read_rows(connection))
            rows = tuple(row for row in all_rows if makes_sense(row))
    except (DamagedLayer, sqlite3.Error, OSError) as error:
        # It was sound a moment ago: somebody is writing it anew.
        reason = str(error) if isinstance(error, DamagedLayer) else said_by(error)
        return Seen(path, Condition.DAMAGED, finding.facts, read_wreck(finding.path).rows, reason)
    return Seen(path, Condition.GOOD, finding.facts, rows, senseless=len(all_rows) - len(rows))


@contextlib.contextmanager
def _to_be_read(path: Path) -> Iterator[Path]:
    """Where the layer can be read: where it lies, or in a copy if a journal would have to be played back.

    SQLite mends a file that was left in midst of a transaction only by writing to it.
    """
    journal = journal_of(path)
    if not journal.exists():
        yield path
        return
    with tempfile.TemporaryDirectory(prefix="stitchview-look-") as folder:
        copy = Path(folder) / path.name
        try:
            shutil.copyfile(path, copy)
            shutil.copyfile(journal, journal_of(copy))
            with contextlib.closing(connect(copy)) as connection:
                connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()
        except (OSError, sqlite3.Error, DamagedLayer):
            yield path
        else:
            yield copy
