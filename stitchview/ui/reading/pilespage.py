"""The page of the reading table with the piles: name them, join those that are one, see what is in them."""

from dataclasses import replace

import numpy as np
from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QColor, QDropEvent, QIcon, QImage, QKeySequence, QPixmap, QShortcut, QShowEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QColorDialog,
    QComboBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from stitchview.chart.colour import Colour
from stitchview.chart.limits import MOST_LABEL
from stitchview.chart.model import Chart, KeyEntry
from stitchview.sheets.correcting import all_the_same, doubts_of, merged, named, piles_of
from stitchview.ui.reading.reviewbook import ReviewBook

CHIP, CUT_OUT = 32, 40
MOST_CUT_OUTS = 120
NUMBER = Qt.ItemDataRole.UserRole
SAME_KEY = "Ctrl+Return"
NONE_YET = "There are no piles yet: add pictures on the first page and press “Read the symbols”."


class PileList(QListWidget):
    """The piles, largest first; one that is dropped on another is joined to it."""

    def __init__(self, page: "PilesPage") -> None:
        super().__init__()
        self._page = page
        self.setAccessibleName("Piles of like symbols")
        self.setIconSize(QSize(CHIP, CHIP))
        self.setDragDropMode(QAbstractItemView.DragDropMode.InternalMove)

    def dropEvent(self, event: QDropEvent) -> None:
        """Join the pile that was carried to the one it falls on; the list itself is made anew after that."""
        target = self.itemAt(event.position().toPoint())
        carried = self.currentItem()
        event.setDropAction(Qt.DropAction.IgnoreAction)
        event.accept()
        if target is not None and carried is not None and target is not carried:
            self._page.merge(carried.data(NUMBER), target.data(NUMBER))


class PilesPage(QWidget):
    """At the left all piles, at the right the chosen one with its thread and its cut-outs."""

    def __init__(self, book: ReviewBook) -> None:
        super().__init__()
        self._book = book
        self._chosen = 0
        self.list = PileList(self)
        self.list.currentItemChanged.connect(self._turned)
        self.told = QLabel()
        self.told.setWordWrap(True)
        self.name, self.number = QLineEdit(), QLineEdit()
        for field in (self.name, self.number):
            field.setMaxLength(MOST_LABEL)
            field.editingFinished.connect(self._typed)
        self.colour_button = _button("&Colour …", self._ask_colour)
        self.into = QComboBox()
        self.merge_button = _button("&Join them", self._merge)
        self.same_button = _button("&All these are the same", self.all_same)
        self.same_button.setToolTip(f"{SAME_KEY}: none of this pile's squares is in doubt any more")
        QShortcut(QKeySequence(SAME_KEY), self).activated.connect(self.all_same)
        self.undo_button = _button("&Undo", book.undo)
        self.cut_outs = _contact_sheet()
        self._lay_out()
        book.changed.connect(self.refresh)
        self.refresh()

    def _lay_out(self) -> None:
        left, right = QWidget(), QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 4, 0)
        column.addWidget(self.told)
        column.addWidget(self.list, 1)
        column.addWidget(self.undo_button, 0, Qt.AlignmentFlag.AlignLeft)
        form = QFormLayout()
        for text, field in (("&Thread", self.name), ("&Number", self.number), ("Colour", self.colour_button)):
            form.addRow(text, field)
        joining = QHBoxLayout()
        joining.addWidget(self.into, 1)
        joining.addWidget(self.merge_button)
        form.addRow("The same as", joining)
        self.into.setAccessibleName("The pile it is the same as")
        beside = QVBoxLayout(right)
        beside.setContentsMargins(4, 0, 0, 0)
        beside.addLayout(form)
        beside.addWidget(self.cut_outs, 1)
        beside.addWidget(self.same_button, 0, Qt.AlignmentFlag.AlignRight)
        split = QSplitter(Qt.Orientation.Horizontal)
        split.setChildrenCollapsible(False)
        split.addWidget(left)
        split.addWidget(right)
        split.setSizes([420, 540])
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
        """Say that every doubtful square of the chosen pile is right."""
        chart = self._book.chart
        if chart is not None and self._chosen and len(doubts_of(chart, self._chosen)):
            self._book.take(all_the_same(chart, self._chosen))

    def set_colour(self, colour: QColor) -> None:
        """Give the thread of the chosen pile a colour."""
        entry = self._entry
        if entry is not None and colour.isValid():
            self._change(replace(entry, colour=Colour(colour.red(), colour.green(), colour.blue())))

    def _merge(self) -> None:
        into = self.into.currentData()
        if self._chosen and into:
            self.merge(self._chosen, into)

    def _typed(self) -> None:
        entry = self._entry
        if entry is not None:
            name = self.name.text().strip() or entry.name
            self._change(replace(entry, name=name, number=self.number.text().strip()))

    def _ask_colour(self) -> None:
        entry = self._entry
        if entry is not None:
            asked = QColorDialog(QColor(*_parts(entry.colour)), self)
            asked.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
            asked.colorSelected.connect(self.set_colour)
            asked.open()

    def _change(self, entry: KeyEntry) -> None:
        chart = self._book.chart
        if chart is not None and entry != self._entry:
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
        self.list.clear()
        if chart is not None:
            counts = np.bincount(chart.squares.ravel(), minlength=len(chart.key) + 1)
            for number in piles:
                words = _words(chart, number, int(counts[number]))
                item = QListWidgetItem(QIcon(self._book.chips.of(chart.key[number - 1], CHIP * 2)), words)
                item.setData(NUMBER, number)
                self.list.addItem(item)
                if number == chosen:
                    self.list.setCurrentItem(item)
        self._chosen = chosen
        self.told.setText(_heading(chart, piles))
        self.undo_button.setEnabled(self._book.can_undo)
        self._show_chosen()

    def _show_chosen(self) -> None:
        chart, entry = self._book.chart, self._entry
        for part in (self.name, self.number, self.colour_button, self.into):
            part.setEnabled(entry is not None)
        self.cut_outs.clear()
        self.into.clear()
        if chart is None or entry is None:
            self.merge_button.setEnabled(False)
            self.same_button.setEnabled(False)
            return
        self.name.setText(entry.name)
        self.number.setText(entry.number)
        self.colour_button.setIcon(_patch(entry.colour))
        for other in piles_of(chart):
            if other != self._chosen:
                self.into.addItem(chart.key[other - 1].name, other)
        self.merge_button.setEnabled(self.into.count() > 0)
        self.same_button.setEnabled(len(doubts_of(chart, self._chosen)) > 0)
        self._show_cut_outs(chart)

    def _show_cut_outs(self, chart: Chart) -> None:
        """The most doubtful squares first, then the others in reading order."""
        doubts = doubts_of(chart, self._chosen)
        doubts = doubts[np.argsort(-chart.doubts.chances[doubts], kind="stable")]
        first = np.stack([chart.doubts.rows[doubts], chart.doubts.columns[doubts]], axis=1).tolist()
        rest = np.argwhere(chart.squares == self._chosen)[: MOST_CUT_OUTS * 2].tolist()
        seen = {tuple(place) for place in first}
        places = first + [place for place in rest if tuple(place) not in seen]
        for row, column in places[:MOST_CUT_OUTS]:
            picture = QPixmap.fromImage(_sized(self._book.cut_out(column, row, 0)))
            words = f"Column {column + 1}, row {row + 1}" + (", in doubt" if (row, column) in seen else "")
            item = QListWidgetItem(QIcon(picture), "")
            item.setToolTip(words)
            item.setData(Qt.ItemDataRole.AccessibleTextRole, words)
            self.cut_outs.addItem(item)


def _words(chart: Chart, number: int, count: int) -> str:
    entry, doubts = chart.key[number - 1], len(doubts_of(chart, number))
    name = f"{entry.number} {entry.name}".strip()
    doubtful = f", {doubts:,} in doubt" if doubts else ""
    return f"{name}\n{count:,} square{'' if count == 1 else 's'}{doubtful}"


def _heading(chart: Chart | None, piles: list[int]) -> str:
    if chart is None or not piles:
        return NONE_YET
    unnamed = sum(1 for number in piles if chart.key[number - 1].name.startswith("Symbol "))
    return f"{len(piles)} piles, {unnamed} not named yet. Drop one on another where both are the same symbol."


def _parts(colour: Colour) -> tuple[int, int, int]:
    return colour.red, colour.green, colour.blue


def _sized(cut_out: QImage) -> QImage:
    """All equally large, whatever the sheet they come from."""
    way = Qt.AspectRatioMode.IgnoreAspectRatio, Qt.TransformationMode.SmoothTransformation
    return cut_out if cut_out.isNull() else cut_out.scaled(CUT_OUT * 2, CUT_OUT * 2, *way)


def _patch(colour: Colour) -> QIcon:
    patch = QPixmap(24, 24)
    patch.fill(QColor(*_parts(colour)))
    return QIcon(patch)


def _button(text: str, pressed: object) -> QPushButton:
    button = QPushButton(text)
    button.setAutoDefault(False)
    button.clicked.connect(pressed)
    return button


def _contact_sheet() -> QListWidget:
    sheet = QListWidget()
    sheet.setAccessibleName("Squares of this pile, cut from the paper")
    sheet.setViewMode(QListWidget.ViewMode.IconMode)
    sheet.setMovement(QListWidget.Movement.Static)
    sheet.setResizeMode(QListWidget.ResizeMode.Adjust)
    sheet.setUniformItemSizes(True)
    sheet.setIconSize(QSize(CUT_OUT, CUT_OUT))
    sheet.setSpacing(3)
    sheet.setMinimumHeight(CUT_OUT * 2)
    return sheet
