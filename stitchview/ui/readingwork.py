"""The reading table of one window: made when it is first asked for, and what comes off it is shown."""

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from stitchview.chart.fileformat import read_chart, write_chart
from stitchview.chart.model import Chart, KeyEntry
from stitchview.done.usedkey import printed_chart
from stitchview.errors import StitchviewError
from stitchview.ui.charts import Charts
from stitchview.ui.messages import say_error
from stitchview.ui.window import Window

if TYPE_CHECKING:
    from stitchview.ui.reading.readingwindow import ReadingWindow


class ReadingWork:
    """The `ReadingDoor` of one window."""

    def __init__(self, window: Window, charts: Charts) -> None:
        self._window, self._charts = window, charts
        self.table: ReadingWindow | None = None
        self._single_keys = True

    def use_keys(self, single: bool) -> None:
        """Let keys of one character work on the table, or not."""
        self._single_keys = single
        if self.table is not None:
            self.table.use_keys(single)

    def open(self, paths: Iterable[Path] = ()) -> None:
        """Open the reading table, with these pictures on it too."""
        if self.table is None:
            # Loaded only now: nobody who opens a chart to stitch waits for what reads paper.
            from stitchview.ui.reading.readingwindow import ReadingWindow

            self.table = ReadingWindow(self, self._window)
            self.table.use_keys(self._single_keys)
        sitting = self._charts.sitting
        if sitting is not None and self.table.book.path != sitting.path:
            # What was read on another evening is named and answered further.
            self.table.review(printed_chart(sitting.desk.chart.printed), sitting.path)
        self.table.show()
        self.table.raise_()
        self.table.activateWindow()
        self.table.sheets.add(paths)

    def keep(self, path: Path | None = None) -> None:
        """Take what was named and answered on the table over into its chart, or only if it lies at `path`."""
        if self.table is not None and path in (None, self.table.book.path):
            self.table.keep()

    def corrected(self, chart: Chart, path: Path) -> bool:
        """Write a chart corrected by hand and show it, on the table too; whether that could be done."""
        done = self.put(chart, path)
        if done and self.table is not None and self.table.book.path == path:
            self.table.book.follow(chart)
        return done

    def ask_entry(self, entry: KeyEntry, use: Callable[[KeyEntry], None], parent: QWidget) -> None:
        """Ask how a line of the key is to be."""
        # Loaded only now, as the table is: it brings along what opens pictures.
        from stitchview.ui.reading.entrydialog import EntryDialog

        EntryDialog(entry, use, parent).open()

    def close_down(self) -> None:
        """Stop what is being read, because the program ends."""
        if self.table is not None:
            self.table.close_down()

    def chart_there(self, path: Path) -> Chart | None:
        """The chart that lies at a path, None where there is none that can be read."""
        try:
            return read_chart(path) if path.exists() else None
        except StitchviewError:
            return None

    def put(self, chart: Chart, path: Path) -> bool:
        """Write a chart and show it; what hinders is said, and False given.

        One that is open is put away first and opened again, so that its marks are kept and found again.
        """
        whole = path.absolute()
        is_open = self._is_open(whole)
        if is_open and not self._charts.close():
            return False
        if self._written(chart, whole):
            return self._charts.open(whole)
        if is_open:
            self._charts.open(whole)
        return False

    def write(self, chart: Chart, path: Path) -> bool:
        """Write a chart; another one that is open stays open. What hinders is said, and False given."""
        whole = path.absolute()
        return self.put(chart, whole) if self._is_open(whole) else self._written(chart, whole)

    def _is_open(self, path: Path) -> bool:
        sitting = self._charts.sitting
        return sitting is not None and sitting.path == path

    def _written(self, chart: Chart, path: Path) -> bool:
        try:
            write_chart(chart, path)
        except StitchviewError as error:
            say_error(self._window, error)
            return False
        return True
