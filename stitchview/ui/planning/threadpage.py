"""The page about thread: how much of each is needed, done and left, and what is noted of its skeins."""

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QIcon
from PySide6.QtWidgets import QPushButton, QSplitter, QVBoxLayout, QWidget

from stitchview.chart.problems import counted
from stitchview.chart.threadname import identity_of
from stitchview.done.notebook import Notes
from stitchview.done.skeinnotes import SkeinNote, SkeinSize
from stitchview.errors import CommandError
from stitchview.follow.habits import Habits
from stitchview.plan.lessons import Lessons
from stitchview.plan.lessonwords import use_words
from stitchview.plan.need import Amount, Need, ThreadNeed
from stitchview.plan.needreport import HONEST, metres, total_words
from stitchview.plan.reserve import Reserve
from stitchview.plan.runout import RunOut, run_out, shopping_words, warning_words
from stitchview.plan.skeins import Skein
from stitchview.plan.stashwords import called, need_words, skeins_words
from stitchview.plan.threads import BEAD, bought_threads
from stitchview.plan.threadtests import told_test
from stitchview.plan.usednotes import Holding, holding_of, skein_note
from stitchview.ui.habitsdialog import HabitsDialog
from stitchview.ui.messages import say_error
from stitchview.ui.planning.needbook import NeedBook
from stitchview.ui.planning.planpage import GAP, Facts, PlanPage, heading, words_label
from stitchview.ui.planning.plantable import PlanTable
from stitchview.ui.planning.plantableview import PlanTableView
from stitchview.ui.planning.reservedialog import ReserveDialog
from stitchview.ui.planning.rowsmodel import NONE
from stitchview.ui.planning.skeindialog import SkeinDialog
from stitchview.ui.planning.skeinform import SkeinForm
from stitchview.ui.planning.swatches import swatch_icon
from stitchview.ui.planning.threadenddialog import ThreadEndDialog
from stitchview.ui.planning.threadmodel import ThreadModel, skein_words, span_words
from stitchview.ui.planworks import PlanPlace
from stitchview.ui.settingsdialog import Scrolling

MOST_WARNED = 3
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
        self.warning = words_label()
        self.warning.setAccessibleName("Warnings")
        self.skeins = SkeinForm(self._tell, self._take_off)
        self.one = QPushButton("&One skein …")
        self.ended = QPushButton("Used in all, wash &test …")
        self.habits = QPushButton("How you &work with thread …")
        self.reserve = QPushButton("&Strands and reserve …")
        self.buy = QPushButton("Copy what to &buy for all of it")
        self._lay_out()
        self.one.clicked.connect(self._ask_skein)
        self.ended.clicked.connect(self._ask_end)
        self.habits.clicked.connect(self._ask_habits)
        self.reserve.clicked.connect(self._ask_reserve)
        self.buy.clicked.connect(self._copy)

    def refresh(self) -> None:
        """Show everything as it is now."""
        try:
            found = self._book.need
        except CommandError as error:
            self.told.setText(str(error))
            self.model.show_needs(())
            self.buy.setEnabled(False)
            return
        self.buy.setEnabled(bool(found.threads))
        short = self._book.run_outs
        self.told.setText(self._told(found))
        self._warn(short)
        self.model.show_needs(found.threads, short)
        self.rows.choose_some()
        self._choose(self.rows.row)

    def _lay_out(self) -> None:
        side = QWidget()
        column = QVBoxLayout(side)
        column.setContentsMargins(GAP, 0, 0, 0)
        self.name.setWordWrap(True)
        buttons = self.one, self.ended, self.habits, self.reserve, self.buy
        for part in (self.name, self.facts, self.skeins, *buttons):
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
        outer.addWidget(self.warning)
        outer.addWidget(self.split, 1)
        outer.addWidget(words_label(HONEST, quiet=True))

    def _told(self, found: Need) -> str:
        if not found.threads:
            return NO_THREADS
        habits = self._table.bench.piece.habits
        return f"{total_words(found)} Reckoned on {self._table.wish.count.words}, {habits.working}."

    def _choose(self, row: int) -> None:
        need = self.model.row_at(row)
        for part in (self.facts, self.skeins, self.one, self.ended):
            part.setVisible(need is not None and (part is self.facts or not need.is_bead))
        if need is not None:
            self.name.setText(called(need.thread))
            notes, lessons = self._table.bench.desk.notes, self._table.bench.piece.lessons
            facts = facts_of(need, holding_of(need, notes))
            self.facts.tell([*facts, *end_facts(need, notes, lessons)])
            self.skeins.show_notes(self._book.skein_notes(need), need.skein.grams)

    def _warn(self, short: Sequence[RunOut]) -> None:
        told = [warning_words(each) for each in short[:MOST_WARNED]]
        if len(short) > MOST_WARNED:
            told.append(f"{counted(len(short) - MOST_WARNED, 'more thread')} may run short.")
        self.warning.setText("\n".join(told))
        self.warning.setVisible(bool(told))

    def _tell(self, event: str, skeins: float, lot: str) -> None:
        need = self.model.row_at(self.rows.row)
        if need is None:
            return
        desk = self._table.bench.desk
        try:
            desk.note(desk.notes.putting(skein_note(need, event, skeins, lot)))
        except CommandError as error:
            say_error(self, error)

    def _take_off(self, note: SkeinNote) -> None:
        desk = self._table.bench.desk
        desk.note(desk.notes.removing(note))

    def _ask_skein(self) -> None:
        need = self.model.row_at(self.rows.row)
        if need is not None:
            SkeinDialog(called(need.thread), need.skein, partial(self._take_skein, need), self).open()

    def _take_skein(self, need: ThreadNeed, skein: Skein) -> None:
        desk = self._table.bench.desk
        size = SkeinSize(need.name, need.number, skein.length_m, skein.strands, skein.grams)
        desk.note(desk.notes.putting(size))

    def _ask_end(self) -> None:
        need, desk = self.model.row_at(self.rows.row), self._table.bench.desk
        if need is not None:
            ThreadEndDialog(called(need.thread), need, desk.notes, desk.note, self).open()

    def _ask_habits(self) -> None:
        piece = self._table.bench.piece
        HabitsDialog(piece.habits, self._use_habits, self).open()

    def _use_habits(self, habits: Habits) -> None:
        self._table.use_habits(habits)
        self.refresh()

    def _ask_reserve(self) -> None:
        bought = bought_threads(self._table.chart)
        kinds = dict.fromkeys(each.kind for each in bought if each.kind != BEAD)
        ReserveDialog(self._table.piece.reserve, tuple(kinds), self._use_reserve, self).open()

    def _use_reserve(self, reserve: Reserve) -> None:
        self._table.settle(reserve=reserve)
        self.refresh()

    def _copy(self) -> None:
        lines = list(shopping_words(self._book.need))
        QGuiApplication.clipboard().setText("\n".join(lines))
        self._table.voice.hint(f"Copied what to buy: {counted(len(lines), 'thread')}.")

    def _icon(self, need: ThreadNeed) -> QIcon:
        return swatch_icon(need.thread.colour, self)


def facts_of(need: ThreadNeed, holding: Holding | None = None) -> list[tuple[str, str]]:
    """What is told of one thread, by name."""
    if need.is_bead:
        return [("On the chart", f"{need.all.beads:,} beads"), ("Left", f"{need.left.beads:,} beads")]
    learnt = counted(need.usage.stretches, "note") if need.usage.stretches else "nothing noted yet"
    every, left = need.all, need.left
    facts = [
        ("On the chart", f"{every.stitches:,} stitches, {need.done.stitches:,} done"),
        ("Left", _amount_words(left)),
        ("In all", f"{_amount_words(every)}; have {need.buy} of one dye lot"),
        ("One skein", skein_words(need)),
        ("Your use", f"{need.usage.factor:.2f} of geometry ({learnt})"),
    ]
    if holding is not None:
        now = run_out(need, holding)
        held = need_words(now.left_skeins) if now.left_skeins.high else "nothing"
        lot = f", lot {holding.lot}" if holding.lot else ""
        facts.insert(2, ("You have", f"{held}{lot}: {warning_words(now) or 'enough for what is left.'}"))
    return facts


def end_facts(need: ThreadNeed, notes: Notes, lessons: Lessons) -> list[tuple[str, str]]:
    """What is noted of a thread's end, and where her use of it was learnt besides."""
    mine, facts = need.thread.identity, []
    learnt = use_words(need, lessons)
    if learnt and not need.is_bead:
        facts.append(("Also learnt", learnt))
    for each in notes.used_in_all:
        if identity_of(each.name, each.number) == mine:
            facts.append(("Used in all", skeins_words(each.skeins)))
    for test in notes.tests:
        if identity_of(test.name, test.number) == mine:
            facts.append(("Wash or dye test", told_test(test)))
    return facts


def _amount_words(amount: Amount) -> str:
    if not amount.stitches:
        return NONE
    return f"{span_words(amount.needle_m, metres)} m in the needle, {need_words(amount.skeins)}"
