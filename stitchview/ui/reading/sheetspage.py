"""The page of the reading table with the sheets: take pictures in, see them found, correct them."""

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtWidgets import (
    QFileDialog,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSpinBox,
    QSplitter,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from stitchview.chart.model import MOST_COLUMNS, MOST_ROWS
from stitchview.sheets.onesheet import Told
from stitchview.ui.picturefiles import PICTURES
from stitchview.ui.reading.cornerview import CornerView
from stitchview.ui.reading.sheetjobs import News, SheetJobs
from stitchview.ui.reading.sheetlist import sheet_list
from stitchview.ui.reading.sheetmodel import SheetModel
from stitchview.ui.reading.sheettable import SheetTable, TableFrame
from stitchview.ui.reading.tablesheet import State, TableSheet

FILTER = f"Pictures and PDF ({' '.join(f'*{ending}' for ending in PICTURES)});;All files (*)"
HOW = (
    "Add photographs, scans or PDF pages of your chart, or drop them here; each sheet is found by itself. "
    "Drag sheets to where they belong beside each other."
)
LIST_TIP = "The same sheets row by row, with what is said of each"
CORRECT = (
    "Drag the four round handles onto the outer corners of the squares, or type how many columns and rows "
    "there are; then “Look again”."
)


class SheetsPage(QWidget):
    """The sheets in their order at the left, the one that is chosen at the right.

    `changed` is told when anything about the sheets is another way than before.
    """

    changed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.model = SheetModel()
        self.jobs = SheetJobs(self)
        self.jobs.news.connect(self._news)
        self.view = CornerView(self._corner_moved)
        self._corners_moved = False
        self.table = sheet_list(self.model, self._dragged)
        self.table.selectionModel().currentRowChanged.connect(self._chosen)
        self.laid = SheetTable(self.model, self.table.selectRow, self._laid)
        self.model.layoutChanged.connect(self._refresh)
        self._make_buttons()
        self.columns, self.rows = _counter(MOST_COLUMNS, "Columns"), _counter(MOST_ROWS, "Rows")
        self.told = QLabel()
        self.told.setWordWrap(True)
        self.told.setTextFormat(Qt.TextFormat.PlainText)
        self.told.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._lay_out()
        self._refresh()

    def _make_buttons(self) -> None:
        self.add_button = _button("&Add pictures …", self.ask)
        self.up_button = _button("&Earlier", self._up)
        self.down_button = _button("Late&r", self._down)
        self.remove_button = _button("Remo&ve", self._remove)
        self.stop_button = _button("&Stop", self.stop)
        self.list_button = _button("As a l&ist", self._turn_over)
        self.list_button.setCheckable(True)
        self.list_button.setToolTip(LIST_TIP)
        self.again_button = _button("&Look again", self._look_again)

    def _lay_out(self) -> None:
        acts = QGridLayout()
        for at, button in enumerate((self.add_button, self.stop_button, self.list_button)):
            acts.addWidget(button, 0, at)
        for at, button in enumerate((self.up_button, self.down_button, self.remove_button)):
            acts.addWidget(button, 1, at)
        left = QWidget()
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 4, 0)
        how = QLabel(HOW)
        how.setWordWrap(True)
        column.addWidget(how)
        self._sides = QStackedWidget()
        self._sides.addWidget(TableFrame(self.laid))
        self._sides.addWidget(self.table)
        column.addWidget(self._sides, 1)
        column.addLayout(acts)
        split = QSplitter(Qt.Orientation.Horizontal)
        split.addWidget(left)
        split.addWidget(self._correcting())
        split.setChildrenCollapsible(False)
        split.setSizes([560, 400])
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 4, 0, 0)
        outer.addWidget(split)

    def _correcting(self) -> QWidget:
        right = QWidget()
        column = QVBoxLayout(right)
        column.setContentsMargins(4, 0, 0, 0)
        column.addWidget(self.view, 1)
        column.addWidget(self.told)
        counts = QHBoxLayout()
        for text, field in (("&Columns", self.columns), ("R&ows", self.rows)):
            label = QLabel(text)
            label.setBuddy(field)
            counts.addWidget(label)
            counts.addWidget(field, 1)
        column.addLayout(counts)
        column.addWidget(self.again_button)
        return right

    # Taking pictures in

    def ask(self) -> None:
        """Ask which pictures to add."""
        asked = QFileDialog(self, "Pictures of your chart", "", FILTER)
        asked.setFileMode(QFileDialog.FileMode.ExistingFiles)
        asked.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        asked.filesSelected.connect(self._files_chosen)
        asked.open()

    def add(self, paths: Iterable[Path]) -> None:
        """Put pictures on the table and begin to look at them."""
        first = not self.model.sheets
        for path in paths:
            self.model.add(path, self.jobs.look_through(path))
        if first and self.model.sheets:
            self.table.selectRow(0)
        self._refresh()

    def stop(self) -> None:
        """Stop looking at every picture that is not done; what is found stays."""
        for sheet in self.model.sheets:
            if sheet.busy:
                self.jobs.stop(sheet.asking)
                self.model.put(replace(sheet, state=State.STOPPED))
        self._refresh()

    def close_down(self) -> None:
        """Stop everything for good."""
        self.stop()
        self.jobs.close()

    @property
    def chosen(self) -> TableSheet | None:
        """The sheet that is chosen."""
        row = self.table.currentIndex().row()
        return self.model.sheets[row] if 0 <= row < len(self.model.sheets) else None

    def _files_chosen(self, files: list[str]) -> None:
        self.add(Path(file) for file in files)

    def _news(self, news: News) -> None:
        self.model.take(news)
        if not self.model.waits_for(news.page.asking):
            self.jobs.stop(news.page.asking)
        chosen = self.chosen
        if chosen is not None and chosen.asking == news.page.asking:
            self._show_chosen()
        self._refresh()

    # Order and removal

    def _turn_over(self) -> None:
        """Show the sheets as a list, or on the table again."""
        self._sides.setCurrentIndex(1 if self.list_button.isChecked() else 0)

    def _laid(self) -> None:
        self._refresh()

    def _up(self) -> None:
        self._move(-1)

    def _down(self) -> None:
        self._move(1)

    def _dragged(self, row: int, to: int) -> None:
        self.table.selectRow(row)
        self._move(to - row)

    def _move(self, by: int) -> None:
        row = self.table.currentIndex().row()
        if self.model.move(row, by):
            self.table.selectRow(row + by)
            self._refresh()

    def _remove(self) -> None:
        chosen, row = self.chosen, self.table.currentIndex().row()
        if chosen is None:
            return
        self.model.remove(row)
        if not self.model.waits_for(chosen.asking):
            self.jobs.stop(chosen.asking)
        if self.model.sheets:
            self.table.selectRow(min(row, len(self.model.sheets) - 1))
        self._show_chosen()
        self._refresh()

    # Correcting

    def _look_again(self) -> None:
        sheet = self.chosen
        if sheet is None:
            return
        if sheet.preview is None and sheet.pages == 1:
            # It was stopped, or could not be opened: nobody knows yet how many pages there are.
            asking = self.jobs.look_through(sheet.path)
            told = sheet.told
        else:
            told = self._as_told(sheet)
            asking = self.jobs.look_again(sheet.path, sheet.page, sheet.name, told)
        self.model.put(replace(sheet, state=State.WAITING, trouble="", told=told, asking=asking))
        self._corners_moved = False
        self._show_chosen()
        self._refresh()

    def _as_told(self, sheet: TableSheet) -> Told:
        """What she says of the sheet: counts that differ from those found, and corners she has moved."""
        size = (0, 0) if sheet.found is None else (sheet.found.lattice.columns, sheet.found.lattice.rows)
        counts: list[int | None] = []
        for field, found, before in zip(
            (self.columns, self.rows), size, (sheet.told.columns, sheet.told.rows), strict=True
        ):
            value = field.value()
            counts.append(value if value and (value != found or before is not None) else None)
        corners = self.view.corners if self._corners_moved else sheet.told.corners
        return Told(counts[0], counts[1], corners)

    def _corner_moved(self) -> None:
        self._corners_moved = True

    def _chosen(self, _: QModelIndex, __: QModelIndex) -> None:
        self._corners_moved = False
        self._show_chosen()
        self._refresh()

    def _show_chosen(self) -> None:
        sheet = self.chosen
        lattice = None if sheet is None or sheet.found is None else sheet.found.lattice
        told = sheet.told if sheet is not None else Told()
        # While a corner is being corrected the picture is not pulled away from under her hand.
        if not self._corners_moved:
            corners = told.corners if lattice is None else None
            self.view.show_sheet(None if sheet is None else sheet.preview, lattice, corners)
        found = (0, 0) if lattice is None else (lattice.columns, lattice.rows)
        self.columns.setValue(told.columns or found[0])
        self.rows.setValue(told.rows or found[1])
        self.told.setText(_words(sheet))

    def _refresh(self) -> None:
        sheets, sheet = self.model.sheets, self.chosen
        row = self.table.currentIndex().row()
        self.laid.show_chosen(0 if sheet is None else sheet.key)
        self.up_button.setEnabled(sheet is not None and row > 0)
        self.down_button.setEnabled(sheet is not None and row < len(sheets) - 1)
        self.remove_button.setEnabled(sheet is not None)
        self.stop_button.setEnabled(any(each.busy for each in sheets))
        known = sheet is not None and not sheet.busy
        self.again_button.setEnabled(known)
        for field in (self.columns, self.rows):
            field.setEnabled(known)
        self.changed.emit()


def _words(sheet: TableSheet | None) -> str:
    if sheet is None:
        return ""
    if sheet.state is State.FOUND:
        return "\n".join((f"{sheet.size} squares.", *sheet.doubts))
    if sheet.state is State.FAILED and sheet.preview is not None:
        return f"{sheet.trouble}\n{CORRECT}"
    return sheet.words


def _button(text: str, pressed: object) -> QPushButton:
    button = QPushButton(text)
    button.setAutoDefault(False)
    button.clicked.connect(pressed)
    return button


def _counter(most: int, name: str) -> QSpinBox:
    field = QSpinBox()
    field.setRange(0, most)
    field.setSpecialValueText("not known")
    field.setAccessibleName(name)
    field.setKeyboardTracking(False)
    return field
