"""The keeper says "kept" only of strokes that are on disk, and loses none when the disk fails."""

import sqlite3
import threading
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pytest

from stitchview.chart.model import Chart
from stitchview.done import keeper as keeper_module
from stitchview.done import layer as layer_module
from stitchview.done.change import DONE, Selection
from stitchview.done.keeper import Keeper
from stitchview.done.layerfile import OpenedLayer
from stitchview.done.marks import change_to
from stitchview.done.schema import connect, insert_rows
from stitchview.done.strokes import StrokeRow
from stitchview.errors import LayerError

if TYPE_CHECKING:
    from tests.done.conftest import Evening


class Hand:
    """Marks squares one after the other and remembers what it was told; closes its keeper at the end."""

    def __init__(self, opened: OpenedLayer) -> None:
        self.opened = opened
        self.kept: list[bytes] = []
        self.put: list[bytes] = []
        self.failed: list[LayerError] = []
        self.told = threading.Event()
        self.keeper = Keeper(opened, self._take_kept, self._take_failed)
        self._squares = iter(np.flatnonzero(opened.marks.chart.squares.ravel()).tolist())

    def mark(self, count: int = 1) -> None:
        for _ in range(count):
            change = change_to(self.opened.marks, Selection(np.array([next(self._squares)])), DONE)
            assert change is not None
            self.opened.marks.apply(change)
            stroke = self.opened.history.record(change)
            self.put.append(stroke.id)
            self.keeper.put(stroke)

    def _take_kept(self, ids: tuple[bytes, ...]) -> None:
        self.kept += ids
        self.told.set()

    def _take_failed(self, error: LayerError) -> None:
        self.failed.append(error)
        self.told.set()


@pytest.fixture
def hand(evening: "Evening", small_chart: Callable[[], Chart]) -> Iterator[Hand]:
    """A hand over a new layer."""
    hand = Hand(evening.open(small_chart()))
    yield hand
    hand.keeper.close()


@pytest.fixture
def disk(monkeypatch: pytest.MonkeyPatch) -> Callable[[BaseException | None], None]:
    """Makes every write fail with an error, or work again."""
    trouble: BaseException | None = None

    def insert_or_fail(connection: sqlite3.Connection, rows: Sequence[StrokeRow]) -> None:
        if trouble is not None:
            raise trouble
        insert_rows(connection, rows)

    def turn(error: BaseException | None) -> None:
        nonlocal trouble
        trouble = error

    monkeypatch.setattr(layer_module, "insert_rows", insert_or_fail)
    return turn


def on_disk(path: Path) -> list[bytes]:
    connection = connect(path, read_only=True)
    ids = [stroke_id for (stroke_id,) in connection.execute("SELECT id FROM strokes ORDER BY id")]
    connection.close()
    return ids


def test_what_is_reported_kept_is_on_disk(evening: "Evening", hand: Hand) -> None:
    """After a flush every stroke was reported once, in order, and is in the file."""
    hand.mark(30)
    assert hand.keeper.flush()
    assert hand.kept == hand.put == on_disk(evening.layer_path)
    assert hand.failed == []


def test_fast_strokes_share_a_commit(hand: Hand, monkeypatch: pytest.MonkeyPatch) -> None:
    """While the disk is busy with one stroke, the next ones gather and go in one transaction."""
    going, proceed = threading.Event(), threading.Event()
    sizes: list[int] = []

    def insert_slowly(connection: sqlite3.Connection, rows: Sequence[StrokeRow]) -> None:
        sizes.append(len(rows))
        going.set()
        assert proceed.wait(10)
        insert_rows(connection, rows)

    monkeypatch.setattr(layer_module, "insert_rows", insert_slowly)
    hand.mark()
    assert going.wait(10)
    hand.mark(20)
    assert hand.kept == []
    proceed.set()
    assert hand.keeper.flush()
    assert sizes[:2] == [1, 20]
    assert hand.kept == hand.put


def test_a_flush_tells_of_the_last_stroke_too(hand: Hand, monkeypatch: pytest.MonkeyPatch) -> None:
    """A commit that fails, and had begun without the last stroke, is no answer to whoever waits for it."""
    going, proceed = threading.Event(), threading.Event()

    def fail_slowly(connection: sqlite3.Connection, rows: Sequence[StrokeRow]) -> None:
        going.set()
        assert proceed.wait(10)
        raise sqlite3.OperationalError("database or disk is full")

    monkeypatch.setattr(layer_module, "insert_rows", fail_slowly)
    hand.mark()
    assert going.wait(10)
    hand.mark()
    answers: list[bool] = []
    waiting = threading.Thread(target=lambda: answers.append(hand.keeper.flush()))
    waiting.start()
    proceed.set()
    waiting.join()
    assert answers == [False]
    assert "2 strokes are not yet kept" in str(hand.failed[-1])
    monkeypatch.undo()


def test_undo_finds_strokes_that_are_not_on_disk_yet(
    hand: Hand, disk: Callable[[BaseException | None], None]
) -> None:
    """Strokes that wait for the disk can be undone."""
    disk(sqlite3.OperationalError("database or disk is full"))
    hand.mark(3)
    assert not hand.keeper.flush()
    for stroke_id in hand.put:
        assert hand.opened.layer.load(stroke_id).count == 1
    disk(None)


@pytest.mark.parametrize(
    "error",
    [
        sqlite3.OperationalError("database or disk is full"),
        sqlite3.OperationalError("database is locked"),
        sqlite3.DatabaseError("disk I/O error"),
        OSError(28, "No space left on device"),
        MemoryError(),
    ],
)
def test_strokes_wait_until_the_disk_takes_them(
    evening: "Evening", hand: Hand, disk: Callable[[BaseException | None], None], error: BaseException
) -> None:
    """A failed commit is told in a sentence; the strokes go to disk with the next one that works."""
    disk(error)
    hand.mark(2)
    assert not hand.keeper.flush()
    assert hand.kept == []
    assert "2 strokes are not yet kept" in str(hand.failed[-1])
    disk(None)
    hand.mark()
    assert hand.keeper.flush()
    assert sorted(hand.kept) == hand.put == on_disk(evening.layer_path)


def test_waiting_strokes_are_tried_again_without_a_new_one(
    evening: "Evening",
    hand: Hand,
    disk: Callable[[BaseException | None], None],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """When the disk has space again the strokes are kept although she has stopped marking."""
    monkeypatch.setattr(keeper_module, "RETRY_SECONDS", 0.02)
    disk(OSError(28, "No space left on device"))
    hand.mark(2)
    assert not hand.keeper.flush()
    hand.told.clear()
    disk(None)
    while not hand.kept:
        assert hand.told.wait(10)
        hand.told.clear()
    assert hand.kept == hand.put == on_disk(evening.layer_path)


def test_closing_says_what_could_not_be_kept(
    hand: Hand, disk: Callable[[BaseException | None], None]
) -> None:
    """If even the last try fails, closing gives the sentence."""
    disk(OSError(28, "No space left on device"))
    hand.mark(3)
    error = hand.keeper.close()
    assert error is not None
    assert "no space left on device" in error.what
    assert "3 strokes are not yet kept" in error.what
    assert error.remedy


def test_closing_never_passes_over_strokes_that_wait(
    hand: Hand, disk: Callable[[BaseException | None], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Even if keeping has ended by a fault nobody foresaw, closing does not say that all is kept."""
    faults: list[BaseException | None] = []
    monkeypatch.setattr(threading, "excepthook", lambda args: faults.append(args.exc_value))
    fault = RuntimeError("a fault of the program")
    disk(fault)
    hand.mark(2)
    error = hand.keeper.close()
    assert faults == [fault]
    assert error is not None
    assert "2 strokes are not kept" in error.what
    assert not hand.keeper.flush()


def test_closing_keeps_what_waits(evening: "Evening", hand: Hand, small_chart: Callable[[], Chart]) -> None:
    """Closing right after the last mark loses nothing, and closing twice does no harm."""
    hand.mark(20)
    hand.keeper.keep_place({"zoom": 3})
    assert hand.keeper.close() is None
    assert hand.keeper.close() is None
    assert hand.keeper.flush()
    assert hand.kept == hand.put
    evening.open_now.clear()
    again = evening.open(small_chart())
    assert again.place == {"zoom": 3}
    assert again.tally.total().done == 20
    connection = connect(evening.layer_path, read_only=True)
    assert connection.execute("SELECT strokes FROM snapshot").fetchone() == (20,)
    connection.close()


def test_the_place_is_kept_without_a_stroke(
    evening: "Evening", hand: Hand, small_chart: Callable[[], Chart], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Looking round without marking is remembered too; only the last of many places is written."""
    monkeypatch.setattr(keeper_module, "PLACE_REST_SECONDS", 0.02)
    committed, real = threading.Event(), hand.opened.layer.commit

    def commit() -> tuple[bytes, ...]:
        ids = real()
        committed.set()
        return ids

    monkeypatch.setattr(hand.opened.layer, "commit", commit)
    for row in range(50):
        hand.keeper.keep_place({"row": row})
    assert committed.wait(10)
    while evening.open(small_chart(), look_only=True).place != {"row": 49}:
        committed.clear()
        assert committed.wait(10)
    assert hand.kept == []


def test_a_place_that_is_no_json_is_refused_at_once(hand: Hand) -> None:
    """A place that could not be read back is an error of the program, told where it is made."""
    with pytest.raises(ValueError, match="JSON"):
        hand.keeper.keep_place({"zoom": float("nan")})
    assert hand.keeper.flush()


def test_a_layer_deleted_while_open_comes_back(
    evening: "Evening", hand: Hand, small_chart: Callable[[], Chart]
) -> None:
    """If the file is deleted under her hands, the next stroke puts all strokes back in their place."""
    hand.mark(5)
    hand.keeper.keep_place({"zoom": 3})
    assert hand.keeper.flush()
    evening.layer_path.unlink()
    hand.mark(2)
    assert hand.keeper.flush()
    assert on_disk(evening.layer_path) == hand.put
    again = evening.open(small_chart())
    assert again.notices == ()
    assert again.tally.total().done == 7
    assert again.place == {"zoom": 3}


def test_strokes_join_a_file_that_took_the_layers_place(
    evening: "Evening", hand: Hand, small_chart: Callable[[], Chart]
) -> None:
    """If a file service puts an older copy of the layer in its place, no stroke is lost."""
    hand.mark(2)
    assert hand.keeper.flush()
    older = evening.layer_path.read_bytes()
    hand.mark(2)
    assert hand.keeper.flush()
    copy = evening.folder / "copy"
    copy.write_bytes(older)
    copy.replace(evening.layer_path)
    hand.mark(2)
    assert hand.keeper.flush()
    assert on_disk(evening.layer_path) == hand.put
    assert evening.open(small_chart()).tally.total().done == 6


def test_a_strange_file_in_the_layers_place_is_not_touched(evening: "Evening", hand: Hand) -> None:
    """If something else takes the layer's place, it stays as it is, and the strokes wait."""
    hand.mark(2)
    assert hand.keeper.flush()
    evening.layer_path.unlink()
    evening.layer_path.write_bytes(b"a shopping list")
    hand.mark()
    assert not hand.keeper.flush()
    assert hand.failed
    assert evening.layer_path.read_bytes() == b"a shopping list"
    evening.layer_path.unlink()
    assert hand.keeper.flush()
    assert on_disk(evening.layer_path) == hand.put


def test_a_place_put_while_the_disk_is_busy_is_kept_too(
    evening: "Evening", hand: Hand, small_chart: Callable[[], Chart], monkeypatch: pytest.MonkeyPatch
) -> None:
    """She moves on while the last place is being written: the newer one is written next."""

    def insert_meanwhile(connection: sqlite3.Connection, rows: Sequence[StrokeRow]) -> None:
        monkeypatch.setattr(layer_module, "insert_rows", insert_rows)
        hand.opened.layer.put_place({"row": 2})
        insert_rows(connection, rows)

    monkeypatch.setattr(layer_module, "insert_rows", insert_meanwhile)
    hand.keeper.keep_place({"row": 1})
    assert hand.keeper.flush()
    assert hand.keeper.flush()
    assert evening.open(small_chart(), look_only=True).place == {"row": 2}
