"""Asks how she works with thread: how long it is cut, the tails, how far it is carried, and which way."""

from collections.abc import Callable

from PySide6.QtWidgets import (
    QCheckBox,
    QDialog,
    QDialogButtonBox,
    QDoubleSpinBox,
    QFormLayout,
    QLabel,
    QWidget,
)

from stitchview.follow.habits import CARRY, LENGTH, TAIL, Habits


class HabitsDialog(QDialog):
    """Calls `took` with the habits when she is content."""

    def __init__(self, habits: Habits, took: Callable[[Habits], None], parent: QWidget) -> None:
        super().__init__(parent)
        self._took = took
        self.setWindowTitle("The needleful")
        self.length = _millimetres(LENGTH, habits.length_mm)
        self.start_tail = _millimetres(TAIL, habits.start_tail_mm)
        self.end_tail = _millimetres(TAIL, habits.end_tail_mm)
        self.carry = _millimetres(CARRY, habits.carry_mm)
        self.under = QCheckBox("Carry behind &stitched squares only, never across bare cloth")
        self.under.setChecked(habits.under_stitches)
        self.at_once = QCheckBox("Complete each &cross before the next; else rows there and back")
        self.at_once.setChecked(habits.at_once)
        kinds = QDialogButtonBox.StandardButton
        self.buttons = QDialogButtonBox(kinds.Ok | kinds.Cancel)
        self._lay_out()
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)

    @property
    def habits(self) -> Habits:
        """The habits as they stand in the dialog."""
        return Habits(
            self.length.value(),
            self.start_tail.value(),
            self.end_tail.value(),
            self.carry.value(),
            self.under.isChecked(),
            self.at_once.isChecked(),
        )

    def accept(self) -> None:
        """Take the habits over."""
        super().accept()
        self._took(self.habits)

    def _lay_out(self) -> None:
        form = QFormLayout(self)
        form.setVerticalSpacing(10)
        for words, part in (
            ("&Working length", self.length),
            ("Tail at the s&tart", self.start_tail),
            ("Tail at the &end", self.end_tail),
            ("&Longest carry", self.carry),
        ):
            form.addRow(words, part)
        form.addRow(self.under)
        form.addRow(self.at_once)
        form.addRow(QLabel("Strands come from the key, the size of a square from the cloth."))
        form.addRow(self.buttons)


def _millimetres(bounds: tuple[float, float], value: float) -> QDoubleSpinBox:
    box = QDoubleSpinBox()
    box.setDecimals(0)
    box.setRange(*bounds)
    box.setSuffix(" mm")
    box.setValue(value)
    box.setMinimumHeight(box.sizeHint().height())
    return box
