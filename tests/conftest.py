"""What every test stands on: a clean home, builders of charts, and a look round for what was left behind."""

import gc
import os
import sys
import threading
from collections.abc import Callable, Generator, Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, settings

from stitchview.chart.area import Area
from stitchview.chart.colour import Colour
from stitchview.chart.model import Chart, KeyEntry, Sheet, Symbol
from stitchview.chart.stitches import LineKind, Lines, Parts, PartShape, PointKind, Points

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
settings.register_profile("house", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("house")

SMALL_SQUARES = """\
aabbccaabb
a.bb..cc.a
aab....caa
bbb....ccc
cc......aa
aaa....bbb
abbb..aaac
aabbccaabb"""


def pytest_configure(config: pytest.Config) -> None:
    """Let pass what Qt says of every window without a screen; any other warning of Qt fails a test."""
    config.addinivalue_line("qt_log_ignore", "This plugin does not support")


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Generator[None, object, object]:
    """While a test has windows, Python clears no rubbish: it might do so in a thread beside the window's.

    Of Qt's things that is forbidden, and now and then it ends the whole run. The program has
    `ui/rubbish.py` for it.
    """
    windows = "qapp" in getattr(item, "fixturenames", ())
    if windows:
        gc.disable()
    try:
        return (yield)
    finally:
        if windows:
            gc.enable()


@pytest.fixture(scope="session")
def repository() -> Path:
    """The folder of the whole project."""
    return Path(__file__).parents[1]


@pytest.fixture(scope="session")
def shared(repository: Path) -> Path:
    """The folder of outside material, which is not part of the project."""
    folder = Path(os.environ.get("STITCHVIEW_SHARED", repository.parent / "shared"))
    if not folder.is_dir():
        pytest.skip(f"the outside material is not at {folder}; STITCHVIEW_SHARED can say where it is")
    return folder


@pytest.fixture(scope="session")
def small_chart() -> Callable[[], Chart]:
    """A builder of a chart of 12 x 10 squares with every kind of stitch and two paper sheets."""
    return _small_chart


@pytest.fixture(scope="session")
def random_chart() -> Callable[[int, int, int, int], Chart]:
    """A builder of a chart of runs and confetti from its columns, rows, threads and seed."""
    return _random_chart


@pytest.fixture(autouse=True)
def clean_home(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A home of its own for each test, so that no settings of hers or of another test are touched."""
    home = tmp_path_factory.mktemp("home")
    monkeypatch.setenv("HOME", str(home))
    for name in ("CONFIG", "DATA", "CACHE", "STATE"):
        monkeypatch.setenv(f"XDG_{name}_HOME", str(home / name.lower()))
    if "PySide6.QtCore" in sys.modules:
        from PySide6.QtCore import QSettings  # noqa: PLC0415 (only where Qt is in use already)

        # Qt reads the places once and keeps them, whatever the environment says later.
        for form in (QSettings.Format.NativeFormat, QSettings.Format.IniFormat):
            QSettings.setPath(form, QSettings.Scope.UserScope, str(home / "config"))
    return home


@pytest.fixture
def qtbot(qapp: object, request: pytest.FixtureRequest) -> object:
    """Hands that press and wait; they wait longer than pytest-qt would have them wait."""
    from tests.patience import PatientBot  # noqa: PLC0415 (only where Qt is in use already)

    return PatientBot(request)


@pytest.fixture(autouse=True)
def nothing_left_behind(clean_home: Path) -> Iterator[None]:
    """Fail a test that leaves a window, a running timer or a thread behind."""
    threads, live = set(threading.enumerate()), _live_objects()
    yield
    new_threads = [thread for thread in threading.enumerate() if thread not in threads]
    for thread in new_threads:
        thread.join(timeout=5)
    left = [thread.name for thread in new_threads if thread.is_alive()]
    left += [name for key, name in _live_objects().items() if key not in live]
    assert not left, f"left behind by the test: {', '.join(left)}"


def _live_objects() -> dict[int, str]:
    """Top-level widgets, running timers and running Qt threads, by the address of the Qt object."""
    if "PySide6.QtWidgets" not in sys.modules:
        return {}
    import shiboken6  # noqa: PLC0415 (only where Qt is in use already)
    from PySide6.QtCore import QCoreApplication, QEvent, QThread, QTimer  # noqa: PLC0415
    from PySide6.QtWidgets import QWidget  # noqa: PLC0415

    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    return {
        shiboken6.getCppPointer(item)[0]: repr(item)
        for item in shiboken6.getAllValidWrappers()
        if (isinstance(item, QWidget) and item.parent() is None)
        or (isinstance(item, QTimer) and item.isActive())
        or (isinstance(item, QThread) and item.isRunning())
    }


def _small_chart() -> Chart:
    drawn = [[".abc".index(code) for code in row] for row in SMALL_SQUARES.split()]
    squares = np.pad(np.array(drawn, np.uint16), 1)
    spots = [(2, 2), (5, 2), (6, 2), (9, 2), (4, 3), (5, 3), (6, 3), (7, 3), (4, 4), (7, 4), (5, 5), (5, 5)]
    columns, rows = np.array(spots, np.int32).T.copy()
    shared = [PartShape.QUARTER_TOP_LEFT, PartShape.THREE_QUARTER_BOTTOM_RIGHT]  # two threads in a square
    parts = Parts(
        columns, rows, np.array([*PartShape, *shared], np.uint8), np.array([1, 2, 3] * 4, np.uint16)
    )
    ends = np.array([(2, 2, 22, 2), (2, 2, 2, 18), (7, 7, 12, 9), (22, 2, 22, 18)], np.int32).T.copy()
    kinds = np.array([LineKind.BACK, LineKind.BACK, LineKind.STRAIGHT, LineKind.BACK], np.uint8)
    lines = Lines(ends[0], ends[1], ends[2], ends[3], kinds, np.array([4, 4, 3, 4], np.uint16))
    x, y = np.array([(11, 12), (12, 12), (24, 20)], np.int32).T.copy()
    points = Points(x, y, np.array([*PointKind, PointKind.KNOT], np.uint8), np.array([4, 3, 1], np.uint16))
    sheets = Sheet("Sheet A", Area(0, 0, 7, 10)), Sheet("Sheet B", Area(6, 0, 6, 10))
    chart = Chart(squares, _key(4), "A small harbour", identity="small")
    return replace(chart, parts=parts, lines=lines, points=points, sheets=sheets)


def _random_chart(columns: int, rows: int, threads: int, seed: int) -> Chart:
    """Runs of six or so, confetti on a square in twenty, and no stitch on one in twenty."""
    random = np.random.default_rng(seed)
    picks = random.integers(1, threads + 1, (rows, columns), np.uint16)
    starts = np.where(random.random((rows, columns), np.float32) < 1 / 6, np.arange(columns), 0)
    squares = np.take_along_axis(picks, np.maximum.accumulate(starts, axis=1), axis=1)
    loose = random.random((rows, columns), np.float32)
    squares = np.where(loose < 0.05, picks, np.where(loose > 0.95, np.uint16(0), squares))
    return Chart(squares, _key(threads), f"{columns} x {rows}", identity=f"random-{seed}")


def _key(threads: int) -> tuple[KeyEntry, ...]:
    codes = [*range(0x61, 0x7B), *range(0x41, 0x5B), *range(0x100, 0x250), *range(0x4E00, 0x5600)]
    colours = [Colour(37 * n % 256, 91 * n % 256, 53 * n % 256) for n in range(threads + 1)]
    return tuple(
        KeyEntry(code, Symbol(code), f"Sample cotton {n}, shade {n}", str(n), colour=colours[n])
        for n, code in enumerate(map(chr, codes[:threads]), start=1)
    )
