"""Asks once which column of her list is which."""

from collections.abc import Callable, Sequence

from PySide6.QtWidgets import QComboBox, QDialog, QDialogButtonBox, QFormLayout, QWidget

from stitchview.plan.stashcolumns import USES, StashColumns, seen_columns
from stitchview.ui.planning.planpage import add_field, words_label

USE_WORDS = {
    "name": "Name of the thread",
    "number": "Number",
    "range": "Range or maker",
    "kind": "Kind (cotton, silk …)",
    "colour": "Colour (#RRGGBB)",
    "skeins": "How many skeins",
    "lot": "Dye lot",
}
NONE = "none of them"


class ColumnsDialog(QDialog):
    """Calls `took` with the mapping when she is content."""

    def __init__(
        self, headings: Sequence[str], took: Callable[[StashColumns], object], parent: QWidget
    ) -> None:
        super().__init__(parent)
        self._took = took
        self.setWindowTitle("Which column is which?")
        seen = seen_columns(headings)
        self.choosers: dict[str, QComboBox] = {}
        form = QFormLayout(self)
        form.setVerticalSpacing(8)
        form.addRow(words_label("Name or number is enough; what is not named is kept and not used."))
        for use in USES:
            chooser = QComboBox()
            chooser.addItems([NONE, *headings])
            chooser.setCurrentIndex(1 + list(headings).index(told) if (told := seen.told.get(use)) else 0)
            self.choosers[use] = chooser
            add_field(form, USE_WORDS[use], chooser)
        kinds = QDialogButtonBox.StandardButton
        self.buttons = QDialogButtonBox(kinds.Ok | kinds.Cancel)
        form.addRow(self.buttons)
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)

    @property
    def columns(self) -> StashColumns:
        """The mapping as it stands in the dialog."""
        told = {use: box.currentText() for use, box in self.choosers.items() if box.currentIndex() > 0}
        return StashColumns(**told)

    def accept(self) -> None:
        """Take the mapping over."""
        super().accept()
        self._took(self.columns)
