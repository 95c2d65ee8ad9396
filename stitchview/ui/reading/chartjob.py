"""Reads sheets that were found into a chart, in a thread beside the window, and can be stopped."""

import functools
import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import Signal

from stitchview.chart.model import Chart
from stitchview.errors import StitchviewError
from stitchview.sheets.adding import read_found_onto
from stitchview.sheets.readagain import chart_from, is_in, laid_again
from stitchview.sheets.reading import FoundSheet, ReadingStopped, Watch, Wishes
from stitchview.ui.reading.besidewindow import UNFORESEEN, BesideWindow


@dataclass(frozen=True, eq=False)
class Asked:
    """What is to be read; ``onto`` is the chart there is, whose names and corrections stay."""

    found: Sequence[FoundSheet]
    wishes: Wishes
    onto: Chart | None = None


class ChartJob(BesideWindow):
    """One reading at a time; all signals come in the window's thread."""

    progress = Signal(str, float)
    done = Signal(object)
    failed = Signal(str)

    def start(self, asked: Asked) -> None:
        """Begin to read, unless a reading is under way."""
        if not self.busy:
            self._begin(functools.partial(self._read, asked), "reading a chart")

    def _read(self, asked: Asked, stop: threading.Event) -> Chart | str:
        """Runs in the thread: the chart, or what hindered."""
        try:
            return _chart(asked, Watch(_telling(self, stop), stop.is_set))
        except ReadingStopped:
            return "The reading was stopped."
        except MemoryError:
            return "There is too little memory to read all sheets. Close other programs and try again."
        except StitchviewError as error:
            return str(error)

    def _tell(self, outcome: object) -> None:
        if isinstance(outcome, Chart):
            self.done.emit(outcome)
        else:
            self.failed.emit(outcome)

    def _tell_fault(self) -> None:
        self.failed.emit(UNFORESEEN)


def _telling(job: ChartJob, stop: threading.Event) -> Callable[[str, float], None]:
    def tell(doing: str, share: float) -> None:
        if not stop.is_set():
            job.progress.emit(doing, share)

    return tell


def _chart(asked: Asked, watch: Watch) -> Chart:
    """A new chart; or the one there is with sheets read again, or added at a side, or in a sheet's place."""
    onto = asked.onto
    if onto is None:
        chart = chart_from(asked.found, asked.wishes, watch)
    elif is_in(onto, asked.found):
        chart = laid_again(onto, chart_from(asked.found, asked.wishes, watch))
    else:
        chart, _ = read_found_onto(onto, asked.found, asked.wishes, watch)
    if watch.cancelled():
        raise ReadingStopped
    return chart
