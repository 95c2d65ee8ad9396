"""First legs, later and mistakes in the done layer: what strangers read, and what damage costs."""

import contextlib
import sqlite3
import struct
import zlib
from typing import TYPE_CHECKING

import numpy as np
import pytest

from stitchview.chart.area import Area
from stitchview.done.change import STATES
from stitchview.done.marks import change_to
from stitchview.done.schema import PAGE_BYTES, TABLES_WITH_NOTES
from stitchview.done.shapes import Takes, rectangle
from tests.formats.layer.conftest import Ruin as Sound

if TYPE_CHECKING:
    from tests.formats.layer.conftest import Ruin

MORE = 90
MOST_STROKES_A_PAGE = 60


@pytest.fixture(scope="module")
def stated(ruin: "Ruin") -> "Ruin":
    """The sound layer after an evening in which every state was given, some of them taken back."""
    random = np.random.default_rng(4)
    with ruin.opened(ruin.content) as opened:
        for number in range(MORE):
            if number % 13 == 7:
                step = opened.history.undo()
                assert step is not None
                opened.marks.apply(step.change)
                opened.layer.put(step.stroke)
            area = Area(int(random.integers(80)), int(random.integers(60)), 9, 5)
            change = change_to(opened.marks, rectangle(ruin.chart, area, Takes()), number % STATES)
            if change is not None:
                opened.marks.apply(change)
                opened.layer.put(opened.history.record(change))
        opened.layer.commit()
        opened.layer.keep_snapshot(opened.marks, opened.history.live)
        assert all((opened.marks.squares == state).any() for state in range(STATES))
    content = ruin.path.read_bytes()
    return Sound(ruin.chart, ruin.folder, content, tuple(ruin.saved()))


def test_a_stranger_reads_the_same_states(stated: "Ruin") -> None:
    """Python's own sqlite3, zlib and struct, and the description, give the state of every square."""
    stated.path.write_bytes(stated.content)
    with contextlib.closing(sqlite3.connect(stated.path)) as connection:
        assert connection.execute("PRAGMA user_version").fetchone() == (3,)
        assert connection.execute("SELECT value FROM facts WHERE name = 'format'").fetchone() == ("3",)
        tables = connection.execute("SELECT sql FROM sqlite_schema ORDER BY rowid").fetchall()
        assert tuple(sql for (sql,) in tables) == TABLES_WITH_NOTES
        rows = connection.execute("SELECT id, kind, target, squares FROM strokes ORDER BY id").fetchall()
    holds: dict[bytes, bytes | None] = {}
    for stroke_id, kind, target, squares in rows:
        if kind == "undo":
            holds.pop(target, None)
        else:
            holds[stroke_id] = squares
    states = np.zeros(stated.chart.squares.shape, np.uint8)
    column, row = stated.chart.origin
    for squares in holds.values():
        if squares is not None:
            for y, x, length, packed in struct.iter_unpack("<4i", zlib.decompress(squares)):
                states[y - row, x - column : x - column + length] = packed >> 8
    with stated.opened(stated.content) as opened:
        assert opened.notices == ()
        assert np.array_equal(opened.marks.squares, states)


def test_a_snapshot_that_lies_about_states_is_not_believed(stated: "Ruin") -> None:
    """With a number in the snapshot that is no state, the strokes are asked."""
    with stated.opened(stated.content) as opened:
        families = [each.copy() for each in opened.marks.families]
    flat = np.concatenate([each.reshape(-1) for each in families])
    for state in (STATES, 255):
        wrong = flat.copy()
        wrong[np.flatnonzero(flat)[0]] = state
        stated.path.write_bytes(stated.content)
        with contextlib.closing(sqlite3.connect(stated.path, isolation_level=None)) as connection:
            connection.execute("UPDATE snapshot SET states = ?", (zlib.compress(wrong.tobytes()),))
        with stated.opened() as opened:
            assert opened.notices == ()
            for mine, theirs in zip(families, opened.marks.families, strict=True):
                assert np.array_equal(mine, theirs)


def test_cut_off_anywhere_what_was_before_is_saved(stated: "Ruin") -> None:
    """Wherever a file of the third format is cut off, the strokes before the cut are saved."""
    for size in range(512, len(stated.content), 4096 + 512):
        stated.assert_unharmed_or_saved(stated.content[:size], at_most_lost=len(stated.rows))


def test_flipped_bytes_and_lost_blocks_cost_a_page_at_most(stated: "Ruin") -> None:
    """In a file of the third format too; never does a state come back that nobody gave."""
    random = np.random.default_rng(12)
    for at in random.integers(0, len(stated.content), 40).tolist():
        content = bytearray(stated.content)
        content[at] ^= 1 << int(random.integers(8))
        stated.assert_unharmed_or_saved(bytes(content), 0 if at < PAGE_BYTES else MOST_STROKES_A_PAGE)
    for start in range(0, len(stated.content), 9 * PAGE_BYTES):
        content = bytearray(stated.content)
        content[start : start + PAGE_BYTES] = bytes(PAGE_BYTES)
        stated.assert_saved(bytes(content), at_most_lost=MOST_STROKES_A_PAGE)
