"""Notes in the done layer: what strangers and older programs read, and what damage costs."""

import contextlib
import json
import sqlite3
import struct
import uuid
import zlib
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from stitchview.chart.area import Area
from stitchview.done import schema
from stitchview.done.change import DONE
from stitchview.done.ids import Ids
from stitchview.done.layerfile import OpenedLayer
from stitchview.done.marks import change_to, noting
from stitchview.done.notebook import Notes
from stitchview.done.notes import HeldBack, NeedlefulEnd, Note, Parked, Pin
from stitchview.done.schema import connect, read_rows
from stitchview.done.shapes import Takes, rectangle
from stitchview.done.strokes import StrokeRow, notes_checksum

if TYPE_CHECKING:
    from tests.formats.layer.conftest import Ruin

OLDER_COLUMNS = "id, after, time, device, kind, target, squares, parts, lines, points, checksum"
PINS = 40
RENAMED = Pin("p00", 5, 5, "Mast")
NO_STITCHES: dict[str, Any] = {"squares": None, "parts": None, "lines": None, "points": None}
BOMB = zlib.compress(bytes(70 << 20), 9)


def strokes_of(opened: OpenedLayer) -> Iterator[tuple[Note, ...]]:
    """What is noted stroke by stroke: many pins, some other notes, and one pin that is renamed."""
    for number in range(PINS):
        yield (Pin(f"p{number:02}", number, 2 * number, f"Pin {number}", "count again " * number),)
    yield Parked("a", 3, 3), HeldBack("b", True), NeedlefulEnd("n", "a", 40, 2, 2, True, 370.0, 380.5)
    yield (RENAMED,)


@pytest.fixture(scope="module")
def noted(ruin: "Ruin") -> bytes:
    """The bytes of the sound layer after an evening of noting, some of it together with marks."""
    with ruin.opened(ruin.content) as opened:
        for number, notes in enumerate(strokes_of(opened)):
            put = opened.marks.notes.putting(*notes)
            assert put is not None
            selection = rectangle(ruin.chart, Area(number, number, 3, 1), Takes())
            change = change_to(opened.marks, selection, DONE) if number % 3 == 0 else None
            change = noting(ruin.chart, put, change)
            opened.marks.apply(change)
            opened.layer.put(opened.history.record(change))
            opened.layer.commit()
        step = opened.history.undo()
        assert step is not None
        opened.marks.apply(step.change)
        opened.layer.put(step.stroke)
        opened.layer.commit()
    return ruin.path.read_bytes()


def all_notes() -> Notes:
    """The notes after the evening; the last stroke, which renamed a pin, was undone."""
    pins = [Pin(f"p{n:02}", n, 2 * n, f"Pin {n}", "count again " * n) for n in range(PINS)]
    return Notes.of([*pins, Parked("a", 3, 3), HeldBack("b", True), *needlefuls()])


def needlefuls() -> tuple[NeedlefulEnd, ...]:
    return (NeedlefulEnd("n", "a", 40, 2, 2, True, 370.0, 380.5),)


def test_the_older_file_opens_as_ever(ruin: "Ruin") -> None:
    """A file of the first format opens without a word, and opening alone does not alter a byte of it."""
    with ruin.opened(ruin.content) as opened:
        assert opened.notices == ()
        assert opened.marks.notes == Notes()
    assert ruin.path.read_bytes() == ruin.content


def test_notes_are_all_there(ruin: "Ruin", noted: bytes) -> None:
    """Before anything is ruined, the notes and marks are those of the evening."""
    with ruin.opened(noted) as opened:
        assert opened.notices == ()
        assert opened.marks.notes == all_notes()
        assert len(ruin.saved()) == len(ruin.rows) + PINS + 3


def test_an_older_program_reads_all_marks(ruin: "Ruin", noted: bytes) -> None:
    """By the rules of the first format, columns and checksums alike, the marks are all there.

    A program that knows only that format sees the higher number and leaves the file as it is.
    """
    ruin.path.write_bytes(noted)
    with contextlib.closing(sqlite3.connect(ruin.path)) as connection:
        assert connection.execute("PRAGMA user_version").fetchone() == (2,)
        assert connection.execute("SELECT value FROM facts WHERE name = 'format'").fetchone() == ("2",)
        found = connection.execute(f"SELECT {OLDER_COLUMNS} FROM strokes ORDER BY id").fetchall()
    assert len(found) == len(ruin.rows) + PINS + 3
    for stroke_id, after, time, device, kind, *blobs, checksum in found:
        assert uuid.UUID(bytes=stroke_id).version == 7
        assert kind in ("mark", "unpick", "undo", "redo")
        pieces = [each or b"" for each in (stroke_id, after, device.encode(), kind.encode(), *blobs)]
        lengths = struct.pack("<q9I", time, *(len(piece) for piece in pieces))
        assert checksum == zlib.crc32(lengths + b"".join(pieces))
    with ruin.opened(noted) as opened:
        older = ruin.marks_of([StrokeRow(*row) for row in found])
        for mine, theirs in zip(older, opened.marks.families, strict=True):
            assert np.array_equal(mine, theirs)


def test_a_stranger_reads_the_same_notes(ruin: "Ruin", noted: bytes) -> None:
    """Python's own sqlite3, zlib and json, and the description, give every note."""
    ruin.path.write_bytes(noted)
    holds: dict[bytes, Any] = {}
    with contextlib.closing(sqlite3.connect(ruin.path)) as connection:
        query = "SELECT id, kind, target, notes, notes_checksum FROM strokes ORDER BY id"
        for stroke_id, kind, target, notes, checksum in connection.execute(query):
            if kind == "undo":
                holds.pop(target, None)
            if notes is None:
                assert checksum is None
            else:
                assert kind == "mark"
                assert checksum == zlib.crc32(stroke_id + notes)
                holds[stroke_id] = json.loads(zlib.decompress(notes))
    pins = {}
    for stroke in holds.values():
        for each in stroke:
            if each["about"] == "pin":
                pins[each["new"]["id"]] = each["new"]
    column, row = ruin.chart.origin
    for pin in all_notes().pins:
        told = {"id": pin.id, "column": pin.column + column, "row": pin.row + row}
        assert pins.pop(pin.id) == {**told, "name": pin.name, "note": pin.note}
    assert not pins


def test_damage_costs_only_what_lay_there(ruin: "Ruin", noted: bytes) -> None:
    """A spoilt page costs the strokes on it; the pins on the others are saved and can be seen."""
    with ruin.opened(noted) as opened:
        pins = set(opened.marks.notes.pins)
    random = np.random.default_rng(4)
    damaged = 0
    for start in random.integers(schema.PAGE_BYTES, len(noted), 25).tolist():
        content = bytearray(noted)
        content[start : start + 40] = bytes(b ^ 0x55 for b in content[start : start + 40])
        with ruin.opened(bytes(content)) as opened:
            if not opened.notices:
                assert set(opened.marks.notes.pins) == pins
                continue
            damaged += 1
            saved = set(opened.marks.notes.pins)
            assert {pin.id for pin in saved} <= {pin.id for pin in pins}
            # Undone or not, a stroke lost with its undo may bring back the pin's other name.
            assert len(saved) >= PINS - 30
            assert ruin.asides()[0].read_bytes() == content
    assert damaged > 5


def test_everything_is_saved_from_a_file_that_is_laid_out_otherwise(ruin: "Ruin", noted: bytes) -> None:
    """When only the tables are not ours, every note is saved into the fresh file, in its new format."""
    ruin.path.write_bytes(noted)
    with contextlib.closing(sqlite3.connect(ruin.path)) as connection:
        connection.execute("CREATE TABLE more (x)")
    with ruin.opened(ruin.path.read_bytes()) as opened:
        assert "damaged" in opened.notices[0]
        assert opened.marks.notes == all_notes()
    with ruin.opened() as again:
        assert again.notices == ()
        assert again.marks.notes == all_notes()


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE strokes SET notes = substr(notes, 2) WHERE notes IS NOT NULL",
        "UPDATE strokes SET notes_checksum = NULL WHERE notes IS NOT NULL",
        "UPDATE strokes SET notes = NULL",
        "UPDATE strokes SET notes_checksum = 7 WHERE notes IS NULL",
    ],
)
def test_altered_notes_are_not_trusted(ruin: "Ruin", noted: bytes, statement: str) -> None:
    """Notes that do not fit their checksum are never shown; what fits is saved."""
    ruin.path.write_bytes(noted)
    with contextlib.closing(sqlite3.connect(ruin.path)) as connection, connection:
        connection.execute(statement)
    content = ruin.path.read_bytes()
    with ruin.opened(content) as opened:
        assert "damaged" in opened.notices[0]
        # The stroke that undid the renaming may be among those spoilt.
        assert set(opened.marks.notes) <= {*all_notes(), RENAMED}
        assert [path.read_bytes() for path in ruin.asides()] == [content]


@pytest.mark.parametrize(
    "content",
    [
        b"no zlib",
        zlib.compress(b"{}"),
        zlib.compress(b'[{"about": "pin"}]'),
        BOMB,
    ],
    ids=["no zlib", "no list", "no pin", "bomb"],
)
def test_notes_that_make_no_sense_are_left_out(ruin: "Ruin", noted: bytes, content: bytes) -> None:
    """A stroke with right checksums and senseless notes does no harm; all others are saved."""
    ruin.path.write_bytes(noted)
    with contextlib.closing(connect(ruin.path)) as connection:
        rows = list(read_rows(connection))
        bad = next(row for row in rows if row.notes is not None)
        bad = bad._replace(id=Ids(after=rows[-1].id).next(), **NO_STITCHES)
        bad = bad._replace(notes=content, notes_checksum=notes_checksum(bad.id, content))
        bad = bad._replace(checksum=sealed(bad))
        schema.insert_rows(connection, [bad])
    with ruin.opened(ruin.path.read_bytes()) as opened:
        assert "damaged" in opened.notices[0]
        assert opened.marks.notes == all_notes()
        assert len(ruin.saved()) == len(rows)


def sealed(row: StrokeRow) -> int:
    pieces = [row.id, row.after, row.device.encode(), row.kind.encode(), row.target, *row.families]
    plain = [piece or b"" for piece in pieces]
    return zlib.crc32(struct.pack("<q9I", row.time, *map(len, plain)) + b"".join(plain))


def test_a_kind_of_note_that_is_not_known_stays(ruin: "Ruin", noted: bytes) -> None:
    """What a newer program noted is passed over, and is in the file just the same after undo and redo."""
    told = [{"about": "tape", "old": None, "new": {"from": [1, 2], "to": [3, 4]}}]
    blob = zlib.compress(json.dumps(told).encode())
    ruin.path.write_bytes(noted)
    with contextlib.closing(connect(ruin.path)) as connection:
        rows = list(read_rows(connection))
        newer = next(row for row in rows if row.notes is not None)
        newer = newer._replace(id=Ids(after=rows[-1].id).next(), after=rows[-1].id, **NO_STITCHES)
        newer = newer._replace(notes=blob, notes_checksum=notes_checksum(newer.id, blob))
        newer = newer._replace(checksum=sealed(newer))
        schema.insert_rows(connection, [newer])
    with ruin.opened(ruin.path.read_bytes()) as opened:
        assert opened.notices == ()
        assert opened.marks.notes == all_notes()
        for step in (opened.history.undo(), opened.history.redo()):
            assert step is not None
            assert step.change.count == 0
            opened.marks.apply(step.change)
            opened.layer.put(step.stroke)
        opened.layer.commit()
        assert opened.marks.notes == all_notes()
    assert [row for row in ruin.saved() if row.id == newer.id] == [newer]


def test_a_newer_format_is_left_alone_and_its_notes_are_shown(ruin: "Ruin", noted: bytes) -> None:
    """A later format that keeps strokes as this one does is shown, and not touched."""
    ruin.path.write_bytes(noted)
    with contextlib.closing(connect(ruin.path)) as connection:
        connection.execute("PRAGMA user_version=9")
        schema.keep_facts(connection, {"format": "9"})
    content = ruin.path.read_bytes()
    with ruin.opened(content) as opened:
        assert "newer stitchview" in opened.notices[0]
        assert opened.marks.notes == all_notes()
        assert not opened.layer.keeps
    assert ruin.path.read_bytes() == content
