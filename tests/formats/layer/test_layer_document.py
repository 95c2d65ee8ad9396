"""The written description of the done layer is enough to read one without this program."""

import sqlite3
import struct
import uuid
import zlib
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from stitchview.chart.model import Chart
from stitchview.chart.stitches import LineKind, PartShape, PointKind
from stitchview.done.change import DONE, FIRST_LEG, LATER, MISTAKE, OPEN, STATES, Selection
from stitchview.done.layerfile import OpenedLayer, open_layer
from stitchview.done.marks import change_to
from stitchview.done.noterows import NAMES
from stitchview.done.notes import MOST_NAME_LETTERS, MOST_NOTE_LETTERS
from stitchview.done.schema import (
    APPLICATION_ID,
    FIRST_FORMAT,
    FORMAT,
    NOTE_COLUMNS,
    NOTES_FORMAT,
    TABLES,
    TABLES_WITH_NOTES,
)

Address = tuple[int, ...]
ENDING_WITH_NOTES = "checksum INTEGER NOT NULL, notes BLOB, notes_checksum INTEGER) STRICT, WITHOUT ROWID"


@pytest.fixture
def opened(tmp_path: Path, small_chart: Callable[[], Chart]) -> Iterator[OpenedLayer]:
    """A layer after an evening of marking, unpicking, undoing and redoing every kind of stitch."""
    chart = replace(small_chart(), origin=(-4, 7))
    opened = open_layer(tmp_path / "harbour.svchart", chart, tmp_path, "sofa")
    random = np.random.default_rng(6)
    for number in range(60):
        step = None
        if number % 7 in (3, 4):
            step = opened.history.undo() if number % 14 != 4 else opened.history.redo()
        if step is not None:
            opened.marks.apply(step.change)
            opened.layer.put(step.stroke)
            continue
        chosen = [np.flatnonzero(random.random(states.size) < 0.2) for states in opened.marks.families]
        change = change_to(opened.marks, Selection(*chosen), int(random.random() < 0.6))
        if change is not None:
            opened.marks.apply(change)
            opened.layer.put(opened.history.record(change))
    opened.layer.put_place({"zoom": 2})
    opened.layer.commit()
    yield opened
    opened.layer.close()


def rows(blob: bytes | None, width: int) -> list[Address]:
    """Rows of numbers as the description tells of them."""
    return [] if blob is None else list(struct.iter_unpack(f"<{width}i", zlib.decompress(blob)))


def strokes_that_hold(strokes: list[tuple[Any, ...]]) -> set[bytes]:
    """The ids of the strokes that hold, by the description's rule; strokes come in order of id."""
    holds: list[bytes] = []
    can_be_redone: list[bytes] = []
    for stroke_id, _, _, _, kind, target, *_ in strokes:
        if kind in ("mark", "unpick"):
            holds.append(stroke_id)
            can_be_redone = []
        elif kind == "undo" and target in holds:
            holds.remove(target)
            can_be_redone.append(target)
        elif kind == "redo" and target in can_be_redone:
            can_be_redone.remove(target)
            holds.append(target)
    return set(holds)


def read_as_described(path: Path) -> dict[str, dict[Address, int]]:
    """The states of all addresses, worked out from the description alone."""
    with closing(sqlite3.connect(path)) as connection:
        assert connection.execute("PRAGMA application_id").fetchone() == (0x53564431,)
        assert connection.execute("PRAGMA user_version").fetchone() == (1,)
        strokes = sorted(connection.execute("SELECT * FROM strokes"))
    kinds = {stroke[4] for stroke in strokes}
    assert kinds == {"mark", "unpick", "undo", "redo"}
    holds = strokes_that_hold(strokes)
    states: dict[str, dict[Address, int]] = {"squares": {}, "parts": {}, "lines": {}, "points": {}}
    for stroke_id, _, _, _, _, _, squares, parts, lines, points, _ in strokes:
        if stroke_id not in holds:
            continue
        for row, first, length, packed in rows(squares, 4):
            for column in range(first, first + length):
                states["squares"][column, row] = packed // 256
        for name, blob, width in (("parts", parts, 5), ("lines", lines, 7), ("points", points, 5)):
            for numbers in rows(blob, width):
                states[name][numbers[:-1]] = numbers[-1] // 256
    return states


def test_a_stranger_reads_the_same_marks(opened: OpenedLayer) -> None:
    """Python's own sqlite3, zlib and struct, and the description, give every mark."""
    chart, marks = opened.marks.chart, opened.marks
    assert opened.layer.path is not None
    states = read_as_described(opened.layer.path)
    column, row = chart.origin
    for y in range(chart.rows):
        for x in range(chart.columns):
            assert states["squares"].get((x + column, y + row), 0) == marks.squares[y, x]
    for at in range(len(chart.parts)):
        address = (chart.parts.columns[at] + column, chart.parts.rows[at] + row, chart.parts.shapes[at], 0)
        assert states["parts"].get(address, 0) == marks.parts[at]
    lines = chart.lines
    for at in range(len(lines)):
        ends = sorted([(lines.x1[at], lines.y1[at]), (lines.x2[at], lines.y2[at])])
        flat = [number + 2 * (column, row)[n % 2] for n, number in enumerate(sum(ends, ()))]
        assert states["lines"].get((*flat, lines.kinds[at], 0), 0) == marks.lines[at]
    for at in range(len(chart.points)):
        address = (chart.points.x[at] + 2 * column, chart.points.y[at] + 2 * row, chart.points.kinds[at], 0)
        assert states["points"].get(address, 0) == marks.points[at]
    assert all((family == DONE).any() for family in marks.families)


def test_checksums_are_as_described(opened: OpenedLayer) -> None:
    """A stranger who follows the description finds the checksums of all strokes and facts."""
    assert opened.layer.path is not None
    with closing(sqlite3.connect(opened.layer.path)) as connection:
        for name, value, checksum in connection.execute("SELECT * FROM facts"):
            assert checksum == zlib.crc32(name.encode() + b"\0" + value.encode())
        before = None
        for stroke_id, after, time, device, kind, *blobs, checksum in connection.execute(
            "SELECT * FROM strokes ORDER BY id"
        ):
            pieces = [stroke_id, after, device.encode(), kind.encode(), *blobs]
            pieces = [piece or b"" for piece in pieces]
            content = struct.pack("<q9I", time, *(len(piece) for piece in pieces)) + b"".join(pieces)
            assert checksum == zlib.crc32(content)
            assert uuid.UUID(bytes=stroke_id).version == 7
            assert after == before
            before = stroke_id


def test_the_description_is_current(repository: Path) -> None:
    """Tables, numbers and names in the description are those of the program."""
    text = (repository / "resources" / "done-layer.md").read_text("utf-8")
    for table in TABLES:
        assert f"    {table}\n" in text
    for column in NOTE_COLUMNS:
        assert f"    ALTER TABLE strokes ADD COLUMN {column}\n" in text
    assert TABLES_WITH_NOTES[1].endswith(ENDING_WITH_NOTES)
    assert f"`{ENDING_WITH_NOTES}`" in text
    for name in NAMES.values():
        assert f"| `{name}` |" in text
    assert f"`name` (text, at most {MOST_NAME_LETTERS} characters)" in text
    assert f"`note` (text, at most {MOST_NOTE_LETTERS:,})" in text
    assert f"0x{APPLICATION_ID:X}" in text
    assert (
        f"  format: {FIRST_FORMAT}, or {NOTES_FORMAT} once something was noted in the file, or {FORMAT} once"
        in text
    )
    assert "States: 0 open, 1 done, 2 first leg, 3 later,\n  4 mistake." in text
    assert (OPEN, DONE, FIRST_LEG, LATER, MISTAKE, STATES) == (0, 1, 2, 3, 4, 5)
    assert f"`PRAGMA user_version={FORMAT}`" in text
    assert [shape.value for shape in PartShape] == list(range(1, 11))
    assert (LineKind.BACK, LineKind.STRAIGHT, PointKind.KNOT, PointKind.BEAD) == (1, 2, 1, 2)
