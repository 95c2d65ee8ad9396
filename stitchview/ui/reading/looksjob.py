"""Finds out beside the window how the squares of a chart look, so that answers can teach others."""

import threading

from PySide6.QtCore import QObject, Signal

from stitchview.chart.model import Chart
from stitchview.errors import StitchviewError
from stitchview.sheets.squarelooks import LookingStopped, Looks, looks_of


class LooksJob(QObject):
    """One chart at a time; `done` comes in the window's thread, with None where pictures tell nothing."""

    done = Signal(object)
    _finished = Signal(object, object)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._stop: threading.Event | None = None
        self._finished.connect(self._end)

    @property
    def busy(self) -> bool:
        """Whether a chart is being looked at."""
        return self._stop is not None

    def start(self, chart: Chart) -> None:
        """Look at a chart; what was looked at before is not told of any more."""
        self.stop()
        self._stop = stop = threading.Event()
        threading.Thread(target=self._run, args=(chart, stop), name="looks of squares").start()

    def stop(self) -> None:
        """Tell nothing more."""
        if self._stop is not None:
            self._stop.set()
            self._stop = None

    def _run(self, chart: Chart, stop: threading.Event) -> None:
        """Runs in the thread. Without looks the answers still hold, they only teach no others."""
        looks: Looks | None = None
        try:
            looks = looks_of(chart, stop.is_set)
        except (LookingStopped, StitchviewError, MemoryError):
            looks = None
        if not stop.is_set():
            self._finished.emit(stop, looks)

    def _end(self, stop: threading.Event, looks: Looks | None) -> None:
        if stop is self._stop:
            self._stop = None
            self.done.emit(looks)
