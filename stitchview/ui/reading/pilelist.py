"""The list of piles: largest first, with their symbols; one that is dropped on another is joined to it."""

from collections.abc import Callable

import numpy as np
from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QDropEvent, QIcon
from PySide6.QtWidgets import QAbstractItemView, QListWidget, QListWidgetItem

from stitchview.chart.model import Chart
from stitchview.sheets.correcting import doubts_of, piles_of
from stitchview.ui.chips import Chips

CHIP = 32
NUMBER = Qt.ItemDataRole.UserRole


class PileList(QListWidget):
    """`join` is called with two key numbers when the first is dropped on the second."""

    def __init__(self, join: Callable[[int, int], None]) -> None:
        super().__init__()
        self._join = join
        self.setAccessibleName("Piles of like symbols")
        self.setIconSize(QSize(CHIP, CHIP))
        self.setSpacing(2)
        self.setDragDropMode(QAbstractItemView.DragDropMode.InternalMove)

    def dropEvent(self, event: QDropEvent) -> None:
        """Join the pile that was carried to the one it falls on; the list itself is made anew after that."""
        target = self.itemAt(event.position().toPoint())
        carried = self.currentItem()
        event.setDropAction(Qt.DropAction.IgnoreAction)
        event.accept()
        if target is not None and carried is not None and target is not carried:
            self._join(carried.data(NUMBER), target.data(NUMBER))

    def show_piles(self, chart: Chart | None, chips: Chips, chosen: int) -> None:
        """List the piles of a chart, one of them chosen."""
        self.clear()
        if chart is None:
            return
        counts = np.bincount(chart.squares.ravel(), minlength=len(chart.key) + 1)
        for number in piles_of(chart):
            words = _words(chart, number, int(counts[number]))
            item = QListWidgetItem(QIcon(chips.of(chart.key[number - 1], CHIP * 2)), words)
            item.setData(NUMBER, number)
            self.addItem(item)
            if number == chosen:
                self.setCurrentItem(item)


def _words(chart: Chart, number: int, count: int) -> str:
    entry, doubts = chart.key[number - 1], len(doubts_of(chart, number))
    name = f"{entry.number} {entry.name}".strip()
    doubtful = f", {doubts:,} in doubt" if doubts else ""
    return f"{name}\n{count:,} square{'' if count == 1 else 's'}{doubtful}"
