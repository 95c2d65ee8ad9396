"""A stroke: one thing her hand did, with its id and time, as it is kept in the file."""

import struct
import zlib
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from stitchview.chart.limits import MOST_STITCHES
from stitchview.done.addresses import MOST_RUNS, WIDTHS, Addresses, MalformedStroke, Rows
from stitchview.done.change import OPEN, Change
from stitchview.done.ids import is_stroke_id

MARK, UNPICK, UNDO, REDO = KINDS = ("mark", "unpick", "undo", "redo")
MAKING = (MARK, UNPICK)
"""Kinds that carry stitches; the others name one of these as their target."""

MOST_ROWS = (MOST_RUNS, MOST_STITCHES, MOST_STITCHES, MOST_STITCHES)
"""Rows of each family that a stroke can have on the biggest chart there may be."""
COMPRESSION = 6
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
    """A stroke as a row of the file, in the order of its columns."""

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

    @property
    def families(self) -> tuple[bytes | None, bytes | None, bytes | None, bytes | None]:
        """The deflated rows of each family, None where it has none."""
        return self.squares, self.parts, self.lines, self.points


def kind_of(change: Change) -> str:
    """What the file calls a change: unpicking if all its stitches go to OPEN, else marking."""
    opens = change.count > 0 and all(bool((altered.new == OPEN).all()) for altered in change.families)
    return UNPICK if opens else MARK


def row_of(stroke: Stroke, addresses: Addresses) -> StrokeRow:
    """The row that keeps `stroke`."""
    squares = parts = lines = points = None
    if stroke.change is not None:
        squares, parts, lines, points = (_deflated(rows) for rows in addresses.rows_of(stroke.change))
    told = (stroke.id, stroke.after, stroke.time, stroke.device, stroke.kind, stroke.target)
    row = StrokeRow(*told, squares, parts, lines, points, checksum=0)
    return row._replace(checksum=checksum(row[:-1]))


def checksum(plain: tuple[Any, ...]) -> int:
    """CRC-32 (as in zlib) over the row's other columns.

    First the time in 8 bytes and the lengths of all the others in 4 bytes each, little-endian, then
    the others one after the other: texts in UTF-8, NULL as nothing.
    """
    stroke_id, after, time, device, kind, *others = plain
    contents = [stroke_id, after or b"", device.encode(), kind.encode(), *[each or b"" for each in others]]
    return zlib.crc32(b"".join((_LENGTHS.pack(time, *map(len, contents)), *contents)))


def is_sound(row: tuple[object, ...]) -> bool:
    """Whether a row read from a file is a stroke, whole as it was written."""
    if len(row) != len(StrokeRow._fields) or not _has_types(row):
        return False
    kind, target = row[4], row[5]
    if kind not in KINDS or (kind in MAKING) is not (target is None):
        return False
    return checksum(row[:-1]) == row[-1]


def numbers_of(row: StrokeRow) -> tuple[Rows, Rows, Rows, Rows]:
    """The numbers of each family that a row keeps; raises `MalformedStroke` if they make no sense."""
    squares, parts, lines, points = (
        _rows(blob, width, most) for blob, width, most in zip(row.families, WIDTHS, MOST_ROWS, strict=True)
    )
    return squares, parts, lines, points


def _has_types(row: tuple[object, ...]) -> bool:
    stroke_id, after, time, device, kind, target, *blobs, total = row
    if not (isinstance(device, str) and isinstance(kind, str)):
        return False
    if not (isinstance(time, int) and isinstance(total, int) and is_stroke_id(stroke_id)):
        return False
    if not all(each is None or is_stroke_id(each) for each in (after, target)):
        return False
    return all(type(blob) in BLOB_TYPES for blob in blobs)


def _deflated(rows: Rows) -> bytes | None:
    return zlib.compress(rows.astype("<i4").tobytes(), COMPRESSION) if len(rows) else None


def _rows(blob: bytes | None, width: int, most: int) -> Rows:
    if blob is None:
        return np.zeros((0, width), np.int32)
    content = inflate(blob, most * 4 * width)
    if len(content) % (4 * width):
        raise MalformedStroke("the numbers of a stroke do not fill whole rows")
    return np.frombuffer(content, "<i4").reshape(-1, width).astype(np.int32, copy=False)


def inflate(blob: bytes, most: int) -> bytes:
    """Inflate a zlib stream of at most `most` bytes that ends where the blob ends."""
    engine = zlib.decompressobj()
    try:
        content = engine.decompress(blob, most + 1)
    except zlib.error as error:
        raise MalformedStroke("the stitches of a stroke cannot be inflated") from error
    if len(content) > most or not engine.eof or engine.unused_data:
        raise MalformedStroke("the stitches of a stroke are cut off or far too many")
    return content
