"""A stroke comes back from its row as it was, and nothing else passes for one."""

import contextlib
import struct
import zlib
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.addresses import Addresses
from stitchview.done.change import DONE, OPEN
from stitchview.done.deflated import MalformedStroke, inflate
from stitchview.done.ids import Ids
from stitchview.done.marks import Marks, change_to
from stitchview.done.shapes import Takes, rectangle
from stitchview.done.strokes import (
    MARK,
    PLAIN,
    UNDO,
    UNPICK,
    Stroke,
    StrokeRow,
    checksum,
    is_sound,
    kind_of,
    numbers_of,
    row_of,
)


@pytest.fixture
def row(small_chart: Callable[[], Chart]) -> StrokeRow:
    """The row of a stroke that marks stitches of every family."""
    chart = small_chart()
    change = change_to(Marks(chart), rectangle(chart, chart.area, Takes()), DONE)
    return row_of(
        Stroke(Ids().next(), None, 1_700_000_000_000, "sofa", MARK, change=change), Addresses(chart)
    )


@given(st.integers(0, 9), st.integers(0, 9), st.integers(1, 9), st.integers(1, 9))
def test_a_stroke_comes_back_from_its_row(
    small_chart: Callable[[], Chart], column: int, row: int, columns: int, rows: int
) -> None:
    """What a stroke marked is what its row says."""
    chart = small_chart()
    change = change_to(Marks(chart), rectangle(chart, Area(column, row, columns, rows), Takes()), DONE)
    addresses = Addresses(chart)
    kept = row_of(Stroke(Ids().next(), None, -5, "sofa", MARK, change=change), addresses)
    assert is_sound(kept)
    if change is None:
        assert kept.families == (None, None, None, None)
        return
    back = addresses.change_of(numbers_of(kept))
    for mine, theirs in zip(back.families, change.families, strict=True):
        assert mine.indices.tolist() == theirs.indices.tolist()
        assert mine.new.tolist() == theirs.new.tolist()
    assert kind_of(change) == MARK
    assert kind_of(change.inverse()) == UNPICK


def test_the_row_is_what_the_format_says(small_chart: Callable[[], Chart]) -> None:
    """A stranger with zlib and struct reads the same squares: row, first column, length, states."""
    chart = small_chart()
    change = change_to(Marks(chart), rectangle(chart, Area(1, 1, 3, 1), Takes(lines=False)), DONE)
    kept = row_of(Stroke(Ids().next(), None, 7, "söfa", MARK, change=change), Addresses(chart))
    assert kept.squares is not None
    assert struct.unpack("<4i", zlib.decompress(kept.squares)) == (1, 1, 3, OPEN + 256 * DONE)
    assert (kept.parts, kept.lines, kept.points) == (None, None, None)
    texts = "söfa".encode(), b"mark"
    lengths = (16, 0, len(texts[0]), len(texts[1]), 0, len(kept.squares), 0, 0, 0)
    expected = struct.pack("<q9I", 7, *lengths) + kept.id + b"".join(texts) + kept.squares
    assert kept.checksum == zlib.crc32(expected)


def with_column(row: StrokeRow, column: str, value: Any) -> StrokeRow:
    """The row with something else, of any type, in one column."""
    return row._replace(**{column: value})


def test_every_flipped_bit_is_noticed(row: StrokeRow) -> None:
    """A bit flipped anywhere in a stroke's row does not pass unseen."""
    for field, value in zip(StrokeRow._fields, row, strict=True):
        if isinstance(value, bytes):
            for at in range(len(value)):
                for bit in range(8):
                    flipped = bytearray(value)
                    flipped[at] ^= 1 << bit
                    assert not is_sound(with_column(row, field, bytes(flipped)))
        elif isinstance(value, int):
            assert not is_sound(with_column(row, field, value ^ 1))
        elif isinstance(value, str):
            assert not is_sound(with_column(row, field, value + "x"))
    assert is_sound(row)


def test_bytes_that_wander_between_columns_are_noticed(row: StrokeRow) -> None:
    """The same bytes in other columns are another stroke."""
    assert not is_sound(row._replace(parts=row.lines, lines=row.parts))
    assert not is_sound(row._replace(device="so", kind="famark"))


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("id", "text"),
        ("id", bytes(16)),
        ("after", "text"),
        ("after", bytes(16)),
        ("time", "7"),
        ("time", 1.5),
        ("device", b"sofa"),
        ("kind", "knit"),
        ("kind", UNDO),
        ("target", bytes(16)),
        ("target", "text"),
        ("squares", 5),
        ("points", "text"),
        ("checksum", None),
    ],
)
def test_wrong_types_are_no_stroke(row: StrokeRow, column: str, value: object) -> None:
    """A row with a column of the wrong kind is refused even if its checksum were right."""
    wrong = with_column(row, column, value)
    assert not is_sound(wrong)
    assert not is_sound(tuple(row)[:-1])
    with contextlib.suppress(struct.error, AttributeError, TypeError):
        resealed = with_column(wrong, "checksum", checksum(tuple(wrong)[:PLAIN]))
        assert column == "checksum" or not is_sound(resealed)


def with_squares(row: StrokeRow, blob: bytes) -> StrokeRow:
    changed = row._replace(squares=blob)
    return changed._replace(checksum=checksum(tuple(changed)[:PLAIN]))


@pytest.mark.parametrize(
    "blob",
    [
        b"",
        b"no zlib at all",
        zlib.compress(b"123"),
        zlib.compress(bytes(16)) + b"more",
        zlib.compress(np.zeros(4, "<i4").tobytes())[:-2],
        zlib.compress(bytes(17)),
    ],
)
def test_stitches_that_cannot_be_unpacked_are_refused(row: StrokeRow, blob: bytes) -> None:
    """Cut off, overlong and senseless contents raise one kind of error."""
    with pytest.raises(MalformedStroke):
        numbers_of(with_squares(row, blob))


def test_a_bomb_is_not_inflated() -> None:
    """A few bytes that would swell to a giant are refused before they do."""
    bomb = zlib.compress(bytes(50_000_000), 9)
    assert len(bomb) < 60_000
    with pytest.raises(MalformedStroke, match="far too many"):
        inflate(bomb, 1_000_000)
