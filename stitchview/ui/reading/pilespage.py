"""The page of the reading table with the piles: name them, join those that are one, take odd ones out."""

from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QListWidgetItem,
    QPushButton,
    QSizePolicy,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from stitchview.chart.model import Chart, KeyEntry
from stitchview.errors import StitchviewError
from stitchview.sheets.checklist import is_named
from stitchview.sheets.correcting import doubts_of, merged, named, piles_of, places_of
from stitchview.sheets.keynaming import key_lines, named_by_key
from stitchview.ui.chooser import Chooser
from stitchview.ui.messages import say_error
from stitchview.ui.reading.contactsheet import ContactSheet
from stitchview.ui.reading.keyjob import KeyJob, MatchedKey
from stitchview.ui.reading.pilelist import NUMBER, PileList
from stitchview.ui.reading.reviewbook import ReviewBook
from stitchview.ui.reading.threadform import ThreadForm

SAME_KEY, OUT_KEY = "Ctrl+Return", "Ctrl+Shift+Return"
OWN, NOTHING = -1, 0
NONE_YET = "There are no piles yet: add pictures on the first page and press “Read the symbols”."


class PilesPage(QWidget):
    """At the left all piles, at the right the chosen one with its thread and its cut-outs."""

    def __init__(self, book: ReviewBook) -> None:
        super().__init__()
        self._book = book
        self._chosen = 0
        self.list = PileList(self.merge)
        self.list.currentItemChanged.connect(self._turned)
        self.told = QLabel()
        self.told.setWordWrap(True)
        self.form = ThreadForm()
        self.form.given.connect(self._given)
        self.form.page_chosen.connect(self.match_page)
        self.key_job = KeyJob(self)
        self.key_job.done.connect(self._matched)
        self.key_job.failed.connect(self._say)
        self._printed: dict[str, NDArray[np.uint8]] = {}
        self.into, self.goes = _box("The pile it is the same as"), _box("What the picked squares are")
        self.merge_button = _button("&Join them", self._merge, "All of this pile becomes the other's")
        tip = f"{SAME_KEY}: none of this pile's squares is in doubt any more, but for those picked"
        self.same_button = _button("&All these are the same", self.all_same, tip)
        tip = f"{OUT_KEY}: press on squares above to pick them; those that look like them follow"
        self.out_button = _button("Take &out as", self.take_out, tip)
        for key, done in ((SAME_KEY, self.all_same), (OUT_KEY, self.take_out)):
            QShortcut(QKeySequence(key), self).activated.connect(done)
        self.undo_button = _button("&Undo", book.undo, "Take the last change back")
        self.cut_outs = ContactSheet()
        self.cut_outs.picks_changed.connect(self._show_picks)
        self._lay_out()
        book.changed.connect(self.refresh)
        self.refresh()

    def _lay_out(self) -> None:
        left, right = QWidget(), QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 4, 0)
        column.addWidget(self.told)
        column.addWidget(self.list, 1)
        joining = QHBoxLayout()
        joining.addWidget(self.undo_button)
        joining.addWidget(self.into, 1)
        joining.addWidget(self.merge_button)
        column.addLayout(joining)
        beside = QVBoxLayout(right)
        beside.setContentsMargins(4, 0, 0, 0)
        beside.addWidget(self.form)
        beside.addWidget(self.cut_outs, 1)
        foot = QHBoxLayout()
        foot.addWidget(self.out_button)
        foot.addWidget(self.goes, 1)
        foot.addWidget(self.same_button)
        beside.addLayout(foot)
        split = QSplitter(Qt.Orientation.Horizontal)
        split.setChildrenCollapsible(False)
        split.addWidget(left)
        split.addWidget(right)
        split.setSizes([400, 560])
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 4, 0, 0)
        outer.addWidget(split)

    # What a person does

    def merge(self, gone: int, into: int) -> None:
        """Join one pile to another."""
        if self._book.chart is not None:
            self._chosen = into - (into > gone)
            self._book.take(merged(self._book.chart, gone, into))

    def all_same(self) -> None:
        """Say that every doubtful square of the chosen pile that is not picked is right."""
        chart = self._book.chart
        if chart is not None and self._chosen:
            doubts = doubts_of(chart, self._chosen)
            odd = np.isin(places_of(chart, doubts), self.cut_outs.picked)
            self._book.answer(doubts[~odd], self._chosen)

    def take_out(self) -> None:
        """Take the picked squares out of the pile: into one of their own, another, or none."""
        picked, goes = self.cut_outs.picked, self.goes.currentData()
        if not len(picked) or goes is None:
            return
        if goes != OWN:
            self._book.say(picked, goes)
            return
        try:
            self._book.split(picked)
        except StitchviewError as error:
            say_error(self, error)

    def match_page(self, picture: Path) -> None:
        """Name the piles after a picture of the printed key; what a person has named stays."""
        if self._book.chart is not None:
            self.told.setText(f"Reading the key page “{picture.name}” …")
            self.key_job.start(picture, self.form.table, self._book.chart)

    def _matched(self, found: MatchedKey) -> None:
        chart = self._book.chart
        if chart is None or len(chart.key) != len(found.chart.key):
            self._say("The piles were changed meanwhile. Open the key page once more.")
            return
        rows = {box.number: box.row for box in found.key.page.boxes}
        self._printed = {chart.key[each.symbol - 1].code: rows[each.box] for each in found.match.pairs}
        named_piles = named_by_key(chart, found.match, found.key)
        self._book.take(named_piles)
        self.refresh()
        self._say("\n".join(key_lines(named_piles, found.match, found.key)))

    def _say(self, words: str) -> None:
        """Say what the key page told, shortly; all of it where the pointer rests."""
        self.told.setText("\n".join(words.split("\n")[:3]))
        self.told.setToolTip(words)

    def _merge(self) -> None:
        into = self.into.currentData()
        if self._chosen and into is not None:
            self.merge(self._chosen, into)

    def _given(self, entry: KeyEntry) -> None:
        chart = self._book.chart
        if chart is not None and self._chosen and entry != self._entry:
            self._book.take(named(chart, self._chosen, entry))

    @property
    def _entry(self) -> KeyEntry | None:
        chart = self._book.chart
        return None if chart is None or not self._chosen else chart.key[self._chosen - 1]

    def _turned(self, item: QListWidgetItem | None, _: QListWidgetItem | None) -> None:
        if item is not None and item.data(NUMBER) != self._chosen:
            self._chosen = item.data(NUMBER)
            self._show_chosen()

    # What is shown

    def showEvent(self, event: QShowEvent) -> None:
        """Take over what has changed while another page was up."""
        super().showEvent(event)
        self.refresh()

    def refresh(self) -> None:
        """Show the piles as they are now; unseen, nothing is made that nobody looks at."""
        if not self.isVisible():
            return
        chart = self._book.chart
        piles = [] if chart is None else piles_of(chart)
        if self._chosen not in piles:
            self._chosen = piles[0] if piles else 0
        chosen = self._chosen
        self.list.show_piles(chart, self._book.chips, chosen)
        self._chosen = chosen
        self.told.setText(_heading(chart, piles))
        self.undo_button.setEnabled(self._book.can_undo)
        self._show_chosen()

    def _show_chosen(self) -> None:
        chart, entry = self._book.chart, self._entry
        self.form.show_entry(entry, () if chart is None else chart.key)
        self.form.show_printed(self._printed.get(entry.code) if entry is not None else None)
        self.into.setEnabled(entry is not None)
        self.into.clear()
        self.goes.clear()
        if chart is None or entry is None:
            self.cut_outs.show_squares(self._book.pieces, np.zeros(0, np.intp), 1, 0)
            self.merge_button.setEnabled(False)
            self._show_picks()
            return
        self.goes.addItem("a symbol of their own", OWN)
        for other in piles_of(chart):
            if other != self._chosen:
                self.into.addItem(chart.key[other - 1].name, other)
                self.goes.addItem(chart.key[other - 1].name, other)
        for box in (self.into, self.goes):
            box.addItem("no stitch", NOTHING)
        self.merge_button.setEnabled(self.into.count() > 0)
        places, doubtful = _cut_outs(chart, self._chosen)
        rest = self._book.pieces.by_sheet(places[doubtful:], chart.columns)
        places = np.concatenate([places[:doubtful], rest])
        self.cut_outs.show_squares(self._book.pieces, places, chart.columns, doubtful)
        self._show_picks()

    def _show_picks(self) -> None:
        chart = self._book.chart
        picked = len(self.cut_outs.picked)
        doubts = 0 if chart is None or not self._chosen else len(doubts_of(chart, self._chosen))
        self.goes.setEnabled(picked > 0)
        self.out_button.setEnabled(picked > 0)
        self.out_button.setText(f"Take {picked:,} &out as" if picked else "Take &out as")
        self.same_button.setEnabled(doubts > 0)


def _cut_outs(chart: Chart, number: int) -> tuple[NDArray[np.intp], int]:
    """The places of a pile's squares: the most doubtful first, then the others; and how many are in doubt."""
    doubts = doubts_of(chart, number)
    doubts = doubts[np.argsort(-chart.doubts.chances[doubts], kind="stable")]
    first = places_of(chart, doubts)
    every = np.flatnonzero(chart.squares.ravel() == number)
    rest = every[~np.isin(every, first)]
    return np.concatenate([first, rest]).astype(np.intp), len(first)


def _heading(chart: Chart | None, piles: list[int]) -> str:
    if chart is None or not piles:
        return NONE_YET
    unnamed = sum(1 for number in piles if not is_named(chart, number))
    return f"{len(piles)} piles, {unnamed} not named yet. Drop one on another where both are the same symbol."


def _box(name: str) -> QComboBox:
    box = Chooser()
    box.setAccessibleName(name)
    # Long names of threads must not make the window wider than her screen.
    box.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
    return box


def _button(text: str, pressed: object, tip: str) -> QPushButton:
    button = QPushButton(text)
    button.setAutoDefault(False)
    button.setToolTip(tip)
    button.clicked.connect(pressed)
    return button
