"""Four hours of stitching in some minutes, in a real window: whether memory, handles and frames stay level.

Run it with `python -m tests.speed.endurance [SHARE]` on a screen (`xvfb-run -a` gives one). The whole is
50,000 marks, 2,000 steps of the band, 500 zooms and 100 changes of chart, by real keys and clicks; SHARE
does a part of it. After every change of chart it looks at what the process holds. It prints what grew
since the warm-up, and each frame that took over ten times the middle one of its kind, with what else
happened in it. Nothing is asserted, because machines are noisy.
"""

import gc
import os
import sys
import tempfile
import threading
import time
import uuid
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np
import shiboken6
from PySide6.QtCore import QCoreApplication, QEvent, QPoint, QSettings, Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from stitchview.canvas.chartcanvas import ChartCanvas
from stitchview.chart.fileformat import write_chart
from stitchview.chart.harbour.making import make_harbour
from stitchview.ui.program import Program
from stitchview.ui.rubbish import Rubbish
from tests.speed.floor import application

CHANGES, MARKS, STEPS, ZOOMS = 100, 500, 20, 5
PIECES = ((600, 450, 60), (300, 400, 35), (220, 180, 20), (120, 90, 12))
WARM_SHARE = 0.2
LONG = 10
WAIT_S = 30
PAGE = os.sysconf("SC_PAGE_SIZE")


@dataclass(frozen=True, slots=True)
class Holding:
    """What the process holds: memory in MiB, open files, threads, Qt objects and Python objects."""

    mebibytes: float
    files: int
    threads: int
    wrappers: int
    objects: int


@dataclass
class Frames:
    """CPU milliseconds of the window's thread for each frame, by kind, and which collections fell in it."""

    taken: dict[str, list[float]] = field(default_factory=dict)
    collected: dict[str, list[int]] = field(default_factory=dict)

    @contextmanager
    def timed(self, kind: str) -> Iterator[None]:
        """Time one change and everything that follows from it at once."""
        before = sum(each["collections"] for each in gc.get_stats())
        begun = time.thread_time()
        yield
        QCoreApplication.processEvents()
        self.taken.setdefault(kind, []).append((time.thread_time() - begun) * 1000)
        after = sum(each["collections"] for each in gc.get_stats())
        self.collected.setdefault(kind, []).append(after - before)

    def lines(self) -> Iterator[str]:
        """The kinds as lines of a Markdown table, and below each its longest frames where they stand out."""
        yield "| what | frames | p50 ms | p95 ms | longest | over 10 x | of these with rubbish cleared |"
        yield "|---|---|---|---|---|---|---|"
        for kind, times in self.taken.items():
            all_of = np.array(times)
            middle, most = np.percentile(all_of, (50, 95))
            long = np.flatnonzero(all_of > LONG * middle)
            cleared = sum(self.collected[kind][at] > 0 for at in long)
            yield (
                f"| {kind} | {len(times)} | {middle:.2f} | {most:.2f} | {all_of.max():.1f} "
                f"| {len(long)} | {cleared} |"
            )
            if len(long):
                told = Counter(f"number {at}: {all_of[at]:.0f} ms" for at in long[:8])
                yield f"| ^ {'; '.join(told)} ||||||"


class Evening:
    """One window, several charts in turn, and hands that do what an evening holds."""

    def __init__(self, folder: Path) -> None:
        self._random = np.random.default_rng(3)
        self.frames = Frames()
        self.marked = 0
        self._charts = list(_pieces(folder))
        self.program = Program(application(), QSettings(str(folder / "kept.ini"), QSettings.Format.IniFormat))
        self.program.window.resize(1600, 900)
        self.program.window.show()
        QTest.qWaitForWindowExposed(self.program.window)
        # Keys go to the active window only, and a screen without a window manager makes none active.
        self.program.window.activateWindow()
        _until(lambda: QApplication.activeWindow() is self.program.window)

    def sit(self, number: int, marks: int, steps: int, zooms: int) -> None:
        """Change the chart and work on it for a while."""
        path = self._charts[number % len(self._charts)]
        with self.frames.timed("change of chart"):
            self.program.charts.open(path)
        _until(lambda: self.program.settled)
        self._canvas.setFocus()
        self._press("0", "M", "1", "B")
        for _ in range(zooms):
            self._zoom()
        self._near()
        for at in range(steps):
            with self.frames.timed("step of the band"):
                self._press("Ctrl+Down" if at % 5 else "Ctrl+Up")
        for _ in range(marks):
            self._mark()
        with self.frames.timed("undo"):
            self._press("Ctrl+Z")
        with self.frames.timed("redo"):
            self._press("Ctrl+Shift+Z")

    def end(self) -> None:
        """Close the window; all must be kept."""
        if not self.program.window.close():
            raise RuntimeError("the window would not close: something could not be kept")

    @property
    def _canvas(self) -> ChartCanvas:
        board = self.program.window.board
        if board is None:
            raise RuntimeError("no chart is open")
        return board.canvas

    def _press(self, *keys: str) -> None:
        for key in keys:
            QTest.keySequence(self._canvas, QKeySequence(key))

    def _zoom(self) -> None:
        key = "+" if self._random.random() < 0.5 else "-"
        with self.frames.timed("zoom"):
            self._press(key)

    def _near(self) -> None:
        """Go where much is left, so near that a click meets one square."""
        sitting = self.program.charts.sitting
        if sitting is None:
            raise RuntimeError("no chart is open")
        squares, states = sitting.desk.chart.squares, sitting.desk.marks.squares
        left = np.flatnonzero((squares != 0) & (states == 0))
        if len(left):
            at = int(left[self._random.integers(len(left))])
            row, column = divmod(at, squares.shape[1])
            with self.frames.timed("jump"):
                self._canvas.zoom_to_pitch(16, self._canvas.view.width / 2, self._canvas.view.height / 2)
                self._canvas.centre_on(column, row)

    def _mark(self) -> None:
        canvas, sitting = self._canvas, self.program.charts.sitting
        if sitting is None:
            raise RuntimeError("no chart is open")
        area, desk = canvas.view.area, sitting.desk
        part = np.s_[area.row + 1 : area.bottom - 1, area.column + 1 : area.right - 1]
        left = np.argwhere((desk.chart.squares[part] != 0) & (desk.marks.squares[part] == 0))
        if not len(left):
            self._near()
            return
        row, column = left[self._random.integers(len(left))] + (area.row + 1, area.column + 1)
        x, y = canvas.view.pixel_of(column + 0.5, row + 0.5)
        ratio = canvas.devicePixelRatioF()
        before = desk.tally.total().done
        with self.frames.timed("mark"):
            place = QPoint(round(x / ratio), round(y / ratio))
            QTest.mouseClick(canvas, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, place)
        self.marked += desk.tally.total().done > before


def _pieces(folder: Path) -> Iterator[Path]:
    for number, (columns, rows, threads) in enumerate(PIECES):
        path = folder / f"piece {number}.svchart"
        chart = make_harbour(columns, rows, threads, number + 1)
        write_chart(replace(chart, identity=str(uuid.UUID(int=number + 1))), path)
        yield path


def _until(holds: Callable[[], bool]) -> None:
    end = time.monotonic() + WAIT_S
    while not holds():
        if time.monotonic() > end:
            raise RuntimeError(f"still not at rest after {WAIT_S} s")
        QCoreApplication.processEvents()
        time.sleep(0.001)


def holding() -> Holding:
    """What the process holds now, after all that can be let go has been."""
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    gc.collect()
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return Holding(
        pages * PAGE / 2**20,
        len(os.listdir("/proc/self/fd")),
        threading.active_count(),
        len(shiboken6.getAllValidWrappers()),
        len(gc.get_objects()),
    )


def say(line: str) -> None:
    """Print one line at once."""
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


def main(share: float) -> None:
    """Work an evening's `share` and print what was seen."""
    changes = max(len(PIECES) * 2, round(CHANGES * share))
    with tempfile.TemporaryDirectory() as folder:
        os.environ["XDG_DATA_HOME"] = folder
        evening, held = Evening(Path(folder)), []
        rubbish = Rubbish(application())
        begun = time.monotonic()
        for number in range(changes):
            evening.sit(number, MARKS, STEPS, ZOOMS)
            held.append(holding())
            say(f"{number + 1:4} {held[-1]}")
        rubbish.stop()
        evening.end()
    say(f"{evening.marked} marks, {changes} charts, {time.monotonic() - begun:.0f} s")
    say(f"QPA {QApplication.platformName()}")
    for line in evening.frames.lines():
        say(line)
    warm = held[round(len(held) * WARM_SHARE)]
    for name in ("mebibytes", "files", "threads", "wrappers", "objects"):
        first, last = getattr(warm, name), getattr(held[-1], name)
        say(f"{name}: {first:.0f} after the warm-up, {last:.0f} at the end ({last / first - 1:+.1%})")


if __name__ == "__main__":
    main(float(sys.argv[1]) if len(sys.argv) > 1 else 1.0)
