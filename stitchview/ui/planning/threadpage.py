"""The page about thread: how much of each is needed, done and left, and what is noted of its skeins."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QPushButton, QSplitter, QVBoxLayout, QWidget

from stitchview.errors import CommandError
from stitchview.plan.need import Need, ThreadNeed
from stitchview.plan.needreport import HONEST, metres, total_words
from stitchview.plan.stashwords import called, need_words
from stitchview.ui.habitsdialog import HabitsDialog
from stitchview.ui.planning.needbook import NeedBook
from stitchview.ui.planning.planpage import GAP, Facts, PlanPage, heading, words_label
from stitchview.ui.planning.plantable import PlanTable
from stitchview.ui.planning.plantableview import PlanTableView
from stitchview.ui.planning.swatches import swatch_icon
from stitchview.ui.planning.threadmodel import ThreadModel, skein_words, span_words
from stitchview.ui.planworks import PlanPlace
from stitchview.ui.settingsdialog import Scrolling

NO_THREADS = "The key of this chart has no threads, so there is nothing to reckon."


class ThreadPage(PlanPage):
    """All threads at the left, the chosen one at the right."""

    place = PlanPlace.THREAD

    def __init__(self, table: PlanTable, book: NeedBook) -> None:
        super().__init__()
        self._table, self._book = table, book
        self.told = words_label()
        self.model = ThreadModel(self._icon)
        self.rows = PlanTableView(self.model, "Thread needed", self._choose)
        self.name = heading("")
        self.facts = Facts()
        self.habits = QPushButton("How you &work with thread …")
        self._lay_out()
        self.habits.clicked.connect(self._ask_habits)

    def refresh(self) -> None:
        """Show everything as it is now."""
        try:
            found = self._book.need
        except CommandError as error:
            self.told.setText(str(error))
            self.model.show_needs(())
            return
        self.told.setText(self._told(found))
        self.model.show_needs(found.threads)
        self.rows.choose_some()
        self._choose(self.rows.row)

    def _lay_out(self) -> None:
        side = QWidget()
        column = QVBoxLayout(side)
        column.setContentsMargins(GAP, 0, 0, 0)
        self.name.setWordWrap(True)
        for part in (self.name, self.facts, self.habits):
            column.addWidget(part)
        column.addStretch(1)
        self.split = QSplitter(Qt.Orientation.Horizontal)
        self.split.addWidget(self.rows)
        self.split.addWidget(Scrolling(side))
        self.split.setSizes([640, 300])
        self.split.setChildrenCollapsible(False)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, GAP, 0, 0)
        outer.addWidget(self.told)
        outer.addWidget(self.split, 1)
        outer.addWidget(words_label(HONEST, quiet=True))

    def _told(self, found: Need) -> str:
        if not found.threads:
            return NO_THREADS
        habits = self._table.bench.piece.habits
        return f"{total_words(found)} Reckoned on {self._table.wish.count.words}, {habits.working}."

    def _choose(self, row: int) -> None:
        need = self.model.need_at(row)
        self.facts.setVisible(need is not None)
        if need is not None:
            self.name.setText(called(need.thread))
            self.facts.tell(facts_of(need))

    def _ask_habits(self) -> None:
        piece = self._table.bench.piece
        HabitsDialog(piece.habits, self._table.use_habits, self).open()

    def _icon(self, need: ThreadNeed) -> QIcon:
        return swatch_icon(need.thread.colour, self)


def facts_of(need: ThreadNeed) -> list[tuple[str, str]]:
    """What is told of one thread, by name."""
    if need.is_bead:
        return [("On the chart", f"{need.all.beads:,} beads"), ("Left", f"{need.left.beads:,} beads")]
    learnt = f"learnt from {need.usage.stretches} notes" if need.usage.stretches else "not learnt yet"
    every, left = need.all, need.left
    return [
        ("On the chart", f"{every.stitches:,} stitches, {need.done.stitches:,} done"),
        (
            "In the needle",
            f"{span_words(every.needle_m, metres)} m, left {span_words(left.needle_m, metres)} m",
        ),
        ("Thread begins", f"about {every.starts:,.0f} times"),
        ("Skeins", need_words(every.skeins)),
        ("Left", need_words(left.skeins)),
        ("Have for all", f"{need.buy}, from one dye lot if you can"),
        ("Have for the rest", f"{need.buy_left}"),
        ("One skein", skein_words(need)),
        ("Your use", f"{need.usage.factor:.2f} of geometry, {learnt}"),
    ]
