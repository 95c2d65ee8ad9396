"""The list of pins, parked threads and threads still held back, to go to, rename and take off."""

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from stitchview.done.notes import Parked, Pin
from stitchview.ui.notework import NoteWork

Listed = Pin | Parked | int
"""A pin, a parked thread, or the number of a thread held back."""


class NotesDialog(QDialog):
    """Stays open while she goes from one to the other; `rename` asks for other words of a pin."""

    def __init__(self, work: NoteWork, rename: Callable[[Pin], None], parent: QWidget) -> None:
        super().__init__(parent)
        self._work, self._rename = work, rename
        self.setWindowTitle("Pins, parked threads, held back")
        self.list = QListWidget()
        self.list.setAccessibleName("Pins, parked threads and threads held back")
        self.go = QPushButton("&Go there")
        self.change = QPushButton("&Rename …")
        self.off = QPushButton("&Take off")
        row = QHBoxLayout()
        for button in (self.go, self.change, self.off):
            row.addWidget(button)
        outer = QVBoxLayout(self)
        outer.addWidget(self.list)
        outer.addLayout(row)
        self.resize(420, 320)
        self.go.setDefault(True)
        self.go.clicked.connect(self._go_there)
        self.change.clicked.connect(self._change)
        self.off.clicked.connect(self._take_off)
        self.list.currentRowChanged.connect(self._enable)
        self.refresh()

    def refresh(self) -> None:
        """List what is noted now."""
        row = max(0, self.list.currentRow())
        self.list.clear()
        for words, listed in self._work.listed():
            item = QListWidgetItem(words)
            item.setData(Qt.ItemDataRole.UserRole, listed)
            self.list.addItem(item)
        self.list.setCurrentRow(min(row, self.list.count() - 1))
        self._enable()

    @property
    def _listed(self) -> Listed | None:
        item = self.list.currentItem()
        listed: Listed | None = item.data(Qt.ItemDataRole.UserRole) if item is not None else None
        return listed

    def _enable(self) -> None:
        listed = self._listed
        self.go.setEnabled(isinstance(listed, Pin | Parked))
        self.change.setEnabled(isinstance(listed, Pin))
        self.off.setEnabled(listed is not None)

    def _go_there(self) -> None:
        if isinstance(self._listed, Pin | Parked):
            self._work.go_to(self._listed)

    def _change(self) -> None:
        if isinstance(self._listed, Pin):
            self._rename(self._listed)

    def _take_off(self) -> None:
        listed = self._listed
        if isinstance(listed, int):
            self._work.set_held(listed, False)
        elif listed is not None:
            self._work.take_off(listed)
