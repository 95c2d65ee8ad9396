"""Asks with how many strands she works, and how much more of each kind of thread she wants to have."""

from collections.abc import Callable, Sequence

from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QDoubleSpinBox,
    QFormLayout,
    QLabel,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from stitchview.plan.manner import MOST_STRANDS
from stitchview.plan.reserve import MOST_RESERVE, Reserve
from stitchview.ui.planning.planpage import add_field
from stitchview.ui.settingsdialog import Scrolling

BY_KEY = "as the key says"
WHY = (
    "The reserve is bought on top of what the stitches take. It is more where the next lot differs or the"
    " thread frays (common practice)."
)


class ReserveDialog(QDialog):
    """Calls `took` with the strands and the reserve by kind when she is content."""

    def __init__(
        self, reserve: Reserve, kinds: Sequence[str], took: Callable[[Reserve], None], parent: QWidget
    ) -> None:
        super().__init__(parent)
        self._took, self._reserve = took, reserve
        self.setWindowTitle("Strands and reserve")
        self.strands = _strands(reserve.strands)
        self.back_strands = _strands(reserve.back_strands)
        self.shares = {kind: _percent(reserve.share_of(kind)) for kind in kinds}
        kinds_of = QDialogButtonBox.StandardButton
        self.buttons = QDialogButtonBox(kinds_of.Ok | kinds_of.Cancel)
        self._lay_out()
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)

    @property
    def reserve(self) -> Reserve:
        """What stands in the dialog; a share left as it was is still that of common practice."""
        altered = {
            kind: box.value() / 100
            for kind, box in self.shares.items()
            if round(box.value()) != round(self._reserve.share_of(kind) * 100)
        }
        return Reserve(
            self.strands.value() or None,
            self.back_strands.value() or None,
            tuple(sorted({**dict(self._reserve.shares), **altered}.items())),
        )

    def accept(self) -> None:
        """Take it over."""
        super().accept()
        self._took(self.reserve)

    def _lay_out(self) -> None:
        fields = QWidget()
        form = QFormLayout(fields)
        form.setVerticalSpacing(10)
        add_field(form, "Strands for &crosses", self.strands)
        add_field(form, "Strands for &lines", self.back_strands)
        for kind, box in self.shares.items():
            add_field(form, f"Reserve of {kind}", box)
        why = QLabel(WHY)
        why.setWordWrap(True)
        column = QVBoxLayout(self)
        column.addWidget(Scrolling(fields), 1)
        column.addWidget(why)
        column.addWidget(self.buttons)
        self.resize(380, 360)


def _strands(value: int | None) -> QSpinBox:
    box = QSpinBox()
    box.setRange(0, MOST_STRANDS)
    box.setSpecialValueText(BY_KEY)
    box.setValue(value or 0)
    box.setMinimumHeight(box.sizeHint().height())
    return box


def _percent(share: float) -> QDoubleSpinBox:
    box = QDoubleSpinBox()
    box.setDecimals(0)
    box.setRange(0, MOST_RESERVE * 100)
    box.setSuffix(" %")
    box.setValue(share * 100)
    box.setMinimumHeight(box.sizeHint().height())
    return box
