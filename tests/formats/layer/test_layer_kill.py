"""Strokes that were shown as kept are there, however the program ended and whatever the disk did."""

import contextlib
import os
import random
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import IO

import numpy as np
import pytest

from stitchview.chart.model import Chart, KeyEntry, Symbol
from stitchview.done.layerfile import open_layer
from stitchview.done.schema import connect

# STITCHVIEW_KILLS asks for more of them.
KILLS = int(os.environ.get("STITCHVIEW_KILLS", "40"))

# A hand that marks and pins as fast as it can and prints every stroke that it was told is kept.
MARKING = """
import os, sys
from pathlib import Path
import numpy as np
from stitchview.chart.model import Chart, KeyEntry, Symbol
from stitchview.done.change import Selection
from stitchview.done.keeper import Keeper
from stitchview.done.layerfile import open_layer
from stitchview.done.marks import change_to, noting
from stitchview.done.notes import Pin

folder, seed, limit = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
chart = Chart(np.ones((300, 400), np.uint16), (KeyEntry("a", Symbol("a"), "a"),), identity="harbour")
opened = open_layer(folder / "harbour.svchart", chart, folder / "elsewhere", "sofa")
assert opened.notices == (), opened.notices

def told(ids):
    os.write(1, b"".join(each.hex().encode() + b"\\n" for each in ids))

def failed(error):
    os.write(1, ("trouble: " + str(error) + "\\n").encode())

if limit:
    import resource
    resource.setrlimit(resource.RLIMIT_FSIZE, (limit, resource.RLIM_INFINITY))
keeper, random = Keeper(opened, told, failed), np.random.default_rng(seed)
os.write(1, b"ready\\n")
strokes = 0
while not limit or strokes < 1500:
    count = int(random.integers(1, 2000)) if strokes % 50 == 0 else 2
    squares = Selection.of(random.integers(0, 120_000, count))
    change = change_to(opened.marks, squares, int(random.random() < 0.7))
    if change is None:
        continue
    opened.marks.apply(change)
    keeper.put(opened.history.record(change))
    strokes += 1
    if strokes % 5 == 0 and not keeper.flush() and limit:
        break
    if strokes % 3 == 0:
        pin = noting(chart, opened.marks.notes.putting(Pin.new(strokes % 400, 7, f"Pin {strokes}")))
        opened.marks.apply(pin)
        keeper.put(opened.history.record(pin))
    if strokes % 7 == 0 and (step := opened.history.undo()):
        opened.marks.apply(step.change)
        keeper.put(step.stroke)
if limit:
    # There is space again: everything that waited is kept after all.
    resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
    os.write(1, b"space again\\n")
    assert keeper.close() is None
    print("done", opened.tally.total().done, len(opened.marks.notes.pins), flush=True)
"""


def harbour() -> Chart:
    return Chart(np.ones((300, 400), np.uint16), (KeyEntry("a", Symbol("a"), "a"),), identity="harbour")


def start(folder: Path, repository: Path, seed: int, limit: int = 0) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-c", MARKING, str(folder), str(seed), str(limit)],
        cwd=repository,
        env={**os.environ, "PYTHONPATH": str(repository)},
        stdout=subprocess.PIPE,
    )


def lines(stream: IO[bytes] | None) -> Iterator[str]:
    assert stream is not None
    for line in stream:
        if line.endswith(b"\n"):
            yield line.decode().strip()


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="needs a signal that cannot be caught")
def test_kill_9_while_marking_fast(tmp_path: Path, repository: Path) -> None:
    """Killed at random moments, evening after evening: nothing that was shown as kept is missing."""
    chance = random.Random(9)
    kept: set[str] = set()
    pins = 0
    for evening in range(KILLS):
        with start(tmp_path, repository, evening) as child:
            found = lines(child.stdout)
            assert next(found) == "ready"
            for _ in range(chance.randrange(1, 40)):
                kept.add(next(found))
            # A little later, so that the kill falls anywhere between two words from the child.
            pause = chance.random() * 0.02
            with pytest.raises(subprocess.TimeoutExpired):
                child.wait(pause)
            child.send_signal(signal.SIGKILL)
            kept.update(found)
        opened = open_layer(tmp_path / "harbour.svchart", harbour(), tmp_path / "elsewhere", "sofa")
        assert opened.notices == ()
        there = {row.hex() for row in strokes_in(tmp_path / "harbour.svdone")}
        assert kept <= there
        pins += len(opened.marks.notes.pins)
        opened.layer.put_place({"evening": evening})
        opened.layer.commit()
        opened.layer.close()
        # The next commit clears away what the kill left behind.
        assert [path.name for path in tmp_path.iterdir()] == ["harbour.svdone"]
    assert len(kept) > 10 * KILLS
    assert pins > KILLS


@pytest.mark.skipif(sys.platform == "win32", reason="needs a limit on the size of files")
def test_a_disk_that_is_full_for_a_while(tmp_path: Path, repository: Path) -> None:
    """With no room for another byte the strokes wait; with room again all of them are kept."""
    with start(tmp_path, repository, seed=1, limit=100_000) as child:
        found = list(lines(child.stdout))
        assert child.wait() == 0
    troubles = [line for line in found if line.startswith("trouble: ")]
    assert troubles
    assert all("“harbour.svdone”" in line and "not yet kept" in line for line in troubles)
    assert found.index(troubles[-1]) < found.index("space again")
    kept = {line for line in found if len(line) == 32}
    opened = open_layer(tmp_path / "harbour.svchart", harbour(), tmp_path / "elsewhere", "sofa")
    assert opened.notices == ()
    assert kept == {row.hex() for row in strokes_in(tmp_path / "harbour.svdone")}
    assert found[-1] == f"done {opened.tally.total().done} {len(opened.marks.notes.pins)}"
    assert len(opened.marks.notes.pins) > 50
    opened.layer.close()


def strokes_in(path: Path) -> list[bytes]:
    with contextlib.closing(connect(path, read_only=True)) as connection:
        return [stroke_id for (stroke_id,) in connection.execute("SELECT id FROM strokes")]
