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

NUMBER_BYTES = (0, 1, 2, 3, 4, 6, 8, 0, 0, 0)
"""Bytes of a value by its kind, below the kinds of blobs and texts."""
MOST_HEADER_BYTES = 200

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
                yield self._record(start + offset + skipped)

    def _record(self, at: int) -> tuple[Value, ...]:
        content = self._content
        length, begin = _varint(content[at : at + 9], 0)
        if length > len(content):
            raise _Unreadable
        at, local = at + begin, _local_bytes(length)
        payload = content[at : at + local]
        kinds, body = _header(payload)
        # Nonsense is told by its lengths before anything more is read for it.
        if body + sum(_size_of(kind) for kind in kinds) != length:
            raise _Unreadable
        if local < length:
            page = int.from_bytes(content[at + local : at + local + 4], "big")
            payload += self._overflow(page, length - local)
        return _values(payload, kinds, body)

    def _overflow(self, page: int, missing: int) -> bytes:
        content, pieces = self._content, []
        self._budget -= missing
        while missing > 0 and self._budget >= 0:
            start = (page - 1) * PAGE_BYTES
            if page < 1 or start >= len(content):
                raise _Unreadable
            pieces.append(content[start + 4 : start + 4 + min(missing, OVERFLOW_BYTES)])
            missing -= OVERFLOW_BYTES
            page = int.from_bytes(content[start : start + 4], "big")
        return b"".join(pieces)


def _local_bytes(length: int) -> int:
    """How much of a payload lies in the cell itself; the rest is on overflow pages."""
    if length <= MOST_LOCAL:
        return length
    local = LEAST_LOCAL + (length - LEAST_LOCAL) % OVERFLOW_BYTES
    return local if local <= MOST_LOCAL else LEAST_LOCAL


def _header(payload: bytes) -> tuple[list[int], int]:
    """The kinds of a record's values, and where the first of them begins."""
    header_bytes, at = _varint(payload, 0)
    if not 0 < header_bytes <= min(len(payload), MOST_HEADER_BYTES):
        raise _Unreadable
    kinds: list[int] = []
    while at < header_bytes:
        kind, at = _varint(payload, at)
        kinds.append(kind)
    return kinds, header_bytes


def _size_of(kind: int) -> int:
    if kind in (7, 10, 11):
        raise _Unreadable
    return NUMBER_BYTES[kind] if kind < len(NUMBER_BYTES) else (kind - 12) // 2


def _values(payload: bytes, kinds: list[int], at: int) -> tuple[Value, ...]:
    values: list[Value] = []
    for kind in kinds:
        content = payload[at : at + _size_of(kind)]
        at += len(content)
        if len(content) != _size_of(kind):
            raise _Unreadable
        values.append(_value(kind, content))
    return tuple(values)


def _value(kind: int, content: bytes) -> Value:
    if kind == 0:
        return None
    if kind in (8, 9):
        return kind - 8
    if kind <= 6:
        return int.from_bytes(content, "big", signed=True)
    return content if kind % 2 == 0 else content.decode("utf-8", "replace")


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
