"""The list of sheets on the reading table."""

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView

from stitchview.ui.reading.sheetmodel import THUMB, SheetModel


def sheet_list(model: SheetModel) -> QTableView:
    """A table over the model from which one row is chosen."""
    table = QTableView()
    table.setModel(model)
    table.setAccessibleName("Sheets")
    table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
    table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
    table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
    table.setTabKeyNavigation(False)
    table.setShowGrid(False)
    table.setAlternatingRowColors(True)
    table.setWordWrap(True)
    table.setIconSize(QSize(THUMB, THUMB))
    table.verticalHeader().hide()
    table.verticalHeader().setDefaultSectionSize(THUMB + 8)
    header = table.horizontalHeader()
    header.setHighlightSections(False)
    header.setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
    header.setSectionResizeMode(1, QHeaderView.ResizeMode.ResizeToContents)
    table.setMinimumSize(320, 160)
    return table
