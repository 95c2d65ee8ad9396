"""Read records straight from the pages of a damaged SQLite file, without SQLite's help.

Source of the layout: “Database File Format”, sqlite.org/fileformat2.html, sections 1.5, 1.6 and 2.1.
"""

import contextlib
import mmap
from collections.abc import Iterator

from stitchview.done.schema import PAGE_BYTES

FILE_HEADER_BYTES = 100
HEADER_BYTES = {0x0A: 8, 0x02: 12}
"""Bytes of the page header of leaf and inner pages of an index tree, where our tables keep their rows."""

MOST_LOCAL = (PAGE_BYTES - 12) * 64 // 255 - 23
LEAST_LOCAL = (PAGE_BYTES - 12) * 32 // 255 - 23
OVERFLOW_BYTES = PAGE_BYTES - 4

BUDGET = 8
"""Times its own size that a file may make us read over, lest a hostile one keep us for hours."""

Value = int | bytes | str | None
Content = bytes | mmap.mmap


class _Unreadable(Exception):
    """Bytes that are no record."""


def records(content: Content) -> Iterator[tuple[Value, ...]]:
    """All that can be read as a record in an index tree's page of `content`; it may be nonsense.

    Every page is tried as a leaf and as an inner page, since the byte that tells may be the damaged one.
    """
    source = _Source(content)
    for start in range(0, len(content), PAGE_BYTES):
        header = start + (FILE_HEADER_BYTES if start == 0 else 0)
        for size in HEADER_BYTES.values():
            yield from source.cells(start, header, size)


class _Source:
    """The bytes of a file, and how many of them may still be followed."""

    def __init__(self, content: Content) -> None:
        self._content = content
        self._budget = BUDGET * len(content)

    def cells(self, start: int, header: int, size: int) -> Iterator[tuple[Value, ...]]:
        """Records of the page at `start` if its header, `size` bytes long, begins at `header`."""
        content = self._content
        most = (PAGE_BYTES - (header - start) - size) // 2
        count = min(int.from_bytes(content[header + 3 : header + 5], "big"), most)
        # An inner page's cell begins with the number of the page below it.
        skipped = 4 if size == HEADER_BYTES[0x02] else 0
        for at in range(header + size, header + size + 2 * count, 2):
            offset = int.from_bytes(content[at : at + 2], "big")
            with contextlib.suppress(_Unreadable):
                yield _record(self._payload(start + offset + skipped))

    def _payload(self, at: int) -> bytes:
        content = self._content
        length, begin = _varint(content[at : at + 9], 0)
        if length > min(len(content), self._budget):
            raise _Unreadable
        self._budget -= length
        at, local = at + begin, _local_bytes(length)
        pieces, missing = [content[at : at + local]], length - local
        page = int.from_bytes(content[at + local : at + local + 4], "big")
        while missing > 0:
            start = (page - 1) * PAGE_BYTES
            if page < 1 or start >= len(content):
                raise _Unreadable
            pieces.append(content[start + 4 : start + 4 + min(missing, OVERFLOW_BYTES)])
            missing -= OVERFLOW_BYTES
            page = int.from_bytes(content[start : start + 4], "big")
        payload = b"".join(pieces)
        if len(payload) != length:
            raise _Unreadable
        return payload


def _local_bytes(length: int) -> int:
    """How much of a payload lies in the cell itself; the rest is on overflow pages."""
    if length <= MOST_LOCAL:
        return length
    local = LEAST_LOCAL + (length - LEAST_LOCAL) % OVERFLOW_BYTES
    return local if local <= MOST_LOCAL else LEAST_LOCAL


def _record(payload: bytes) -> tuple[Value, ...]:
    header_bytes, at = _varint(payload, 0)
    if not 0 < header_bytes <= len(payload):
        raise _Unreadable
    values: list[Value] = []
    body = header_bytes
    while at < header_bytes:
        kind, at = _varint(payload, at)
        value, body = _value(payload, kind, body)
        values.append(value)
    return tuple(values)


def _value(payload: bytes, kind: int, at: int) -> tuple[Value, int]:
    if kind == 0:
        return None, at
    if kind in (8, 9):
        return kind - 8, at
    size = (0, 1, 2, 3, 4, 6, 8)[kind] if kind <= 6 else (kind - 12) // 2
    content = payload[at : at + size]
    if kind in (7, 10, 11) or len(content) != size:
        raise _Unreadable
    if kind <= 6:
        return int.from_bytes(content, "big", signed=True), at + size
    return (content if kind % 2 == 0 else content.decode("utf-8", "replace")), at + size


def _varint(content: bytes, at: int) -> tuple[int, int]:
    """A number of 1 to 9 bytes: seven bits each while the high bit is set, eight in the ninth."""
    value = 0
    for step in range(9):
        if not 0 <= at + step < len(content):
            raise _Unreadable
        byte = content[at + step]
        if step == 8:
            return value << 8 | byte, at + 9
        value = value << 7 | byte & 0x7F
        if byte < 0x80:
            return value, at + step + 1
    raise _Unreadable
