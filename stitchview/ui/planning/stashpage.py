"""The page about her stash: what she has of each thread, what is short, and what could stand in."""

from collections.abc import Mapping
from functools import partial
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QIcon
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QSplitter, QTabWidget, QVBoxLayout, QWidget

from stitchview.chart.problems import counted
from stitchview.chart.threadname import ThreadName
from stitchview.done.basket import Basket
from stitchview.done.ownfolder import own_layers_folder
from stitchview.errors import CommandError, StitchviewError
from stitchview.plan.stashcolumns import StashColumns
from stitchview.plan.stashreading import StashReading, read_headings, read_stash
from stitchview.plan.stashreport import Standing, StashReport, Verdict, against_stash
from stitchview.plan.stashsubstitutes import CAUTION, Substitutes, substitutes
from stitchview.plan.stashtable import StashError
from stitchview.plan.stashtakings import Taking, shared_words, takings_elsewhere, takings_of
from stitchview.plan.stashwords import called, standing_words, substitute_words
from stitchview.plan.stashwriting import write_stash
from stitchview.ui.messages import say_error
from stitchview.ui.planning.alikelist import AlikeList
from stitchview.ui.planning.asking import FileWish, ask_to_open, ask_to_save
from stitchview.ui.planning.columnsdialog import ColumnsDialog
from stitchview.ui.planning.insteadwork import InsteadWork
from stitchview.ui.planning.needbook import NeedBook
from stitchview.ui.planning.planpage import GAP, PlanPage, words_label
from stitchview.ui.planning.plantable import PlanTable
from stitchview.ui.planning.plantableview import PlanTableView
from stitchview.ui.planning.stashkeeping import StashPlace, keep_place, read_place
from stitchview.ui.planning.stashmodel import StashModel
from stitchview.ui.planning.swatches import SwatchRow, swatch_icon
from stitchview.ui.planworks import PlanPlace
from stitchview.ui.settings import open_settings
from stitchview.ui.settingsdialog import Scrolling

EMPTY = (
    "No list of your threads is open yet. Open one that you keep as a table (CSV): a row of headings, then a"
    " row for each thread with its name or number, how many skeins you have, and its colour as #RRGGBB if you"
    " can. Any spreadsheet saves such a list."
)
VERDICTS = {
    Verdict.BUY: "to buy",
    Verdict.SHORT: "short",
    Verdict.PROBABLY: "probably enough",
    Verdict.HAVE: "enough",
    Verdict.OPEN: "without a known need",
}
KINDS = "Tables (*.csv *.tsv *.txt);;All files (*)"


class StashPage(PlanPage):
    """The chart against the list at the left, the chosen thread at the right; look-alikes beside that."""

    place = PlanPlace.STASH

    def __init__(self, table: PlanTable, book: NeedBook) -> None:
        super().__init__()
        self._table, self._book = table, book
        self.instead = InsteadWork(book)
        self._place = read_place(open_settings())
        self._reading: StashReading | None = None
        self._unread = ""
        self._offers: dict[ThreadName, Substitutes] = {}
        self._report: StashReport | None = None
        self._taken: Mapping[ThreadName, tuple[Taking, ...]] = {}
        self.open = QPushButton("&Open your list …")
        self.map = QPushButton("Which &column is which …")
        self.buy = QPushButton("Copy what to &buy")
        self.save = QPushButton("&Save the list as …")
        self.told = words_label(EMPTY)
        self.model = StashModel(self._icon)
        self.rows = PlanTableView(self.model, "Your threads against the chart", self._choose)
        self.words, self.offers = words_label(), words_label()
        self.colours = SwatchRow()
        self.another = QPushButton("&Use another thread …")
        self.alike = AlikeList(table)
        self.columns: ColumnsDialog | None = None
        self._lay_out()
        self.open.clicked.connect(self._ask)
        self.map.clicked.connect(self._ask_again)
        self.buy.clicked.connect(self._copy)
        self.save.clicked.connect(self._ask_target)
        self.another.clicked.connect(self._ask_another)

    def refresh(self) -> None:
        """Show everything as it is now; the list is read when the page comes up for the first time."""
        self.alike.refresh()
        if self._reading is None and self._place is not None:
            self._read(self._place)
        self._show()

    def take(self, path: Path) -> None:
        """Read another list; if its columns are not plain, ask which is which."""
        self._read(StashPlace(path), ask=True)
        self._show()

    def write(self, path: Path) -> bool:
        """Write the list as CSV, with her headings and all columns; whether it could be written."""
        if self._reading is None:
            return False
        try:
            write_stash(self._reading.stash, path, self._reading.columns)
        except StitchviewError as error:
            say_error(self, error)
            return False
        self.told.setText(f"Wrote “{path.name}”: {counted(len(self._reading.stash.holdings), 'row')}.")
        return True

    def _lay_out(self) -> None:
        buttons = QHBoxLayout()
        for button in (self.open, self.map, self.buy, self.save):
            buttons.addWidget(button)
        buttons.addStretch(1)
        side = QWidget()
        column = QVBoxLayout(side)
        column.setContentsMargins(GAP, 0, 0, 0)
        for part in (self.words, self.colours, self.offers, self.another):
            column.addWidget(part)
        column.addWidget(words_label(CAUTION, quiet=True))
        column.addStretch(1)
        self.split = QSplitter(Qt.Orientation.Horizontal)
        self.split.addWidget(self.rows)
        self.split.addWidget(Scrolling(side))
        self.split.setSizes([560, 360])
        self.split.setChildrenCollapsible(False)
        against = QWidget()
        outer = QVBoxLayout(against)
        outer.setContentsMargins(0, GAP, 0, 0)
        outer.addLayout(buttons)
        outer.addWidget(self.told)
        outer.addWidget(self.split, 1)
        outer.addStretch(0)
        self.tabs = QTabWidget()
        self.tabs.setDocumentMode(True)
        self.tabs.addTab(against, "Against your list")
        self.tabs.addTab(Scrolling(self.alike), "Look-alikes of this key")
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, GAP, 0, 0)
        whole.addWidget(self.tabs)

    def _read(self, place: StashPlace, ask: bool = False) -> None:
        """Read a list; where it cannot be read, the one before stays, and what is wrong is said."""
        try:
            reading = read_stash(place.path, place.columns)
        except StashError as error:
            if self._reading is None:
                self._unread = str(error)
            if ask and place.columns is None and _headings(place.path):
                self._ask_columns(place.path)
            elif ask:
                say_error(self, error)
            return
        self._reading, self._place, self._unread = reading, place, ""
        keep_place(open_settings(), place)

    def _show(self) -> None:
        reading = self._reading
        self.map.setEnabled(self._place is not None)
        for button in (self.buy, self.save):
            button.setEnabled(reading is not None)
        self.split.setVisible(reading is not None)
        if reading is None:
            self.told.setText(self._unread or EMPTY)
            return
        try:
            found = self._book.need
        except CommandError as error:
            self.told.setText(str(error))
            return
        needs = {each.thread.identity: each.left.skeins for each in found.threads if not each.is_bead}
        report = against_stash([each.thread for each in found.threads], reading.stash, needs)
        if report != self._report:
            self._report = report
            self._offers = {each.standing.thread.identity: each for each in substitutes(report)}
        pieces = Basket(own_layers_folder()).pieces()
        threads = [each.thread for each in report.standings if each.need is not None and each.need.high > 0]
        self._taken = takings_of(threads, takings_elsewhere(pieces, self._table.chart))
        self.model.show_standings(report.standings)
        self.rows.choose_some()
        self.told.setText(self._told(reading, report))

    def _told(self, reading: StashReading, report: StashReport) -> str:
        counts = ", ".join(
            f"{len(rows)} {words}" for verdict, words in VERDICTS.items() if (rows := report.of(verdict))
        )
        name = self._place.path.name if self._place is not None else ""
        faults = [str(fault) for fault in reading.faults[:3]]
        if len(reading.faults) > 3:
            faults.append(f"{len(reading.faults) - 3} more rows cannot be read whole.")
        if self._taken:
            threads = counted(len(self._taken), "thread")
            faults.append(f"Other pieces use {threads} of this one instead of others.")
        return " ".join((f"“{name}”, for what is left of the chart: {counts}.", *faults, *reading.notes))

    def _choose(self, row: int) -> None:
        standing = self.model.row_at(row)
        if standing is None:
            return
        thread = standing.thread
        found = self._offers.get(thread.identity)
        wanted = 0.0 if standing.need is None else standing.need.high
        shared = shared_words(self._taken.get(thread.identity, ()), standing.skeins, wanted)
        self.words.setText(f"{called(thread)}: {standing_words(standing)} {shared}".rstrip())
        offers = found.offers if found is not None else ()
        shown = [(offer.colour, f"{number}") for number, offer in enumerate(offers, 1)]
        self.colours.lay([(thread.colour, "the chart’s"), *shown] if offers else [])
        told = [f"{number}. {substitute_words(offer)}" for number, offer in enumerate(offers, 1)]
        if found is not None and found.why:
            told.append(f"Nothing could stand in: {found.why}")
        self.offers.setText("\n".join(told))

    def _ask_another(self) -> None:
        standing = self.model.row_at(self.rows.row)
        if standing is not None:
            self.instead.ask(standing.thread.numbers[0], self)

    def _ask(self) -> None:
        start = self._place.path if self._place is not None else Path.home() / "threads.csv"
        ask_to_open(FileWish("Open the list of your threads", KINDS, "csv", start), self.take, self)

    def _ask_target(self) -> None:
        start = self._place.path if self._place is not None else Path.home() / "threads.csv"
        ask_to_save(FileWish("Save the list of your threads", KINDS, "csv", start), self.write, self)

    def _ask_again(self) -> None:
        if self._place is not None:
            self._ask_columns(self._place.path)

    def _ask_columns(self, path: Path) -> None:
        try:
            headings = read_headings(path)
        except StashError as error:
            say_error(self, error)
            return
        self.columns = ColumnsDialog(headings, partial(self._map, path), self)
        self.columns.open()

    def _map(self, path: Path, columns: StashColumns) -> None:
        self._read(StashPlace(path, columns), ask=True)
        self._show()

    def _copy(self) -> None:
        if self._report is not None:
            lines = [f"{called(each.thread)}: {each.buy}" for each in self._report.to_buy]
            QGuiApplication.clipboard().setText("\n".join(lines))
            self._table.voice.hint(f"Copied what to buy: {len(lines)} threads.")

    def _icon(self, standing: Standing) -> QIcon:
        return swatch_icon(standing.thread.colour, self)


def _headings(path: Path) -> tuple[str, ...]:
    try:
        return read_headings(path)
    except StitchviewError:
        return ()
