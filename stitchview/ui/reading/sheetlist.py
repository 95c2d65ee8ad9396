"""The list of sheets on the reading table."""

from collections.abc import Callable

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QDragEnterEvent, QDragMoveEvent, QDropEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView

from stitchview.ui.reading.sheetmodel import THUMB, SheetModel


class SheetList(QTableView):
    """Sheets in their order; one that is dragged goes where it falls. Files are left to the window."""

    def __init__(self, model: SheetModel, moved: Callable[[int, int], None]) -> None:
        super().__init__()
        self._moved = moved
        self.setModel(model)
        self.setDragEnabled(True)
        self.setAcceptDrops(True)
        self.setDropIndicatorShown(True)
        self.setDragDropOverwriteMode(False)
        self.setDragDropMode(QAbstractItemView.DragDropMode.DragDrop)
        self.setDefaultDropAction(Qt.DropAction.MoveAction)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take only what is dragged from the list itself."""
        if event.source() is self:
            event.acceptProposedAction()
        else:
            event.ignore()

    def dragMoveEvent(self, event: QDragMoveEvent) -> None:
        """Likewise while it is dragged on."""
        if event.source() is self:
            event.acceptProposedAction()
        else:
            event.ignore()

    def dropEvent(self, event: QDropEvent) -> None:
        """Move the chosen sheet to the row it falls on, beyond the last to the end."""
        if event.mimeData().hasUrls():
            event.ignore()
            return
        at = self.rowAt(event.position().toPoint().y())
        # Nothing is to be taken away at the place it came from: it is moved here.
        event.setDropAction(Qt.DropAction.IgnoreAction)
        event.accept()
        self._moved(self.currentIndex().row(), at if at >= 0 else self.model().rowCount() - 1)


def sheet_list(model: SheetModel, moved: Callable[[int, int], None]) -> SheetList:
    """A table over the model from which one row is chosen; `moved` is told from which row to which."""
    table = SheetList(model, moved)
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
    # The style's own height cuts what reaches above and below the line of letters.
    header.setMinimumHeight(header.fontMetrics().height() + 12)
    header.setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
    header.setSectionResizeMode(1, QHeaderView.ResizeMode.ResizeToContents)
    table.setMinimumSize(320, 160)
    return table
