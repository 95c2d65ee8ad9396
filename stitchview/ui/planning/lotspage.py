"""The page about dye lots: which lot of a thread is where, told by area or by day, and seen on the chart."""

from datetime import date

from PySide6.QtCore import QDate, Qt
from PySide6.QtGui import QHideEvent
from PySide6.QtWidgets import (
    QComboBox,
    QDateEdit,
    QFormLayout,
    QHBoxLayout,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from stitchview.done.skeinnotes import MOST_LOT_LETTERS, LotArea
from stitchview.errors import CommandError
from stitchview.plan.stashwords import called
from stitchview.plan.threads import BoughtThread, bought_threads
from stitchview.ui.messages import say_error
from stitchview.ui.planning.lotnotes import (
    Told,
    area_of,
    lot_of_area,
    lot_of_days,
    lots_had,
    told_of,
    told_words,
)
from stitchview.ui.planning.lotproposal import Proposed, proposed_change
from stitchview.ui.planning.needbook import NeedBook
from stitchview.ui.planning.planpage import (
    GAP,
    PlanPage,
    add_field,
    day_box,
    heading,
    side_panel,
    words_label,
)
from stitchview.ui.planning.plantable import PlanTable
from stitchview.ui.planning.swatches import swatch_icon
from stitchview.ui.planworks import PlanPlace

WHY = (
    "Two lots of one colour differ, most of all hand-dyed ones. Buy the whole need from one lot and note it;"
    " if a second must come in, change between separate islands, never in the middle of a joined area."
)
NO_BAND = "Lay a band or a frame over the squares first (B, V or F on the chart)."
NOTHING = "Nothing is told of this thread’s lots yet. Name a lot and tell where or when you stitched with it."
NO_THREADS = "The key of this chart has no threads, so there are no lots to tell."


class LotsPage(PlanPage):
    """The thread and what can be told at the left, what was told at the right."""

    place = PlanPlace.LOTS

    def __init__(self, table: PlanTable, needs: NeedBook) -> None:
        super().__init__()
        self._table, self._needs = table, needs
        self._bought: list[BoughtThread] = []
        self.threads = QComboBox()
        self._name_threads()
        self.threads.setMinimumContentsLength(16)
        self.threads.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.lot = QLineEdit()
        self.lot.setMaxLength(MOST_LOT_LETTERS)
        self.in_band = QPushButton("All done of it in the &band")
        self.first, self.last = _day_field("First day"), _day_field("Last day")
        self.in_days = QPushButton("All stitched on these &days")
        self.told = words_label()
        self.list = QListWidget()
        self.list.setAccessibleName("What is told of the lots of this thread")
        self.go, self.off = QPushButton("&Show on the chart"), QPushButton("&Take off")
        self.change, self.next_lot = words_label(), QPushButton("Show what is for the &next lot")
        self._lay_out()
        self._connect()

    @property
    def chosen(self) -> BoughtThread | None:
        """The thread that is asked about."""
        index = self.threads.currentIndex()
        return self._bought[index] if 0 <= index < len(self._bought) else None

    def refresh(self) -> None:
        """Show what was told of the chosen thread, and whether there is a band to name."""
        self._name_threads()
        thread, desk = self.chosen, self._table.bench.desk
        lit = self._table.bench.band.lit
        self.in_band.setEnabled(thread is not None and lit is not None)
        self.in_band.setToolTip(NO_BAND if lit is None else "")
        self.in_days.setEnabled(thread is not None)
        told = [] if thread is None else told_of(desk.notes, thread)
        if [item.data(Qt.ItemDataRole.UserRole) for item in self._items] != [each.id for each in told]:
            self._list(told)
        self.list.setVisible(bool(told))
        for button in (self.go, self.off):
            button.setEnabled(bool(told))
        had = "" if thread is None else lots_had(desk.notes, thread)
        lines = [NO_THREADS if thread is None else "" if told else NOTHING]
        lines += [f"Lots you noted skeins of: {had}."] if had else []
        self.told.setText("\n\n".join(line for line in lines if line))
        self.told.setVisible(any(lines))
        proposed = self._proposed
        self.change.setText(proposed.words if proposed is not None else "")
        self.next_lot.setEnabled(proposed is not None and bool(proposed.areas))

    def _name_threads(self) -> None:
        """Offer the threads that are used now, and the same one chosen as before."""
        bought = [each for each in bought_threads(self._table.chart) if each.kind != "bead"]
        if bought == self._bought:
            return
        index, self._bought = self.threads.currentIndex(), bought
        self.threads.clear()
        for thread in bought:
            self.threads.addItem(swatch_icon(thread.colour, self), called(thread))
        self.threads.setCurrentIndex(min(max(index, 0), len(bought) - 1))

    def hideEvent(self, event: QHideEvent) -> None:
        """Take the rims off the chart when another page comes up or the window goes."""
        self._table.signs.lay_found(())

    def _lay_out(self) -> None:
        fields = QWidget()
        left = QVBoxLayout(fields)
        left.setSpacing(GAP)
        form = QFormLayout()
        form.setVerticalSpacing(8)
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        add_field(form, "T&hread", self.threads)
        add_field(form, "&Lot", self.lot)
        left.addLayout(form)
        left.addWidget(self.in_band)
        days = QFormLayout()
        add_field(days, "&From", self.first)
        add_field(days, "&To", self.last)
        left.addLayout(days)
        left.addWidget(self.in_days)
        left.addWidget(words_label(WHY, quiet=True))
        left.addStretch(1)
        right, buttons = QVBoxLayout(), QHBoxLayout()
        for button in (self.go, self.off):
            buttons.addWidget(button)
        buttons.addStretch(1)
        right.addWidget(heading("Which lot is where"))
        right.addWidget(self.told)
        right.addWidget(self.list, 1)
        right.addLayout(buttons)
        right.addWidget(heading("If a second lot must come in"))
        right.addWidget(self.change)
        right.addWidget(self.next_lot, 0, Qt.AlignmentFlag.AlignLeft)
        right.addStretch(0)
        outer = QHBoxLayout(self)
        outer.setContentsMargins(0, GAP, 0, 0)
        outer.addWidget(side_panel(fields))
        outer.addLayout(right, 1)

    def _connect(self) -> None:
        self.threads.currentIndexChanged.connect(self.refresh)
        self.in_band.clicked.connect(self._tell_area)
        self.in_days.clicked.connect(self._tell_days)
        self.go.clicked.connect(self._show_on_chart)
        self.off.clicked.connect(self._take_off)
        self.next_lot.clicked.connect(self._show_next_lot)
        self.list.itemActivated.connect(self._show_on_chart)

    @property
    def _items(self) -> list[QListWidgetItem]:
        return [self.list.item(row) for row in range(self.list.count())]

    @property
    def _current(self) -> Told | None:
        thread, item = self.chosen, self.list.currentItem()
        if thread is None or item is None:
            return None
        told = told_of(self._table.bench.desk.notes, thread)
        return next((each for each in told if each.id == item.data(Qt.ItemDataRole.UserRole)), None)

    def _list(self, told: list[Told]) -> None:
        self.list.clear()
        for each in told:
            item = QListWidgetItem(told_words(each))
            item.setData(Qt.ItemDataRole.UserRole, each.id)
            self.list.addItem(item)
        self.list.setCurrentRow(len(told) - 1)

    def _tell_area(self) -> None:
        thread, lit = self.chosen, self._table.bench.band.lit
        if thread is not None and lit is not None:
            area = lit.clipped(self._table.chart.area)
            try:
                self._note(lot_of_area(thread, self.lot.text(), area))
            except CommandError as error:
                say_error(self, error)

    def _tell_days(self) -> None:
        thread = self.chosen
        if thread is not None:
            first, last = (day_of(box) for box in (self.first, self.last))
            try:
                self._note(lot_of_days(thread, self.lot.text(), first, last))
            except CommandError as error:
                say_error(self, error)

    def _note(self, note: Told) -> None:
        desk = self._table.bench.desk
        desk.note(desk.notes.putting(note))
        self.refresh()

    @property
    def _proposed(self) -> Proposed | None:
        return None if self.chosen is None else proposed_change(self._table, self._needs, self.chosen)

    def _show_next_lot(self) -> None:
        """Rim the patches for the next lot, and look at the first of them."""
        proposed = self._proposed
        if proposed is not None and proposed.areas:
            self._table.signs.lay_found(proposed.areas)
            self._table.bench.going.visit(proposed.areas[0])
            self._table.show()

    def _take_off(self) -> None:
        note, desk = self._current, self._table.bench.desk
        if note is not None:
            desk.note(desk.notes.removing(note))
            self.refresh()

    def _show_on_chart(self) -> None:
        """Rim all areas of the lot that is chosen, and look at the chosen one."""
        note, thread = self._current, self.chosen
        if isinstance(note, LotArea) and thread is not None:
            told = told_of(self._table.bench.desk.notes, thread)
            alike = [each for each in told if isinstance(each, LotArea) and each.lot == note.lot]
            alike.sort(key=lambda each: each.id != note.id)
            self._table.signs.lay_found(tuple(area_of(each) for each in alike))
            self._table.bench.going.visit(area_of(note).clipped(self._table.chart.area))
            self._table.show()


def day_of(box: QDateEdit) -> date:
    """The day in a field."""
    day = box.date()
    return date(day.year(), day.month(), day.day())


def _day_field(name: str) -> QDateEdit:
    box = day_box(QDate.currentDate(), name)
    box.setMaximumDate(QDate.currentDate())
    return box
