"""Reads sheets that were found into a chart, in a thread beside the window, and can be stopped."""

import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QObject, Signal

from stitchview.chart.model import Chart
from stitchview.errors import StitchviewError
from stitchview.sheets.adding import read_found_onto
from stitchview.sheets.readagain import chart_from, is_in, laid_again
from stitchview.sheets.reading import FoundSheet, ReadingStopped, Watch, Wishes


@dataclass(frozen=True, eq=False)
class Asked:
    """What is to be read; ``onto`` is the chart there is, whose names and corrections stay."""

    found: Sequence[FoundSheet]
    wishes: Wishes
    onto: Chart | None = None


class ChartJob(QObject):
    """One reading at a time; all signals come in the window's thread."""

    progress = Signal(str, float)
    done = Signal(object)
    failed = Signal(str)
    _finished = Signal(object, object)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._stop: threading.Event | None = None
        self._finished.connect(self._end)

    @property
    def busy(self) -> bool:
        """Whether a reading is under way."""
        return self._stop is not None

    def start(self, asked: Asked) -> None:
        """Begin to read, unless a reading is under way."""
        if self._stop is not None:
            return
        self._stop = stop = threading.Event()
        threading.Thread(target=self._run, args=(asked, stop), name="reading a chart").start()

    def stop(self) -> None:
        """Stop the reading; nothing more is heard of it."""
        if self._stop is not None:
            self._stop.set()
            self._stop = None

    def _run(self, asked: Asked, stop: threading.Event) -> None:
        """Runs in the thread; nothing is told once the window has gone on."""
        try:
            self._finished.emit(stop, _chart(asked, Watch(_telling(self, stop), stop.is_set)))
        except ReadingStopped:
            return
        except MemoryError:
            if not stop.is_set():
                self._finished.emit(
                    stop, "There is too little memory to read all sheets. Close other programs and try again."
                )
        except StitchviewError as error:
            if not stop.is_set():
                self._finished.emit(stop, str(error))

    def _end(self, stop: threading.Event, outcome: Chart | str) -> None:
        if stop is not self._stop:
            return
        self._stop = None
        if isinstance(outcome, Chart):
            self.done.emit(outcome)
        else:
            self.failed.emit(outcome)


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
