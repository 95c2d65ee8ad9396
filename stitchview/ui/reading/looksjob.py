"""Finds out beside the window how the squares of a chart look, so that answers can teach others."""

import functools
import threading

from PySide6.QtCore import Signal

from stitchview.chart.model import Chart
from stitchview.errors import StitchviewError
from stitchview.sheets.squarelooks import LookingStopped, Looks, looks_of
from stitchview.ui.reading.besidewindow import BesideWindow


class LooksJob(BesideWindow):
    """One chart at a time; `done` comes in the window's thread, with None where pictures tell nothing."""

    done = Signal(object)

    def start(self, chart: Chart) -> None:
        """Look at a chart; what was looked at before is not told of any more."""
        self._begin(functools.partial(_looks, chart), "looks of squares")

    def _tell(self, outcome: object) -> None:
        self.done.emit(outcome)

    def _tell_fault(self) -> None:
        self.done.emit(None)


def _looks(chart: Chart, stop: threading.Event) -> Looks | None:
    """Runs in the thread. Without looks the answers still hold, they only teach no others."""
    try:
        return looks_of(chart, stop.is_set)
    except (LookingStopped, StitchviewError, MemoryError):
        return None
