"""Joining, copying and packing on a disk that is full or fails: one sentence, and nothing is lost."""

import contextlib
import shutil
import sqlite3
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from stitchview.chart.fileformat import write_chart
from stitchview.chart.harbour.making import make_harbour
from stitchview.chart.model import Chart
from stitchview.done.change import Selection
from stitchview.done.ids import compose, time_of
from stitchview.done.joining import Piece, join_seen, seen_of
from stitchview.done.keptcopies import copies_folder, keep_copy
from stitchview.done.layerfile import open_layer
from stitchview.done.looking import look_into
from stitchview.done.marks import change_to
from stitchview.done.piecefile import pack
from stitchview.errors import LayerError, StitchviewError

if TYPE_CHECKING:
    from tests.done.conftest import Evening

SMALL_DISK_BYTES = 256 << 10


def full() -> sqlite3.Error:
    error = sqlite3.OperationalError("database or disk is full")
    error.sqlite_errorname = "SQLITE_FULL"
    return error


def marked(folder: Path, chart: Chart, seed: int, strokes: int, squares: int = 4) -> Path:
    """A layer in a folder, with so many more strokes of random squares."""
    folder.mkdir(exist_ok=True)
    opened, random = (
        open_layer(folder / "harbour.svchart", chart, folder / "elsewhere", "sofa"),
        np.random.default_rng(seed),
    )
    for number in range(strokes):
        selection = Selection.of(random.integers(0, chart.squares.size, squares))
        change = change_to(opened.marks, selection, number % 3 != 2)
        if change is not None:
            opened.marks.apply(change)
            opened.layer.put(opened.history.record(change))
    opened.layer.commit()
    opened.layer.close()
    return folder / "harbour.svdone"


@pytest.mark.parametrize("for_good", [False, True], ids=["once", "from then on"])
def test_every_write_may_fail_while_joining(
    tmp_path: Path, random_chart: Callable[..., Chart], monkeypatch: pytest.MonkeyPatch, for_good: bool
) -> None:
    """Call by call: the layer has all strokes or those it had; the next try, with room, joins them all."""
    chart, calls, fails = random_chart(12, 9, 3, 1), 0, range(0)

    class Failing(sqlite3.Connection):
        def execute(self, *given: Any) -> sqlite3.Cursor:
            nonlocal calls
            if str(given[0]).startswith(("BEGIN", "DELETE", "INSERT", "COMMIT", "CREATE")):
                calls += 1
                if calls in fails:
                    raise full()
            return super().execute(*given)

    real = sqlite3.connect
    monkeypatch.setattr(sqlite3, "connect", lambda *given, **named: real(*given, factory=Failing, **named))
    theirs = marked(tmp_path / "tablet", chart, 1, 5)
    wanted = look_into(theirs).ids
    for number in range(1, 40):
        folder = tmp_path / str(number)
        mine = marked(folder, chart, 2, 4)
        before = look_into(mine).ids
        piece = Piece(folder / "harbour.svchart", chart, folder / "elsewhere")
        calls, fails = 0, range(number, 10_000 if for_good else number + 1)
        with contextlib.suppress(LayerError):
            join_seen(piece, seen_of(piece, [theirs]))
        reached, fails = calls >= number, range(0)
        assert look_into(mine).ids in (before, before | wanted)
        join_seen(piece, seen_of(piece, [theirs]))
        assert look_into(mine).ids == before | wanted
        assert look_into(theirs).ids == wanted
        if not reached:
            return
    pytest.fail("there was no end to the calls")


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A real file system of 256 KiB."""
    folder, mount = tmp_path / "disk", shutil.which("mount")
    folder.mkdir()
    if mount is None:
        pytest.skip("there is no mount command to make a small file system with")
    options = f"size={SMALL_DISK_BYTES}"
    ran = subprocess.run(
        [mount, "-t", "tmpfs", "-o", options, "tmpfs", folder], capture_output=True, check=False
    )
    if ran.returncode:
        pytest.skip(f"a small file system cannot be mounted here ({ran.stderr.decode().strip()})")
    yield folder
    subprocess.run(["umount", folder], check=True)


def test_a_small_disk_runs_full(small_disk: Path, tmp_path: Path, random_chart: Callable[..., Chart]) -> None:
    """Marking, joining, copying and packing on a disk that is really full: what was kept stays."""
    chart = random_chart(300, 300, 3, 1)
    theirs = marked(tmp_path / "tablet", chart, 1, 200, 400)
    assert theirs.stat().st_size > SMALL_DISK_BYTES // 2
    mine = marked(small_disk, chart, 2, 40, 400)
    write_chart(make_harbour(20, 20, 5, 1), small_disk / "small.svchart")
    before = look_into(mine).ids
    piece = Piece(small_disk / "harbour.svchart", chart, small_disk / "elsewhere")
    with pytest.raises(LayerError, match="disk is full"):
        join_seen(piece, seen_of(piece, [theirs]))
    assert look_into(mine).ids == before
    with pytest.raises(OSError, match="No space left"):
        (small_disk / "filler").write_bytes(bytes(SMALL_DISK_BYTES))
    copies = copies_folder(mine, chart.identity, small_disk / "own")
    with contextlib.suppress(OSError, sqlite3.Error):
        keep_copy(mine, copies)
    assert [path.name for path in copies.glob("*")] == []
    with pytest.raises(StitchviewError):
        pack(Piece(small_disk / "small.svchart", chart, small_disk), small_disk / "all.svpiece")
    assert not (small_disk / "all.svpiece").exists()
    (small_disk / "filler").unlink()
    assert look_into(mine).ids == before
    assert not look_into(mine).damaged


def test_a_tablet_whose_clock_was_set_back_loses_nothing(
    evening: "Evening", small_chart: Callable[[], Chart]
) -> None:
    """Her strokes stand above all that she knew of, so that her last word wins there and after joining."""
    chart = small_chart()
    layer = marked(evening.folder, chart, 1, 3)
    tablet = evening.folder.parent / "tablet"
    tablet.mkdir()
    shutil.copyfile(layer, tablet / "harbour.svdone")
    newest = max(look_into(layer).ids)
    opened = evening.open(chart, tablet / "harbour.svchart")
    opened.history._maker._clock = opened.history._maker._ids._clock = lambda: 1  # the clock of 1970
    change = change_to(opened.marks, Selection.of(np.arange(chart.squares.size)), 1)
    assert change is not None
    opened.marks.apply(change)
    stroke = opened.history.record(change)
    opened.layer.put(stroke)
    opened.layer.commit()
    assert stroke.id > newest
    assert time_of(stroke.id) <= time_of(newest) + 1
    assert stroke.id > compose(1, 0)
    mine = Piece(evening.chart_path, chart, evening.elsewhere)
    join_seen(mine, seen_of(mine, [tablet / "harbour.svdone"]))
    total = evening.open(chart).tally.total()
    assert total.done == opened.tally.total().done
