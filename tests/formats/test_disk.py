"""A chart outlives full disks, read-only folders and being killed while it is saved."""

import errno
import os
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from stitchview.chart.fileformat import read_chart, write_chart
from stitchview.chart.model import Chart
from stitchview.errors import StitchviewError

Differences = Callable[[Chart, Chart], list[str]]

# Root may write anywhere, so where the tests run as root another person does the saving.
NOBODY = 65534 if os.geteuid() == 0 else 0

# Saves the second chart over the first; prints the sentence if it cannot, and fails on anything else.
SAVE_ONCE = """
import os, resource, signal, sys
from pathlib import Path
from stitchview.chart.fileformat import read_chart, write_chart
from stitchview.errors import StitchviewError
chart = read_chart(Path(sys.argv[1]))
limit, person = int(sys.argv[3]), int(sys.argv[4])
if limit:
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
if person:
    os.setuid(person)
try:
    write_chart(chart, Path(sys.argv[2]))
except StitchviewError as error:
    print(error)
"""

# Saves two charts over one another without end.
SAVE_WITHOUT_END = """
import itertools, sys
from pathlib import Path
from stitchview.chart.fileformat import read_chart, write_chart
charts = [read_chart(Path(name)) for name in sys.argv[2:]]
print("ready", flush=True)
for chart in itertools.cycle(charts):
    write_chart(chart, Path(sys.argv[1]))
"""


@pytest.fixture(params=["dusk.svchart", "dusk"])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """Where the chart is kept, as a file and as a folder."""
    return tmp_path / "kept" / str(request.param)


@pytest.fixture
def larger(random_chart: Callable[[int, int, int, int], Chart]) -> Chart:
    """A chart of some hundred thousand bytes, which no small disk holds."""
    return replace(random_chart(400, 400, 90, 3), identity="")


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of 64 kB, where this machine lets us have one."""
    folder = tmp_path / "disk"
    folder.mkdir()
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(folder)], capture_output=True, check=False
    )
    if mounted.returncode:
        pytest.skip("no small disk can be made here: " + mounted.stderr.decode().strip())
    yield folder
    subprocess.run(["umount", str(folder)], check=True)


@pytest.fixture
def public() -> Iterator[Path]:
    """A folder that every person of this machine may look into."""
    with tempfile.TemporaryDirectory() as folder:
        os.chmod(folder, 0o755)
        yield Path(folder)


def saved_by_another(chart: Path, place: Path, repository: Path, limit: int = 0, person: int = 0) -> str:
    """What a program of its own says when it saves `chart` at `place`."""
    told = subprocess.run(
        [sys.executable, "-B", "-c", SAVE_ONCE, str(chart), str(place), str(limit), str(person)],
        capture_output=True,
        text=True,
        check=True,
        cwd=repository,
    )
    return told.stdout


def leftovers(folder: Path) -> list[str]:
    """Temporary files left anywhere below a folder."""
    return [path.name for path in folder.rglob(".*") if "stitchview-new" in path.name]


@pytest.mark.parametrize("call", ["fsync", "replace"])
def test_a_disk_that_fills_up_leaves_the_old_chart(
    place: Path,
    call: str,
    sound_chart: Chart,
    larger: Chart,
    differences: Differences,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Whichever step finds the disk full, the old chart opens as before."""
    place.parent.mkdir()
    write_chart(sound_chart, place)

    def fails(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, call, fails)
    with pytest.raises(StitchviewError, match="no space left on device"):
        write_chart(larger, place)
    monkeypatch.undo()
    assert differences(read_chart(place), sound_chart) == []
    assert leftovers(place.parent) == []


@pytest.mark.parametrize("name", ["dusk.svchart", "dusk"])
def test_a_truly_full_disk_leaves_the_old_chart(
    small_disk: Path, name: str, sound_chart: Chart, larger: Chart, differences: Differences
) -> None:
    """On a real disk of 64 kB the large chart does not fit, and the small one is still there."""
    write_chart(sound_chart, small_disk / name)
    with pytest.raises(StitchviewError, match="no space left on device"):
        write_chart(larger, small_disk / name)
    assert differences(read_chart(small_disk / name), sound_chart) == []
    assert leftovers(small_disk) == []


def test_a_file_that_may_not_grow_leaves_the_old_chart(
    place: Path, sound_chart: Chart, larger: Chart, differences: Differences, tmp_path: Path, repository: Path
) -> None:
    """Where the system forbids large files, the program says so in a sentence and changes nothing."""
    place.parent.mkdir()
    write_chart(sound_chart, place)
    write_chart(larger, tmp_path / "larger.svchart")
    told = saved_by_another(tmp_path / "larger.svchart", place, repository, limit=16_384)
    assert "could not be written (file too large)" in told
    assert differences(read_chart(place), sound_chart) == []
    assert leftovers(place.parent) == []


@pytest.mark.parametrize("name", ["dusk.svchart", "dusk"])
def test_a_folder_that_cannot_be_written_leaves_the_old_chart(
    name: str, sound_chart: Chart, larger: Chart, differences: Differences, public: Path, repository: Path
) -> None:
    """In a read-only folder the program says so in a sentence and changes nothing."""
    place = public / "kept" / name
    place.parent.mkdir()
    write_chart(sound_chart, place)
    write_chart(larger, public / "larger.svchart")
    locked = [path for path in (place.parent, place) if path.is_dir()]
    for folder in locked:
        folder.chmod(0o555)
    told = saved_by_another(public / "larger.svchart", place, repository, person=NOBODY)
    for folder in locked:
        folder.chmod(0o755)
    assert "could not be written (" in told
    assert differences(read_chart(place), sound_chart) == []
    assert leftovers(place.parent) == []


def test_a_program_killed_while_saving_leaves_a_whole_chart(
    sound_chart: Chart, larger: Chart, differences: Differences, tmp_path: Path, repository: Path
) -> None:
    """Killed at twelve odd moments, the file is the one chart or the other, never a half."""
    one, two, kept = tmp_path / "one.svchart", tmp_path / "two.svchart", tmp_path / "kept.svchart"
    write_chart(sound_chart, one)
    write_chart(larger, two)
    whole = {one.read_bytes(), two.read_bytes()}
    write_chart(sound_chart, kept)
    for moment in range(12):
        command = [sys.executable, "-B", "-c", SAVE_WITHOUT_END, str(kept), str(one), str(two)]
        with subprocess.Popen(command, stdout=subprocess.PIPE, cwd=repository) as saving:
            assert saving.stdout is not None
            assert saving.stdout.readline() == b"ready\n"
            time.sleep(0.003 + 0.007 * moment)
            saving.send_signal(signal.SIGKILL)
        assert kept.read_bytes() in whole
        chart = read_chart(kept)
        assert differences(chart, sound_chart) == [] or differences(chart, larger) == []
