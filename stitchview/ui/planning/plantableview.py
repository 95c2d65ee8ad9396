"""A table of threads that is sorted by its headings and chosen from row by row."""

from collections.abc import Callable

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QSortFilterProxyModel, Qt
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView

from stitchview.ui.planning.rowsmodel import SORT

ROW_HEIGHT = 28
LEAST_NAME_LETTERS = 16


class PlanTableView(QTableView):
    """`chosen` is called with the row of the model that the keyboard or mouse has come to."""

    def __init__(self, model: QAbstractTableModel, name: str, chosen: Callable[[int], None]) -> None:
        super().__init__()
        self._chosen = chosen
        self._sorted = QSortFilterProxyModel(self)
        self._sorted.setSortRole(SORT)
        self._sorted.setSourceModel(model)
        self.setModel(self._sorted)
        self.setAccessibleName(name)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setTabKeyNavigation(False)
        self.setShowGrid(False)
        self.setAlternatingRowColors(True)
        self.setWordWrap(False)
        # What tells two names apart stands at their end.
        self.setTextElideMode(Qt.TextElideMode.ElideLeft)
        self.setSortingEnabled(True)
        self.sortByColumn(0, Qt.SortOrder.AscendingOrder)
        self.verticalHeader().hide()
        self.verticalHeader().setDefaultSectionSize(ROW_HEIGHT)
        header = self.horizontalHeader()
        header.setHighlightSections(False)
        header.setMinimumHeight(ROW_HEIGHT)
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Fixed)
        self.selectionModel().currentRowChanged.connect(self._moved)

    def updateGeometries(self) -> None:
        """Give names what room is left, and never less than makes them out."""
        super().updateGeometries()
        header = self.horizontalHeader()
        others = sum(header.sectionSize(column) for column in range(1, header.count()))
        least = LEAST_NAME_LETTERS * self.fontMetrics().averageCharWidth()
        wide = max(least, self.viewport().width() - others)
        if header.count() and wide != header.sectionSize(0):
            header.resizeSection(0, wide)

    @property
    def row(self) -> int:
        """The row of the model that is chosen, -1 for none."""
        return self._sorted.mapToSource(self.currentIndex()).row() if self.currentIndex().isValid() else -1

    def source_row(self, row: int) -> int:
        """The row of the model that stands in a row of the table."""
        return self._sorted.mapToSource(self._sorted.index(row, 0)).row()

    def choose(self, row: int) -> None:
        """Choose a row of the model."""
        source = self._sorted.sourceModel()
        self.setCurrentIndex(self._sorted.mapFromSource(source.index(row, 0)))

    def choose_some(self) -> None:
        """Choose the first row if none is chosen."""
        if not self.currentIndex().isValid() and self._sorted.rowCount():
            self.setCurrentIndex(self._sorted.index(0, 0))

    def _moved(self, now: QModelIndex, before: QModelIndex) -> None:
        self._chosen(self._sorted.mapToSource(now).row())
