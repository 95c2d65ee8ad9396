"""One entry of the key, corrected: its thread's name, number and colour."""

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QVBoxLayout, QWidget

from stitchview.chart.model import KeyEntry
from stitchview.ui.reading.threadform import ThreadForm


class EntryDialog(QDialog):
    """`use` is called with the entry as it is to be, when it is taken over."""

    def __init__(self, entry: KeyEntry, use: Callable[[KeyEntry], None], parent: QWidget) -> None:
        super().__init__(parent)
        self._entry, self._use = entry, use
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("Correct a thread of the key")
        self.form = ThreadForm()
        self.form.given.connect(self._given)
        self.form.show_entry(entry, ())
        kinds = QDialogButtonBox.StandardButton
        buttons = QDialogButtonBox(kinds.Ok | kinds.Cancel)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        outer = QVBoxLayout(self)
        outer.addWidget(self.form)
        outer.addWidget(buttons)
        self.setMinimumWidth(56 * self.fontMetrics().averageCharWidth())

    def accept(self) -> None:
        """Take the entry over."""
        self.form.take_typed()
        super().accept()
        self._use(self._entry)

    def _given(self, entry: KeyEntry) -> None:
        self._entry = entry
        self.form.show_entry(entry, ())
