"""Reads a photographed key page beside the window and matches its signs with the piles of a chart."""

import functools
import threading
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import Signal

from stitchview.chart.model import Chart
from stitchview.errors import StitchviewError
from stitchview.sheets.keymatching import KeyMatch
from stitchview.sheets.keynaming import PrintedKey, match_chart, printed_key
from stitchview.sheets.keypage import read_key_page
from stitchview.ui.reading.besidewindow import UNFORESEEN, BesideWindow


@dataclass(frozen=True, eq=False)
class MatchedKey:
    """A key page and which of its boxes are which piles of the ``chart`` it was matched with."""

    key: PrintedKey
    match: KeyMatch
    chart: Chart


class KeyJob(BesideWindow):
    """One key page at a time; both signals come in the window's thread."""

    done = Signal(object)
    failed = Signal(str)

    def start(self, picture: Path, table: Path | None, chart: Chart) -> None:
        """Read a key page; one asked for before is not told of any more."""
        self._begin(functools.partial(_matched, picture, table, chart), "key page")

    def _tell(self, outcome: object) -> None:
        if isinstance(outcome, MatchedKey):
            self.done.emit(outcome)
        else:
            self.failed.emit(outcome)

    def _tell_fault(self) -> None:
        self.failed.emit(UNFORESEEN)


def _matched(picture: Path, table: Path | None, chart: Chart, _stop: threading.Event) -> MatchedKey | str:
    """Runs in the thread, to its end: the key page and what it matches, or what hindered."""
    try:
        page = read_key_page(picture)
        return MatchedKey(printed_key(page, table), match_chart(chart, page), chart)
    except MemoryError:
        return f"There is too little memory for {picture.name}. Close other programs and try again."
    except StitchviewError as error:
        return str(error)
