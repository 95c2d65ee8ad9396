"""The floor that every drawing is measured against: a window that only shows one ready picture a frame.

Run alone (`python -m tests.speed.floor`) it prints its own figures. Times are CPU times of this
process, so that other programs on the machine count as little as possible; figures are compared
only with the floor of the same run, and no test asserts one.
"""

import gc
import statistics
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from PySide6.QtCore import QCoreApplication, QEvent, QObject, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QPaintEvent
from PySide6.QtWidgets import QApplication, QWidget

WIDTH, HEIGHT = 1920, 1080
WARM_FRAMES = 10
MOST_ROUNDS = 100


@dataclass(frozen=True, slots=True)
class Timing:
    """CPU milliseconds a frame took: the middle one, the one that 95 of 100 keep within, the longest."""

    p50: float
    p95: float
    max: float


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a table of figures; `bars` are the most allowed, by column ("p50" or "p95"), in floors."""

    name: str
    timing: Timing
    bars: dict[str, float] = field(default_factory=dict)


class Stage(QObject):
    """Shows a widget at a size and tells when it has painted."""

    def __init__(self, widget: QWidget, width: int = WIDTH, height: int = HEIGHT) -> None:
        super().__init__()
        self.widget = widget
        self.paints = 0
        widget.installEventFilter(self)
        widget.resize(width, height)
        self.frame(widget.show)

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        """Count the paint events of the widget."""
        if event.type() == QEvent.Type.Paint:
            self.paints += 1
        return False

    def frame(self, change: Callable[[], object]) -> None:
        """Make a change and wait until the widget has painted it; `RuntimeError` if it never does."""
        before = self.paints
        change()
        for _ in range(MOST_ROUNDS):
            QCoreApplication.processEvents()
            if self.paints > before:
                return
        raise RuntimeError("the change did not make the widget paint, so there is no frame to measure")

    def close(self) -> None:
        """Take the widget off the screen and let Qt delete it."""
        self.widget.removeEventFilter(self)
        self.widget.close()
        self.widget.deleteLater()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


class FloorWidget(QWidget):
    """Shows one ready RGB32 picture of its own size."""

    def __init__(self, width: int = WIDTH, height: int = HEIGHT) -> None:
        super().__init__()
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.picture = QImage(width, height, QImage.Format.Format_RGB32)
        self.picture.fill(QColor("#2F5D62"))

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Show the whole picture."""
        painter = QPainter(self)
        painter.drawImage(0, 0, self.picture)
        painter.end()


def application() -> QApplication:
    """The one application of this process, made if there is none yet."""
    running = QApplication.instance()
    return running if isinstance(running, QApplication) else QApplication(sys.argv[:1])


def measure(frames: Callable[[int], object], count: int) -> Timing:
    """Time `frames(n)` for n from 0 to `count` - 1; each call must return only when its frame is painted."""
    gc.collect()
    times = np.empty(count)
    for n in range(count):
        begun = time.process_time_ns()
        frames(n)
        times[n] = (time.process_time_ns() - begun) / 1e6
    return timing_of(times)


def timing_of(milliseconds: Sequence[float] | np.ndarray[tuple[int], np.dtype[np.float64]]) -> Timing:
    """The figures of a row of frame times."""
    p50, p95 = np.percentile(np.asarray(milliseconds, np.float64), (50, 95))
    return Timing(float(p50), float(p95), float(np.max(milliseconds)))


def median_of(runs: Sequence[Timing]) -> Timing:
    """The figures of the middle one of several runs, each column by itself."""
    return Timing(
        statistics.median(run.p50 for run in runs),
        statistics.median(run.p95 for run in runs),
        statistics.median(run.max for run in runs),
    )


def floor_timing(count: int = 300, width: int = WIDTH, height: int = HEIGHT) -> Timing:
    """What a frame costs when nothing has to be drawn but one ready picture."""
    application()
    stage = Stage(FloorWidget(width, height), width, height)
    for _ in range(WARM_FRAMES):
        stage.frame(stage.widget.update)
    timing = measure(lambda _: stage.frame(stage.widget.update), count)
    stage.close()
    return timing


def table(rows: Sequence[Row], floor: Timing) -> str:
    """The rows as a Markdown table: milliseconds, how many times the floor's p50, and the bars.

    Rows already in floors go with a floor of 1.
    """
    head = "| case | p50 | p95 | max | p50 x | p95 x | bar | |\n|---|---|---|---|---|---|---|---|\n"
    return head + "".join(_line(row, floor) for row in (Row("the floor", floor), *rows))


def _line(row: Row, floor: Timing) -> str:
    ratios = {"p50": row.timing.p50 / floor.p50, "p95": row.timing.p95 / floor.p50}
    bars = ", ".join(f"{column} <= {bar:g}" for column, bar in row.bars.items())
    missed = any(ratios[column] > bar for column, bar in row.bars.items())
    verdict = ("missed" if missed else "met") if bars else ""
    times = " | ".join(f"{value:.3f}" for value in (row.timing.p50, row.timing.p95, row.timing.max))
    return f"| {row.name} | {times} | {ratios['p50']:.2f} | {ratios['p95']:.2f} | {bars} | {verdict} |\n"


if __name__ == "__main__":
    sys.stdout.write(table([], median_of([floor_timing() for _ in range(3)])))
