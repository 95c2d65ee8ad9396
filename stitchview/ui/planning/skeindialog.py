"""Asks what one skein of a thread is: its metres, its strands, and what a full one weighs."""

from collections.abc import Callable

from PySide6.QtWidgets import QDialog, QDialogButtonBox, QFormLayout, QSpinBox, QWidget

from stitchview.done.skeinnotes import MOST_GRAMS, MOST_SKEIN_M, MOST_SKEIN_STRANDS
from stitchview.plan.skeins import Skein
from stitchview.ui.planning.planpage import add_field, number_box, words_label

HOW = (
    "Its band says so. A full skein’s weight lets you weigh later what is left; leave it at 0 if you do not."
)


class SkeinDialog(QDialog):
    """Calls `took` with the skein when she is content."""

    def __init__(self, name: str, skein: Skein, took: Callable[[Skein], object], parent: QWidget) -> None:
        super().__init__(parent)
        self._took = took
        self.setWindowTitle(f"One skein of {name}")
        self.length = number_box((0.1, MOST_SKEIN_M), "Metres in one skein", 1, " m")
        self.strands = QSpinBox()
        self.strands.setRange(1, MOST_SKEIN_STRANDS)
        self.strands.setMinimumHeight(self.strands.sizeHint().height())
        self.grams = number_box((0, MOST_GRAMS), "What a full skein weighs", 2, " g")
        self.length.setValue(skein.length_m)
        self.strands.setValue(skein.strands)
        self.grams.setValue(skein.grams)
        kinds = QDialogButtonBox.StandardButton
        self.buttons = QDialogButtonBox(kinds.Ok | kinds.Cancel)
        form = QFormLayout(self)
        form.setVerticalSpacing(8)
        add_field(form, "&Length", self.length)
        add_field(form, "&Strands", self.strands)
        add_field(form, "&Weight", self.grams)
        form.addRow(words_label(HOW, quiet=True))
        form.addRow(self.buttons)
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)

    @property
    def skein(self) -> Skein:
        """The skein as it stands in the dialog."""
        return Skein(self.length.value(), self.strands.value(), self.grams.value())

    def accept(self) -> None:
        """Take it over."""
        super().accept()
        self._took(self.skein)
