"""A done layer that others altered, hold, or wrote with a newer program is never trusted and never spoilt."""

import contextlib
import sqlite3
import zlib
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from stitchview.done import schema
from stitchview.done.addresses import Addresses
from stitchview.done.change import DONE, FIRST_LEG, STATES, Selection
from stitchview.done.ids import Ids, compose
from stitchview.done.marks import change_to
from stitchview.done.schema import APPLICATION_ID, PAGE_BYTES, TABLES, connect, keep_facts
from stitchview.done.strokes import PLAIN, WITHOUT_NOTES, Stroke, StrokeRow, checksum, row_of

if TYPE_CHECKING:
    from tests.formats.layer.conftest import Ruin


@pytest.mark.parametrize(
    "statements",
    [
        ["PRAGMA application_id = 7"],
        ["PRAGMA user_version = 0"],
        ["PRAGMA user_version = 9"],
        ["CREATE TRIGGER t AFTER INSERT ON strokes BEGIN DELETE FROM strokes; END"],
        ["CREATE TABLE more (x)"],
        ["CREATE INDEX i ON strokes (time)"],
        ["DROP TABLE snapshot"],
        ["DROP TABLE facts"],
        ["UPDATE facts SET value = 'other' WHERE name = 'chart identity'"],
        ["UPDATE facts SET checksum = 0"],
    ],
)
def test_a_layer_laid_out_otherwise_is_not_trusted(ruin: "Ruin", statements: list[str]) -> None:
    """Tables, triggers and facts that are not ours are never used; every stroke is saved all the same."""
    ruin.assert_saved(ruin.with_sql(*statements), at_most_lost=0)


@pytest.mark.parametrize(
    ("change", "lost"),
    [
        ("SET time = time + 1 WHERE id = (SELECT max(id) FROM strokes)", 1),
        ("SET device = 'elsewhere'", 260),
        ("SET kind = 'knit' WHERE id = (SELECT min(id) FROM strokes)", 1),
        ("SET squares = x'00' WHERE squares IS NOT NULL", 260),
        ("SET target = id WHERE id = (SELECT min(id) FROM strokes)", 1),
    ],
)
def test_altered_strokes_are_not_trusted(ruin: "Ruin", change: str, lost: int) -> None:
    """A stroke that does not fit its checksum is left out, the others are saved."""
    ruin.assert_saved(ruin.with_sql(f"UPDATE strokes {change}"), at_most_lost=lost)


def test_wrong_types_inside_are_not_trusted(ruin: "Ruin") -> None:
    """A hand-made file whose tables take any type is read as far as its strokes are strokes."""
    path = ruin.folder / "edited"
    with contextlib.closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute(f"PRAGMA application_id={APPLICATION_ID}")
        connection.execute("PRAGMA user_version=1")
        for table in TABLES:
            connection.execute(
                table.replace(" STRICT, WITHOUT ROWID", " WITHOUT ROWID").replace(" STRICT", "")
            )
        keep_facts(connection, {"format": "1", "chart identity": ruin.chart.identity})
        places = ", ".join("?" * WITHOUT_NOTES)
        connection.executemany(
            f"INSERT INTO strokes VALUES ({places})", [row[:WITHOUT_NOTES] for row in ruin.rows[:5]]
        )
        for wrong in (1, "text", 2.5, b"\x00" * 16, compose(5, 5)):
            connection.execute(
                f"INSERT INTO strokes VALUES ({places})", (wrong, *ruin.rows[0][1:WITHOUT_NOTES])
            )
    content = path.read_bytes()
    path.unlink()
    with ruin.opened(content) as opened:
        assert "5 strokes could be read" in opened.notices[0]
        assert [row.id for row in ruin.saved()] == [row.id for row in ruin.rows[:5]]


def sealed(row: StrokeRow, **columns: Any) -> StrokeRow:
    changed = row._replace(**columns)
    return changed._replace(checksum=checksum(tuple(changed)[:PLAIN]))


@pytest.mark.parametrize(
    ("family", "blob"),
    [
        ("squares", b"not deflated"),
        ("squares", zlib.compress(b"123")),
        ("squares", zlib.compress(np.array([0, 0, 2**31 - 1, 256], "<i4").tobytes())),
        ("squares", zlib.compress(np.array([5, 5, 3, 77 * 256], "<i4").tobytes())),
        ("squares", zlib.compress(np.array([[5, 5, 3, 256]] * 2, "<i4").tobytes())),
        ("lines", zlib.compress(bytes(20_000_000), 9)),
        ("points", zlib.compress(np.array([1, 1, 1, 0, 9], "<i4").tobytes())),
        ("squares", zlib.compress(np.array([5, 5, 3, STATES * 256], "<i4").tobytes())),
        ("points", zlib.compress(np.array([1, 1, 1, 0, FIRST_LEG * 256], "<i4").tobytes())),
        ("lines", zlib.compress(np.array([1, 1, 3, 1, 1, 0, FIRST_LEG + 256], "<i4").tobytes())),
    ],
    ids=[
        "no zlib",
        "odd bytes",
        "endless run",
        "unknown state",
        "overlap",
        "bomb",
        "unknown state of a bead",
        "the first number that is no state",
        "a bead with a first leg",
        "a line that had a first leg",
    ],
)
def test_strokes_that_make_no_sense_are_left_out(ruin: "Ruin", family: str, blob: bytes) -> None:
    """A stroke with a right checksum and impossible stitches does no harm; the others are saved."""
    bad = sealed(ruin.rows[0], id=Ids(after=ruin.rows[-1].id).next(), **{family: blob})
    ruin.path.write_bytes(ruin.content)
    with contextlib.closing(connect(ruin.path)) as connection:
        schema.insert_rows(connection, [bad])
    ruin.assert_saved(ruin.path.read_bytes(), at_most_lost=0)


def test_undo_of_strokes_that_are_not_there_does_nothing(ruin: "Ruin") -> None:
    """When the stroke that an undo names was lost, the undo means nothing and does no harm."""
    with ruin.opened(ruin.content) as opened:
        before = [states.copy() for states in opened.marks.families]
        ids = Ids(after=ruin.rows[-1].id)
        strays = [
            Stroke(ids.next(), None, 0, "sofa", kind, target=compose(9, 9)) for kind in ("undo", "redo")
        ]
        with contextlib.closing(connect(ruin.path)) as connection:
            schema.insert_rows(connection, [row_of(stroke, Addresses(ruin.chart)) for stroke in strays])
    with ruin.opened() as again:
        assert again.notices == ()
        assert all(np.array_equal(a, b) for a, b in zip(before, again.marks.families, strict=True))


def test_a_newer_layer_is_not_touched(ruin: "Ruin") -> None:
    """The layer of a newer program is left as it is; what can be understood is shown, nothing is kept."""
    newer = ruin.with_sql("PRAGMA user_version = 9")
    ruin.path.write_bytes(newer)
    with contextlib.closing(connect(ruin.path)) as connection:
        keep_facts(connection, {"format": "9"})
    newer = ruin.path.read_bytes()
    with ruin.opened(newer) as opened:
        assert "newer stitchview" in opened.notices[0]
        assert "its marks are shown" in opened.notices[0]
        assert not opened.layer.keeps
        for mine, theirs in zip(ruin.marks_of(list(ruin.rows)), opened.marks.families, strict=True):
            assert np.array_equal(mine, theirs)
        change = change_to(opened.marks, Selection(np.arange(90)), DONE)
        if change is not None:
            opened.layer.put(opened.history.record(change))
            opened.layer.commit()
    assert [path.read_bytes() for path in ruin.folder.iterdir()] == [newer]
    stranger = ruin.with_sql("PRAGMA user_version = 9", "ALTER TABLE strokes RENAME TO threads")
    ruin.path.write_bytes(stranger)
    with contextlib.closing(connect(ruin.path)) as connection:
        keep_facts(connection, {"format": "9"})
    stranger = ruin.path.read_bytes()
    with ruin.opened(stranger) as opened:
        assert "cannot be shown" in opened.notices[0]
    assert [path.read_bytes() for path in ruin.folder.iterdir()] == [stranger]


def test_a_layer_in_use_is_not_touched(ruin: "Ruin", monkeypatch: pytest.MonkeyPatch) -> None:
    """While another program holds the layer, the window says so and keeps nothing."""
    monkeypatch.setattr(schema, "PATIENCE_SECONDS", 0.05)
    ruin.path.write_bytes(ruin.content)
    with contextlib.closing(sqlite3.connect(ruin.path, isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        with ruin.opened() as opened:
            assert "in use by another program" in opened.notices[0]
            assert not opened.layer.keeps
            assert opened.tally.total().done == 0
        other.execute("ROLLBACK")
    assert ruin.path.read_bytes() == ruin.content
    with ruin.opened() as again:
        assert again.notices == ()
        assert again.tally.total().done > 0


def test_a_journal_left_behind_is_not_played_into_a_new_file(ruin: "Ruin") -> None:
    """When a layer was deleted in midst of a crash, its journal does not spoil the fresh one."""
    with ruin.opened(ruin.content):
        pass
    path = ruin.folder / "harbour.svdone-journal"
    with contextlib.closing(sqlite3.connect(ruin.path, isolation_level=None)) as connection:
        connection.execute("PRAGMA cache_size=1")
        connection.execute("BEGIN")
        connection.execute("UPDATE strokes SET time = 0")
        journal = path.read_bytes()
        connection.execute("ROLLBACK")
    assert len(journal) > PAGE_BYTES
    ruin.path.unlink()
    path.write_bytes(journal)
    with ruin.opened() as opened:
        assert opened.notices == ()
        change = change_to(opened.marks, Selection(np.arange(90)), DONE)
        assert change is not None
        opened.layer.put(opened.history.record(change))
        assert len(opened.layer.commit()) == 1
    assert not path.exists()
    assert journal in [left.read_bytes() for left in ruin.folder.iterdir()]
    with ruin.opened() as again:
        assert again.notices == ()
        assert len(ruin.saved()) == 1


def test_a_spoilt_snapshot_is_only_a_cache(ruin: "Ruin") -> None:
    """A snapshot that claims impossible states is passed over, the strokes are believed."""
    states = zlib.compress(bytes([9]) * (90 * 70))
    everywhere = zlib.compress(bytes([1]) * (90 * 70))
    for blob in (states, everywhere):
        content = ruin.with_sql(f"UPDATE snapshot SET states = x'{blob.hex()}'")
        with ruin.opened(content) as opened:
            assert opened.notices == ()
            for mine, theirs in zip(ruin.marks_of(list(ruin.rows)), opened.marks.families, strict=True):
                assert np.array_equal(mine, theirs)
