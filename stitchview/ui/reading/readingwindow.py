"""The reading table: pictures of paper in, a chart out, that can be followed before all is read."""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Protocol

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QDialog,
    QFileDialog,
    QHBoxLayout,
    QLabel,
    QProgressBar,
    QPushButton,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from stitchview.chart.fileformat import SUFFIX
from stitchview.chart.model import Chart
from stitchview.sheets.checklist import First, Subject
from stitchview.sheets.correcting import piles_of
from stitchview.sheets.reading import FoundSheet, Wishes
from stitchview.ui.reading.chartjob import Asked, ChartJob
from stitchview.ui.reading.checkpage import CheckPage
from stitchview.ui.reading.doubtspage import DoubtsPage
from stitchview.ui.reading.pilespage import PilesPage
from stitchview.ui.reading.reviewbook import ReviewBook
from stitchview.ui.reading.sheetspage import SheetsPage
from stitchview.ui.screenroom import open_at

SIZE = QSize(980, 560)
# Everything that is pressed is at least 44 pixels high, for fingers (WCAG 2.2, 2.5.5).
TOUCH = "QPushButton, QComboBox, QLineEdit, QSpinBox { min-height: 42px; } QTabBar::tab { min-height: 32px; }"
HERS = (
    "The chart stays yours, for your own use: whoever made a chart that was bought has to be asked before a "
    "reading of it is given to anybody else."
)
FOLLOW_TIP = "Make a chart of the straightened pictures now; band, marks and place work on them"
READ_TIP = "Sort the symbols into piles and find back stitch, knots and beads"


class ReadingDoor(Protocol):
    """Who keeps the charts that come off the table, and shows them."""

    def chart_there(self, path: Path) -> Chart | None:
        """The chart that lies at a path, None where there is none."""

    def put(self, chart: Chart, path: Path) -> bool:
        """Write a chart and show it; what hinders is said, and False given."""

    def write(self, chart: Chart, path: Path) -> bool:
        """Write a chart, shown again only where it is open; what hinders is said, and False given."""


class ReadingWindow(QDialog):
    """Stands over the window; Escape puts it away and nothing on it is lost."""

    def __init__(self, door: ReadingDoor, parent: QWidget) -> None:
        super().__init__(parent)
        self._door = door
        self.path: Path | None = None
        self._symbols = False
        self.setWindowTitle("Reading table")
        self.setStyleSheet(TOUCH)
        self.setAcceptDrops(True)
        self.sheets = SheetsPage()
        self.sheets.changed.connect(self._refresh)
        self.job = ChartJob(self)
        self.job.progress.connect(self._show_progress)
        self.job.done.connect(self._done)
        self.job.failed.connect(self._failed)
        self.tabs = QTabWidget()
        self.tabs.setDocumentMode(True)
        self._add_page(self.sheets, "Sheets")
        self.book = ReviewBook(self)
        self.piles = PilesPage(self.book)
        self._add_page(self.piles, "Piles")
        self.doubts = DoubtsPage(self.book)
        self._add_page(self.doubts, "Doubts")
        self.check = CheckPage(self.book, self._firsts, self._mend)
        self._add_page(self.check, "Check")
        self._make_foot()
        outer = QVBoxLayout(self)
        outer.setContentsMargins(8, 4, 8, 8)
        outer.addWidget(self.tabs, 1)
        outer.addLayout(self._foot)
        outer.addWidget(self._hers)
        open_at(self, SIZE)
        self._refresh()

    def _add_page(self, page: QWidget, title: str) -> None:
        number = self.tabs.addTab(page, title)
        self.tabs.setTabToolTip(number, f"Ctrl+{number + 1}")
        shortcut = QShortcut(QKeySequence(f"Ctrl+{number + 1}"), self)
        shortcut.activated.connect(_turner(self.tabs, number))

    def _make_foot(self) -> None:
        self.said = QLabel()
        self.said.setWordWrap(True)
        self.said.setTextFormat(Qt.TextFormat.PlainText)
        self.bar = QProgressBar()
        self.bar.setRange(0, 1000)
        self.bar.setTextVisible(False)
        self.bar.setMaximumWidth(160)
        self.bar.setAccessibleName("How far the reading is")
        self.stop_button = self._button("S&top reading", self._stop, "Nothing is written then")
        self.follow_button = self._button("&Follow on the picture …", self._follow, FOLLOW_TIP)
        self.read_button = self._button("Read the s&ymbols …", self._read, READ_TIP)
        self._foot = QHBoxLayout()
        self._foot.addWidget(self.said, 1)
        for part in (self.bar, self.stop_button, self.follow_button, self.read_button):
            self._foot.addWidget(part)
        self._hers = QLabel(HERS)
        self._hers.setWordWrap(True)

    def _button(self, text: str, pressed: Callable[[], None], tip: str) -> QPushButton:
        button = QPushButton(text)
        button.setAutoDefault(False)
        button.setToolTip(tip)
        button.clicked.connect(pressed)
        return button

    @property
    def found(self) -> Sequence[FoundSheet]:
        """The sheets that have been found, in their order."""
        return self.sheets.model.found

    def _firsts(self) -> dict[str, First]:
        """By a sheet's name what the numbers printed around it say it begins with."""
        return {sheet.name: sheet.first for sheet in self.found if sheet.first is not None}

    def _mend(self, subject: Subject) -> None:
        """Turn to the page on which a point of the check list is mended."""
        pages = {Subject.NUMBERS: self.sheets, Subject.NAMES: self.piles}
        self.tabs.setCurrentWidget(pages.get(subject, self.doubts))

    # Pictures dropped

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take files that are dragged over the table."""
        if any(url.isLocalFile() for url in event.mimeData().urls()):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Put all that was dropped on the table."""
        paths = [Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()]
        if paths:
            event.acceptProposedAction()
            self.sheets.add(paths)

    # Making a chart

    def _follow(self) -> None:
        self._ask_where(symbols=False)

    def _read(self) -> None:
        self._ask_where(symbols=True)

    def _ask_where(self, symbols: bool) -> None:
        self._symbols = symbols
        first = self.sheets.model.sheets[0].path
        start = self.path or first.with_suffix(SUFFIX)
        asked = QFileDialog(self, "Keep the chart as", str(start.parent), f"Charts (*{SUFFIX})")
        asked.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        asked.setDefaultSuffix(SUFFIX.removeprefix("."))
        asked.selectFile(start.name)
        asked.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        asked.fileSelected.connect(self._place_chosen)
        asked.open()

    def _place_chosen(self, name: str) -> None:
        self.make_chart(Path(name), self._symbols)

    def make_chart(self, path: Path, symbols: bool) -> None:
        """Begin to read what has been found into a chart at ``path``."""
        if self.job.busy or not self.found:
            return
        # What has been named and answered so far is part of what the new reading is laid on.
        self.keep()
        self.path = path
        there = self._door.chart_there(path)
        title = there.title if there is not None else path.stem
        self.job.start(Asked(self.found, Wishes(symbols=symbols, title=title), there))
        self._show_progress("Beginning", 0.0)
        self._refresh()

    def _show_progress(self, doing: str, share: float) -> None:
        if self.job.busy:
            self.said.setText(f"{doing} …")
            self.bar.setValue(round(share * 1000))

    def _stop(self) -> None:
        self.job.stop()
        self._refresh()
        self.said.setText("The reading was stopped. Nothing was written.")

    def _done(self, chart: Chart) -> None:
        self.sheets.model.lay_as_read(chart)
        self._refresh()
        if self.path is not None and self._door.put(chart, self.path):
            self.said.setText(_written(chart, self.path))
            self.book.begin(chart, self.path)

    def review(self, chart: Chart, path: Path) -> None:
        """Go on with the names and doubts of a chart, if its symbols were read."""
        if piles_of(chart):
            self.keep()
            self.path = path
            self.book.begin(chart, path)

    def keep(self) -> None:
        """Take what was named and answered over into the chart; what hinders is said, and nothing is lost."""
        chart, path = self.book.chart, self.book.path
        if self.book.unkept and chart is not None and path is not None and self._door.write(chart, path):
            self.book.unkept = False

    def _failed(self, sentence: str) -> None:
        self._refresh()
        self.said.setText(sentence)

    def _refresh(self) -> None:
        sheets, busy = self.sheets.model.sheets, self.job.busy
        found = len(self.found)
        for part in (self.bar, self.stop_button):
            part.setVisible(busy)
        for page in (self.piles, self.doubts, self.check):
            page.setEnabled(not busy)
        ready = found > 0 and not busy and not any(sheet.busy for sheet in sheets)
        self.follow_button.setEnabled(ready)
        self.read_button.setEnabled(ready)
        if not busy:
            self.said.setText(_standing(found, len(sheets), any(sheet.busy for sheet in sheets)))

    def reject(self) -> None:
        """Put the table away; what was named and answered is in the chart then."""
        self.keep()
        super().reject()

    def use_keys(self, single: bool) -> None:
        """Let keys of one character answer doubts by themselves, or only together with Alt."""
        self.doubts.use_keys(single)

    def close_down(self) -> None:
        """Stop everything, because the program ends."""
        self.job.stop()
        self.book.close_down()
        self.piles.key_job.stop()
        self.sheets.close_down()
        self.hide()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Only be put away: what is on the table stays there."""
        event.ignore()
        self.reject()


def _turner(tabs: QTabWidget, number: int) -> Callable[[], None]:
    def turn() -> None:
        tabs.setCurrentIndex(number)

    return turn


def _standing(found: int, all_: int, busy: bool) -> str:
    if not all_:
        return ""
    if busy:
        return f"{found} of {all_} sheets found so far."
    if found < all_:
        return f"{found} of {all_} sheets found; those not found are left out."
    return f"{found} sheet{'s' if found != 1 else ''} found."


def _written(chart: Chart, path: Path) -> str:
    size = f"{chart.columns:,} x {chart.rows:,} squares"
    if not any(sheet.read for sheet in chart.sheets):
        return f"“{path.name}” is open to be followed on the picture: {size}."
    return f"“{path.name}”: {size}, {len(chart.doubts):,} doubtful ones to look at."
