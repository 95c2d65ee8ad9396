"""How a done layer is laid out in SQLite; `resources/done-layer.md` describes it for strangers."""

import contextlib
import sqlite3
import zlib
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from stitchview.done.change import FAMILIES
from stitchview.done.strokes import WITH_NOTES, WITHOUT_NOTES, StrokeRow, is_sound, names_later_states
from stitchview.done.troubles import DamagedLayer

ENDING = ".svdone"
APPLICATION_ID = 0x53564431
"""The letters SVD1, at byte 68 of the file."""
FIRST_FORMAT, NOTES_FORMAT, FORMAT = 1, 2, 3
"""A file begins in the first, goes on in the second once something is noted in it, and in the third
once a stroke names a state other than open and done."""
PAGE_BYTES = 4096
PATIENCE_SECONDS = 3.0
MOST_BLOB_BYTES = 320 << 20

TABLES = (
    "CREATE TABLE facts (name TEXT PRIMARY KEY NOT NULL, value TEXT NOT NULL, checksum INTEGER NOT NULL)"
    " STRICT, WITHOUT ROWID",
    "CREATE TABLE strokes (id BLOB PRIMARY KEY NOT NULL, after BLOB, time INTEGER NOT NULL,"
    " device TEXT NOT NULL, kind TEXT NOT NULL, target BLOB,"
    " squares BLOB, parts BLOB, lines BLOB, points BLOB, checksum INTEGER NOT NULL) STRICT, WITHOUT ROWID",
    "CREATE TABLE snapshot (one INTEGER PRIMARY KEY NOT NULL, strokes INTEGER NOT NULL, digest BLOB NOT NULL,"
    " chart BLOB NOT NULL, states BLOB NOT NULL) STRICT",
)

NOTE_COLUMNS = ("notes BLOB", "notes_checksum INTEGER")
"""What the table of strokes has besides in the second format."""
TABLES_WITH_NOTES = (
    TABLES[0],
    TABLES[1].replace(") STRICT", "".join(f", {column}" for column in NOTE_COLUMNS) + ") STRICT"),
    TABLES[2],
)

FACT_FORMAT = "format"
FACT_CHART = "chart identity"
FACT_NAME = "chart name"
FACT_PLACE = "place"
FACT_MADE = "made"


def connect(path: Path | None, read_only: bool = False) -> sqlite3.Connection:
    """Open an existing layer, or one in memory if `path` is None; every commit waits for the disk.

    One connection may be used from several threads, one at a time. Raises `sqlite3.Error`.
    """
    mode = "ro" if read_only else "rw"
    where = ":memory:" if path is None else f"{_uri(path)}?mode={mode}"
    connection = sqlite3.connect(
        where, timeout=PATIENCE_SECONDS, isolation_level=None, check_same_thread=False, uri=path is not None
    )
    connection.text_factory = _lenient_text
    connection.setlimit(sqlite3.SQLITE_LIMIT_LENGTH, MOST_BLOB_BYTES)
    try:
        # A file from elsewhere may not run anything of its own.
        for pragma in ("trusted_schema=OFF", "cell_size_check=ON", "synchronous=EXTRA", "fullfsync=ON"):
            connection.execute(f"PRAGMA {pragma}")
    except UnicodeDecodeError as error:
        # SQLite quotes damaged names in its words, and Python cannot read them.
        connection.close()
        raise DamagedLayer("its tables have no names") from error
    except BaseException:
        connection.close()
        raise
    return connection


def lay_out(connection: sqlite3.Connection, facts: dict[str, str]) -> None:
    """Make the empty tables of a new layer, in the first format, in one transaction."""
    connection.execute(f"PRAGMA page_size={PAGE_BYTES}")
    connection.execute("PRAGMA journal_mode=DELETE")
    with transaction(connection):
        connection.execute(f"PRAGMA application_id={APPLICATION_ID}")
        connection.execute(f"PRAGMA user_version={FIRST_FORMAT}")
        for table in TABLES:
            connection.execute(table)
        keep_facts(connection, {FACT_FORMAT: str(FIRST_FORMAT), **facts})


@contextlib.contextmanager
def transaction(connection: sqlite3.Connection) -> Iterator[None]:
    """Everything in the block is kept together or not at all."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
        connection.execute("COMMIT")
    except BaseException:
        with contextlib.suppress(sqlite3.Error):
            connection.execute("ROLLBACK")
        raise


def keep_facts(connection: sqlite3.Connection, facts: dict[str, str]) -> None:
    """Write facts over those of the same name."""
    rows = ((name, value, fact_checksum(name, value)) for name, value in facts.items())
    connection.executemany("INSERT OR REPLACE INTO facts (name, value, checksum) VALUES (?, ?, ?)", rows)


def read_facts(connection: sqlite3.Connection) -> dict[str, str]:
    """All facts by name; raises `DamagedLayer` at one that is not as it was written."""
    rows = connection.execute("SELECT name, value, checksum FROM facts").fetchall()
    if not all(is_fact(row) for row in rows):
        raise DamagedLayer("a fact does not fit its checksum")
    return {name: value for name, value, _ in rows}


def fact_checksum(name: str, value: str) -> int:
    """CRC-32 (as in zlib) over the name, a zero byte and the value, in UTF-8."""
    return zlib.crc32(f"{name}\0{value}".encode("utf-8", "surrogatepass"))


def is_fact(row: tuple[object, ...]) -> bool:
    """Whether a row read from a file is a fact, whole as it was written."""
    if len(row) != 3:
        return False
    name, value, checksum = row
    return isinstance(name, str) and isinstance(value, str) and fact_checksum(name, value) == checksum


def format_of(connection: sqlite3.Connection) -> int:
    """The number of the format; raises `DamagedLayer` when the file is no done layer or belies itself."""
    (application,) = connection.execute("PRAGMA application_id").fetchone()
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    if application != APPLICATION_ID:
        raise DamagedLayer("it is not marked as a done layer")
    if read_facts(connection).get(FACT_FORMAT) != str(version):
        raise DamagedLayer("it names two different formats")
    return int(version)


def check_structure(connection: sqlite3.Connection) -> None:
    """Raise `DamagedLayer` unless the tables are exactly ours and every page is sound."""
    found = connection.execute("SELECT sql FROM sqlite_schema ORDER BY rowid").fetchall()
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    expected = TABLES if version == FIRST_FORMAT else TABLES_WITH_NOTES
    if tuple(sql for (sql,) in found) != expected:
        raise DamagedLayer("its tables are not those of a done layer")
    (verdict,) = connection.execute("PRAGMA quick_check(1)").fetchone()
    if verdict != "ok":
        raise DamagedLayer(str(verdict))


def insert_rows(connection: sqlite3.Connection, rows: Iterable[StrokeRow]) -> None:
    """Add strokes, in a transaction of the caller; one that is there already is left as it is.

    The first stroke that an older format cannot hold takes the file to the next: older programs leave
    it alone from then on.
    """
    # Asking for the columns also makes SQLite see what another window has altered of the tables.
    has_room = _has_room_for_notes(connection)
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    for row in rows:
        needed = _format_needed(row, version)
        if needed > version:
            _go_on_to(connection, needed)
            version, has_room = needed, True
        values = row if has_room else row[:WITHOUT_NOTES]
        places = ", ".join("?" * len(values))
        connection.execute(f"INSERT INTO strokes VALUES ({places}) ON CONFLICT (id) DO NOTHING", values)


def read_rows(connection: sqlite3.Connection, after: bytes = b"") -> Iterator[StrokeRow]:
    """Strokes in the order of their ids, those above `after`; raises `DamagedLayer` at an unsound one."""
    for row in connection.execute(f"{_selecting(connection)} WHERE id > ? ORDER BY id", (after,)):
        yield _checked(row)


def read_noted_rows(connection: sqlite3.Connection) -> Iterator[StrokeRow]:
    """Only the strokes with notes, in the order of their ids; raises `DamagedLayer` at an unsound one."""
    if _has_room_for_notes(connection):
        for row in connection.execute(f"{_selecting(connection)} WHERE notes IS NOT NULL ORDER BY id"):
            yield _checked(row)


def read_outline(connection: sqlite3.Connection) -> Iterator[StrokeRow]:
    """All strokes in the order of their ids without their stitches, unchecked, and so many times faster.

    A family that a stroke has is told as no bytes, one that it has not as None.
    """
    families = ", ".join(f"substr({name}, 1, 0)" for name in FAMILIES)
    notes = "notes" if _has_room_for_notes(connection) else "NULL"
    wanted = f"id, after, time, device, kind, target, {families}, checksum, {notes}"
    for row in connection.execute(f"SELECT {wanted} FROM strokes ORDER BY id"):
        yield StrokeRow.of(row)


def data_version(connection: sqlite3.Connection) -> int:
    """A number that is another once another connection has written (SQLite documentation, data_version)."""
    (version,) = connection.execute("PRAGMA data_version").fetchone()
    return int(version)


def read_row(connection: sqlite3.Connection, stroke_id: bytes) -> StrokeRow:
    """One stroke by its id; raises `DamagedLayer` when it is not there or unsound."""
    row = connection.execute(f"{_selecting(connection)} WHERE id = ?", (stroke_id,)).fetchone()
    if row is None:
        raise DamagedLayer("a stroke is missing")
    return _checked(row)


def _selecting(connection: sqlite3.Connection) -> str:
    columns = StrokeRow._fields[: None if _has_room_for_notes(connection) else WITHOUT_NOTES]
    return f"SELECT {', '.join(columns)} FROM strokes"


def _has_room_for_notes(connection: sqlite3.Connection) -> bool:
    columns = [name for _, name, *_ in connection.execute("PRAGMA table_info(strokes)")]
    return columns[WITHOUT_NOTES:WITH_NOTES] == list(StrokeRow._fields[WITHOUT_NOTES:])


def _format_needed(row: StrokeRow, version: int) -> int:
    """The lowest format, from `version` on, in which a file can hold a stroke."""
    if version < FORMAT and names_later_states(row):
        return FORMAT
    return version if row.notes is None else max(version, NOTES_FORMAT)


def _go_on_to(connection: sqlite3.Connection, version: int) -> None:
    if not _has_room_for_notes(connection):
        for column in NOTE_COLUMNS:
            connection.execute(f"ALTER TABLE strokes ADD COLUMN {column}")
    connection.execute(f"PRAGMA user_version={version}")
    keep_facts(connection, {FACT_FORMAT: str(version)})


def _checked(row: tuple[Any, ...]) -> StrokeRow:
    if not is_sound(row):
        raise DamagedLayer("a stroke does not fit its checksum")
    return StrokeRow.of(row)


def _uri(path: Path) -> str:
    # SQLite takes no host in a URI; a Windows share becomes a path that begins with two slashes.
    uri = path.resolve().as_uri()
    return uri if uri.startswith("file:///") else uri.replace("file://", "file:////", 1)


def _lenient_text(content: bytes) -> str:
    # Damaged text must come through as something that fails the check sum, not as an error of its own.
    return content.decode("utf-8", "replace")
