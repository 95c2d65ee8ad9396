"""Asks for the name of a pin and what is to be remembered there."""

from collections.abc import Callable

from PySide6.QtWidgets import QDialog, QDialogButtonBox, QFormLayout, QLineEdit, QPlainTextEdit, QWidget

from stitchview.done.notes import MOST_NAME_LETTERS


class PinDialog(QDialog):
    """Calls `took` with name and note when she is content."""

    def __init__(self, words: tuple[str, str], took: Callable[[str, str], None], parent: QWidget) -> None:
        super().__init__(parent)
        self._took = took
        self.setWindowTitle("Pin")
        self.name = QLineEdit(words[0])
        self.name.setMaxLength(MOST_NAME_LETTERS)
        self.note = QPlainTextEdit(words[1])
        self.note.setTabChangesFocus(True)
        self.note.setMaximumHeight(5 * self.fontMetrics().lineSpacing())
        kinds = QDialogButtonBox.StandardButton
        buttons = QDialogButtonBox(kinds.Ok | kinds.Cancel)
        form = QFormLayout(self)
        form.addRow("&Name", self.name)
        form.addRow("N&ote", self.note)
        form.addRow(buttons)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        self.name.selectAll()
        self.name.setFocus()

    def accept(self) -> None:
        """Take the words over."""
        super().accept()
        self._took(self.name.text().strip() or "Pin", self.note.toPlainText().strip())
