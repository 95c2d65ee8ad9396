"""A stroke: one thing her hand did, with its id and time, as it is kept in the file."""

import contextlib
import struct
import zlib
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from stitchview.chart.limits import MOST_STITCHES
from stitchview.done.addresses import MOST_RUNS, WIDTHS, Addresses, Rows
from stitchview.done.change import FIRST_STATES, OPEN, Change
from stitchview.done.deflated import MalformedStroke, deflate, inflate
from stitchview.done.ids import is_stroke_id
from stitchview.done.noterows import packed

MARK, UNPICK, UNDO, REDO = KINDS = ("mark", "unpick", "undo", "redo")
MAKING = (MARK, UNPICK)
"""Kinds that carry stitches and notes; the others name one of these as their target."""

MOST_ROWS = (MOST_RUNS, MOST_STITCHES, MOST_STITCHES, MOST_STITCHES)
"""Rows of each family that a stroke can have on the biggest chart there may be."""
BLOB_TYPES = (bytes, type(None))

_LENGTHS = struct.Struct("<q9I")


@dataclass(frozen=True, eq=False, slots=True)
class Stroke:
    """One stroke: a `change` to make, or a `target` to undo or redo; `time` in ms since 1970, UTC.

    `after` is the newest stroke that its maker knew of; None for the first of all.
    """

    id: bytes
    after: bytes | None
    time: int
    device: str
    kind: str
    target: bytes | None = None
    change: Change | None = None


class StrokeRow(NamedTuple):
    """A stroke as a row of the file, in the order of its columns.

    The last two are only in files in which something was noted; without notes both are None.
    """

    id: bytes
    after: bytes | None
    time: int
    device: str
    kind: str
    target: bytes | None
    squares: bytes | None
    parts: bytes | None
    lines: bytes | None
    points: bytes | None
    checksum: int
    notes: bytes | None = None
    notes_checksum: int | None = None

    @classmethod
    def of(cls, record: tuple[Any, ...]) -> "StrokeRow":
        """The row that a record of the file holds, with or without the columns for notes."""
        return cls(*record)

    @property
    def families(self) -> tuple[bytes | None, bytes | None, bytes | None, bytes | None]:
        """The deflated rows of each family, None where it has none."""
        return self.squares, self.parts, self.lines, self.points


WITH_NOTES = len(StrokeRow._fields)
WITHOUT_NOTES = WITH_NOTES - 2
PLAIN = WITHOUT_NOTES - 1
"""Columns of a row with and without those for notes, and those before the checksum."""


def kind_of(change: Change) -> str:
    """What the file calls a change: unpicking if all its stitches go to OPEN, else marking."""
    opens = change.count > 0 and all(bool((altered.new == OPEN).all()) for altered in change.families)
    return UNPICK if opens else MARK


def row_of(stroke: Stroke, addresses: Addresses) -> StrokeRow:
    """The row that keeps `stroke`."""
    squares = parts = lines = points = notes = None
    if stroke.change is not None:
        squares, parts, lines, points = (_deflated(rows) for rows in addresses.rows_of(stroke.change))
        notes = packed(stroke.change.notes, addresses.origin)
    told = (stroke.id, stroke.after, stroke.time, stroke.device, stroke.kind, stroke.target)
    row = StrokeRow(*told, squares, parts, lines, points, checksum=0, notes=notes)
    checksums = checksum(row[:PLAIN]), notes_checksum(row.id, notes)
    return row._replace(checksum=checksums[0], notes_checksum=checksums[1])


def checksum(plain: tuple[Any, ...]) -> int:
    """CRC-32 (as in zlib) over the row's columns before the checksum, which are those of any format.

    First the time in 8 bytes and the lengths of all the others in 4 bytes each, little-endian, then
    the others one after the other: texts in UTF-8, NULL as nothing.
    """
    stroke_id, after, time, device, kind, *others = plain
    contents = [stroke_id, after or b"", device.encode(), kind.encode(), *[each or b"" for each in others]]
    return zlib.crc32(b"".join((_LENGTHS.pack(time, *map(len, contents)), *contents)))


def notes_checksum(stroke_id: bytes, notes: bytes | None) -> int | None:
    """CRC-32 (as in zlib) over the id of a stroke and its notes; None without notes."""
    return None if notes is None else zlib.crc32(stroke_id + notes)


def is_sound(row: tuple[object, ...]) -> bool:
    """Whether a row read from a file is a stroke, whole as it was written."""
    if len(row) not in (WITHOUT_NOTES, WITH_NOTES) or not _has_types(row):
        return False
    sound = StrokeRow.of(row)
    if sound.kind not in KINDS or (sound.kind in MAKING) is not (sound.target is None):
        return False
    if sound.notes_checksum != notes_checksum(sound.id, sound.notes):
        return False
    return checksum(row[:PLAIN]) == sound.checksum


def numbers_of(row: StrokeRow) -> tuple[Rows, Rows, Rows, Rows]:
    """The numbers of each family that a row keeps; raises `MalformedStroke` if they make no sense."""
    squares, parts, lines, points = (
        _rows(blob, width, most) for blob, width, most in zip(row.families, WIDTHS, MOST_ROWS, strict=True)
    )
    return squares, parts, lines, points


def names_later_states(row: StrokeRow) -> bool:
    """Whether a stroke names a state that the first formats do not know; one that makes no sense does not."""
    with contextlib.suppress(MalformedStroke):
        for rows in numbers_of(row):
            states = rows[:, -1]
            if max((states & 255).max(initial=0), (states >> 8).max(initial=0)) >= FIRST_STATES:
                return True
    return False


def _has_types(row: tuple[object, ...]) -> bool:
    stroke_id, after, time, device, kind, target, *blobs, total = row[:WITHOUT_NOTES]
    blobs += row[WITHOUT_NOTES:-1]
    if not (isinstance(device, str) and isinstance(kind, str)):
        return False
    if not (isinstance(time, int) and isinstance(total, int) and is_stroke_id(stroke_id)):
        return False
    if not all(each is None or is_stroke_id(each) for each in (after, target)):
        return False
    return all(type(blob) in BLOB_TYPES for blob in blobs)


def _deflated(rows: Rows) -> bytes | None:
    return deflate(rows.astype("<i4").tobytes()) if len(rows) else None


def _rows(blob: bytes | None, width: int, most: int) -> Rows:
    if blob is None:
        return np.zeros((0, width), np.int32)
    content = inflate(blob, most * 4 * width)
    if len(content) % (4 * width):
        raise MalformedStroke("the numbers of a stroke do not fill whole rows")
    return np.frombuffer(content, "<i4").reshape(-1, width).astype(np.int32, copy=False)
