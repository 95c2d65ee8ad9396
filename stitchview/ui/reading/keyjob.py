"""Reads a photographed key page beside the window and matches its signs with the piles of a chart."""

import threading
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from stitchview.chart.model import Chart
from stitchview.errors import StitchviewError
from stitchview.sheets.keymatching import KeyMatch
from stitchview.sheets.keynaming import PrintedKey, match_chart, printed_key
from stitchview.sheets.keypage import read_key_page


@dataclass(frozen=True, eq=False)
class MatchedKey:
    """A key page and which of its boxes are which piles of the ``chart`` it was matched with."""

    key: PrintedKey
    match: KeyMatch
    chart: Chart


class KeyJob(QObject):
    """One key page at a time; both signals come in the window's thread."""

    done = Signal(object)
    failed = Signal(str)
    _finished = Signal(object, object)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._asked: object | None = None
        self._finished.connect(self._end)

    @property
    def busy(self) -> bool:
        """Whether a key page is being read."""
        return self._asked is not None

    def start(self, picture: Path, table: Path | None, chart: Chart) -> None:
        """Read a key page; one asked for before is not told of any more."""
        self._asked = asked = object()
        work = picture, table, chart
        threading.Thread(target=self._run, args=(asked, work), name="key page").start()

    def stop(self) -> None:
        """Tell nothing more."""
        self._asked = None

    def _run(self, asked: object, work: tuple[Path, Path | None, Chart]) -> None:
        """Runs in the thread."""
        picture, table, chart = work
        outcome: MatchedKey | str
        try:
            page = read_key_page(picture)
            outcome = MatchedKey(printed_key(page, table), match_chart(chart, page), chart)
        except MemoryError:
            outcome = f"There is too little memory for {picture.name}. Close other programs and try again."
        except StitchviewError as error:
            outcome = str(error)
        if asked is self._asked:
            self._finished.emit(asked, outcome)

    def _end(self, asked: object, outcome: MatchedKey | str) -> None:
        if asked is not self._asked:
            return
        self._asked = None
        if isinstance(outcome, MatchedKey):
            self.done.emit(outcome)
        else:
            self.failed.emit(outcome)
