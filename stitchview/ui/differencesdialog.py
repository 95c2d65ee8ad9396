"""The window that lists where the cloth differs: to go there, to take back, and to record more."""

from typing import Protocol

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from stitchview.done.differences import DIFFERENCES, Difference
from stitchview.done.unpicked import Unpicked

NOTHING = "The cloth is as the chart is printed: no difference is recorded."
TOLD = "The chart is shown, counted and printed as it stands on the cloth; the chart file stays as it is."


class DifferencesTeller(Protocol):
    """Who knows the differences and acts on what is chosen."""

    def lines(self) -> list[tuple[str, Difference | Unpicked]]:
        """Each in words, and what was unpicked after them."""

    def visit(self, what: Difference | Unpicked) -> None:
        """Go there."""

    def take_back(self, what: Difference) -> None:
        """Have the cloth no longer differ there."""

    def record(self) -> None:
        """Ask for one more."""


class DifferencesDialog(QDialog):
    """Stays open beside the chart; Enter or a click goes there."""

    def __init__(self, teller: DifferencesTeller, parent: QWidget) -> None:
        super().__init__(parent)
        self._teller = teller
        self.setWindowTitle("Where the cloth differs")
        self.told, self.list = QLabel(), QListWidget()
        self.told.setWordWrap(True)
        self.list.setAccessibleName("Where the cloth differs from the chart")
        self.list.setWordWrap(True)
        self.go, self.back = QPushButton("&Go there"), QPushButton("&Take back")
        self.more = QPushButton("&Record one …")
        buttons = QHBoxLayout()
        for button in (self.go, self.back, self.more):
            button.setAutoDefault(False)
            buttons.addWidget(button)
        outer = QVBoxLayout(self)
        outer.addWidget(self.told)
        outer.addWidget(self.list)
        outer.addLayout(buttons)
        self.resize(460, 360)
        self.go.clicked.connect(self._visit)
        self.back.clicked.connect(self._take_back)
        self.more.clicked.connect(teller.record)
        self.list.itemActivated.connect(self._visit)
        self.list.currentRowChanged.connect(self._enable)

    def refresh(self) -> None:
        """List what differs now."""
        row = max(0, self.list.currentRow())
        self.list.clear()
        for words, what in self._teller.lines():
            item = QListWidgetItem(words)
            item.setToolTip(words)
            item.setData(Qt.ItemDataRole.UserRole, what)
            self.list.addItem(item)
        self.told.setText(TOLD if self.list.count() else NOTHING)
        self.list.setCurrentRow(min(row, self.list.count() - 1))
        self._enable()

    @property
    def _what(self) -> Difference | Unpicked | None:
        item = self.list.currentItem()
        what = None if item is None else item.data(Qt.ItemDataRole.UserRole)
        return what if isinstance(what, (*DIFFERENCES, Unpicked)) else None

    def _enable(self) -> None:
        self.go.setEnabled(self._what is not None)
        self.back.setEnabled(isinstance(self._what, DIFFERENCES))

    def _visit(self) -> None:
        what = self._what
        if what is not None:
            self._teller.visit(what)

    def _take_back(self) -> None:
        what = self._what
        if isinstance(what, DIFFERENCES):
            self._teller.take_back(what)
