"""Join done layers of one chart that went apart, stroke by stroke, so that nothing of any is lost."""

import random
import sqlite3
import time
from collections.abc import Iterable, Sequence
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from stitchview.chart.model import Chart
from stitchview.done.berth import Berth, Search
from stitchview.done.looking import Owner, Seen, look_into, refuse_unreadable
from stitchview.done.schema import FACT_CHART, insert_rows, read_outline, read_row, transaction
from stitchview.done.shelf import Condition, Shelf, shelves_of
from stitchview.done.strokes import StrokeRow
from stitchview.done.troubles import IN_USE, MOVED, DamagedLayer, in_words, name_of
from stitchview.errors import LayerError

PATIENCE_SECONDS = 60.0
"""How long other programs that write the same layer are waited for."""
MOST_PAUSE_SECONDS = 0.2


@dataclass(frozen=True, slots=True)
class Taken:
    """One layer that was joined: how many `strokes` could be read of it, and how many of them were `new`."""

    path: Path
    strokes: int
    new: int
    damaged: bool


@dataclass(frozen=True, slots=True)
class Joined:
    """What came of joining: the layer at `path` has all strokes now; `notices` are sentences for her."""

    path: Path
    taken: tuple[Taken, ...]
    notices: tuple[str, ...]

    @property
    def new(self) -> int:
        """How many strokes the layer has that it had not before."""
        return sum(each.new for each in self.taken)


@dataclass(frozen=True, slots=True)
class Piece:
    """A chart, where it lies, and the folder for layers that cannot lie beside it."""

    path: Path
    chart: Chart
    fallback_folder: Path

    @property
    def shelves(self) -> tuple[Shelf, Shelf]:
        """Where its layer may lie."""
        return shelves_of(self.path, self.chart, self.fallback_folder)

    @property
    def owner(self) -> Owner:
        """What tells its layers from those of other charts."""
        return Owner(self.chart.identity, self.shelves[0].name)


def seen_of(piece: Piece, layers: Sequence[Path]) -> list[Seen]:
    """Layers of the piece's chart, each read whole; the files are left as they are.

    Raises `LayerError` in one sentence when one of them is of another chart, of a newer format, or
    gives nothing at all.
    """
    sources = [look_into(path) for path in layers]
    for seen in sources:
        refuse_unreadable(seen)
        _refuse_strange(piece, seen)
    return sources


def join_seen(piece: Piece, sources: Sequence[Seen]) -> Joined:
    """Put the strokes of layers that were looked into into the piece's own; raises `LayerError`."""
    deadline = time.monotonic() + PATIENCE_SECONDS
    while True:
        berth, notices = _berth(piece, deadline)
        path = berth.path or piece.path
        try:
            with closing(berth.connection) as connection:
                taken = tuple(_take_all(connection, sources))
        except DamagedLayer as error:
            raise LayerError(f"“{path.name}” is damaged.", "Open its chart: it is mended then.") from error
        except (sqlite3.Error, OSError) as error:
            if not _passes(error) or time.monotonic() > deadline:
                raise in_words(path, error) from error
            _wait()
            continue
        damaged = tuple(_told_damaged(each) for each in taken if each.damaged)
        return Joined(path, taken, (*dict.fromkeys(notices), *damaged))


def joined_rows(*layers: Iterable[StrokeRow]) -> tuple[StrokeRow, ...]:
    """The strokes of all layers, each id once, in the order of their ids, which is that of time."""
    found: dict[bytes, StrokeRow] = {}
    for rows in layers:
        for row in rows:
            found[row.id] = max(found.get(row.id, row), row, key=_precedence)
    return tuple(found[each] for each in sorted(found))


def insert_joining(connection: sqlite3.Connection, rows: Iterable[StrokeRow]) -> int:
    """Add strokes in a transaction of the caller as `joined_rows` would; gives how many are new."""
    known = {row.id: (row.checksum, row.notes) for row in read_outline(connection)}
    new: list[StrokeRow] = []
    for row in joined_rows(rows):
        mine = known.get(row.id)
        if mine == (row.checksum, row.notes):
            continue
        if mine is not None:
            if _precedence(read_row(connection, row.id)) >= _precedence(row):
                continue
            connection.execute("DELETE FROM strokes WHERE id = ?", (row.id,))
        new.append(row)
    insert_rows(connection, new)
    return len(new)


def _refuse_strange(piece: Piece, seen: Seen) -> None:
    """Raise `LayerError` in one sentence unless a layer is of the piece's chart."""
    if piece.owner.may_own(seen):
        return
    if seen.facts.get(FACT_CHART) and piece.chart.identity:
        raise LayerError(
            f"“{seen.path.name}” holds the marks of another chart.",
            f"Choose a layer of “{piece.path.name}”.",
        )
    raise LayerError(
        f"It cannot be told whether “{seen.path.name}” holds marks of “{piece.path.name}”.",
        f"If it does, give it a name that begins with “{piece.owner.name}”.",
    )


def _precedence(row: StrokeRow) -> tuple[int, int, str]:
    # One id with two contents comes only of a fault or a forgery; all places must settle it alike.
    return row.checksum, row.notes_checksum or 0, repr(tuple(row))


def _take_all(connection: sqlite3.Connection, sources: Sequence[Seen]) -> list[Taken]:
    connection.execute(f"PRAGMA busy_timeout={round(PATIENCE_SECONDS * 1000)}")
    with transaction(connection):
        return [
            Taken(seen.path, len(seen.rows), insert_joining(connection, seen.rows), seen.damaged)
            for seen in sources
        ]


def _berth(piece: Piece, deadline: float) -> tuple[Berth, list[str]]:
    """The piece's own layer on the disk, waiting for other programs to let go of it."""
    while True:
        search = Search(piece.path, piece.chart.identity, piece.shelves)
        try:
            berth = search.berth()
        except (sqlite3.Error, OSError) as error:
            if not _passes(error) or time.monotonic() > deadline:
                raise in_words(next(piece.shelves[0].places()), error) from error
        else:
            if berth.path is not None:
                return berth, search.notices
            berth.connection.close()
            if not _in_use(piece) or time.monotonic() > deadline:
                raise LayerError(
                    search.notices[-1] if search.notices else "There is no layer.", "Nothing was joined."
                )
        _wait()


def _in_use(piece: Piece) -> bool:
    found = [shelf.look(piece.chart.identity, read_only=True) for shelf in piece.shelves]
    return any(each is not None and each.condition is not Condition.NEWER for each in found)


def _passes(error: sqlite3.Error | OSError) -> bool:
    """Whether a trouble is that another program of ours is writing just now."""
    name = name_of(error)
    return name.startswith(IN_USE) or name == MOVED


def _wait() -> None:
    time.sleep(random.uniform(0, MOST_PAUSE_SECONDS))


def _told_damaged(taken: Taken) -> str:
    count = "1 stroke" if taken.strokes == 1 else f"{taken.strokes:,} strokes"
    return f"“{taken.path.name}” is damaged; {count} could be read from it. It is left as it is."
