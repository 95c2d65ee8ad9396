"""Whichever call to the disk fails, nothing that was kept is lost, and she gets a sentence."""

import contextlib
import errno
import os
import sqlite3
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from stitchview.chart.model import Chart
from stitchview.done.change import Selection
from stitchview.done.layerfile import OpenedLayer, open_layer
from stitchview.done.marks import change_to
from stitchview.done.schema import connect, read_rows
from stitchview.errors import LayerError

MOST_CALLS = 400


class Disk:
    """Counts every call that goes to the disk, and lets the one with a given number fail."""

    def __init__(self) -> None:
        self.calls = 0
        self.fails_at: range = range(0)
        self.error: Callable[[], Exception] = full_database

    def call(self, error: Callable[[], Exception] | None = None) -> None:
        self.calls += 1
        if self.calls in self.fails_at:
            raise (error or self.error)()


def full_database() -> sqlite3.Error:
    error = sqlite3.OperationalError("database or disk is full")
    error.sqlite_errorname = "SQLITE_FULL"
    return error


def broken_database() -> sqlite3.Error:
    error = sqlite3.OperationalError("disk I/O error")
    error.sqlite_errorname = "SQLITE_IOERR_WRITE"
    return error


def full_disk() -> OSError:
    return OSError(errno.ENOSPC, "No space left on device")


ERRORS: list[Callable[[], Exception]] = [full_database, broken_database, full_disk]


@pytest.fixture
def disk(monkeypatch: pytest.MonkeyPatch) -> Disk:
    """A disk between the program and the real one."""
    disk = Disk()

    class Connection(sqlite3.Connection):
        def execute(self, *given: Any) -> sqlite3.Cursor:
            if not given[0].startswith(("ROLLBACK", "PRAGMA")):
                disk.call()
            return super().execute(*given)

        def executemany(self, *given: Any) -> sqlite3.Cursor:
            disk.call()
            return super().executemany(*given)

    real_connect = sqlite3.connect

    def connect_through(*given: Any, **named: Any) -> sqlite3.Connection:
        if given[0] == ":memory:":
            in_memory: sqlite3.Connection = real_connect(*given, **named)
            return in_memory
        disk.call()
        found: sqlite3.Connection = real_connect(*given, factory=Connection, **named)
        return found

    monkeypatch.setattr(sqlite3, "connect", connect_through)
    for place, name in ((os, "link"), (os, "open"), (Path, "touch"), (Path, "replace"), (Path, "rename")):
        monkeypatch.setattr(place, name, through(disk, getattr(place, name)))
    return disk


def through(disk: Disk, real: Callable[..., Any]) -> Callable[..., Any]:
    def call(*given: Any, **named: Any) -> Any:
        disk.call(full_disk)
        return real(*given, **named)

    return call


def open_it(folder: Path, chart: Chart) -> OpenedLayer:
    return open_layer(folder / "harbour.svchart", chart, folder / "elsewhere", "sofa")


def an_evening(folder: Path, chart: Chart, seed: int) -> tuple[list[bytes], list[str]]:
    """Marks some squares; gives the strokes that were reported kept, and what was said."""
    random = np.random.default_rng(seed)
    kept: list[bytes] = []
    said: list[str] = []
    opened = open_it(folder, chart)
    said += opened.notices
    for _ in range(3):
        change = change_to(opened.marks, Selection.of(random.integers(0, chart.squares.size, 9)), 1)
        if change is not None:
            opened.marks.apply(change)
            opened.layer.put(opened.history.record(change))
        try:
            ids = opened.layer.commit()
            kept += ids if opened.layer.keeps else ()
        except LayerError as error:
            said.append(str(error))
    try:
        opened.layer.keep_snapshot(opened.marks, opened.history.live)
    except LayerError as error:
        said.append(str(error))
    opened.layer.close()
    return kept, said


def strokes_under(folder: Path) -> set[bytes]:
    """All strokes in any layer under the folder."""
    found: set[bytes] = set()
    for path in folder.rglob("*.svdone"):
        with (
            contextlib.suppress(sqlite3.Error),
            contextlib.closing(connect(path, read_only=True)) as connection,
        ):
            found |= {row.id for row in read_rows(connection)}
    return found


@pytest.mark.parametrize("error", ERRORS)
@pytest.mark.parametrize("for_good", [False, True], ids=["once", "from then on"])
def test_every_write_call_may_fail_in_its_turn(
    tmp_path: Path,
    disk: Disk,
    random_chart: Callable[..., Chart],
    error: Callable[[], Exception],
    for_good: bool,
) -> None:
    """Call by call, once or from then on: what was reported kept is there next week, and she was told."""
    chart = random_chart(12, 9, 3, 1)
    disk.error = error
    for number in range(1, MOST_CALLS):
        folder = tmp_path / str(number)
        folder.mkdir()
        first, _ = an_evening(folder, chart, 1)
        disk.calls, disk.fails_at = 0, range(number, MOST_CALLS if for_good else number + 1)
        try:
            kept, said = an_evening(folder, chart, 2)
        except LayerError as trouble:
            kept, said = [], [str(trouble)]
        finally:
            reached, disk.fails_at = disk.calls >= number, range(0)
        again = open_it(folder, chart)
        assert {*first, *kept} <= set(again.history.live)
        again.layer.close()
        assert all(line.endswith(".") for line in said)
        if not reached:
            assert said == []
            return
    pytest.fail("there was no end to the calls")


@pytest.mark.parametrize("error", ERRORS)
@pytest.mark.parametrize("for_good", [False, True], ids=["once", "from then on"])
def test_mending_may_fail_at_every_call(
    tmp_path: Path,
    disk: Disk,
    random_chart: Callable[..., Chart],
    error: Callable[[], Exception],
    for_good: bool,
) -> None:
    """While a damaged layer is mended any call may fail: its bytes and its strokes are there afterwards."""
    chart = random_chart(12, 9, 3, 1)
    disk.error = error
    for number in range(1, MOST_CALLS):
        folder = tmp_path / str(number)
        folder.mkdir()
        first, _ = an_evening(folder, chart, 1)
        layer = folder / "harbour.svdone"
        damaged = b"not the header" + layer.read_bytes()[14:]
        layer.write_bytes(damaged)
        disk.calls, disk.fails_at = 0, range(number, MOST_CALLS if for_good else number + 1)
        with contextlib.suppress(LayerError):
            an_evening(folder, chart, 2)
        reached, disk.fails_at = disk.calls >= number, range(0)
        again = open_it(folder, chart)
        assert set(first) <= set(again.history.live)
        again.layer.close()
        left = [path for path in folder.iterdir() if path.is_file()]
        assert [path.read_bytes() for path in left].count(damaged) == 1
        assert not [path.name for path in left if path.suffix != ".svdone"]
        if not reached:
            return
    pytest.fail("there was no end to the calls")
