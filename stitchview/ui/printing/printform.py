"""The fields of the print dialog: which squares, how large, on which paper, and what is done."""

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QComboBox, QDoubleSpinBox, QFormLayout, QSpinBox, QWidget

from stitchview.chart.area import Area
from stitchview.follow.clothpitch import Pitch
from stitchview.follow.numbering import Numbering
from stitchview.plan.cardpages import PAPERS
from stitchview.plan.printwish import (
    EASY_SQUARE,
    LEAST_SQUARE,
    MOST_OVERLAP,
    MOST_SQUARE,
    DoneAs,
    PrintWish,
    square_pitch,
)

DONE_WORDS = {
    DoneAs.SAME: "printed as the rest",
    DoneAs.GREY: "printed grey",
    DoneAs.LEFT_OUT: "left out",
}


class PrintForm(QWidget):
    """Tells `altered` whenever another print would come out."""

    altered = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._pitch = square_pitch(EASY_SQUARE)
        self.part, self.paper, self.done = QComboBox(), QComboBox(), QComboBox()
        for name, paper in PAPERS.items():
            self.paper.addItem(f"{paper.name} ({paper.width:g} x {paper.height:g} mm)", name)
        for way, words in DONE_WORDS.items():
            self.done.addItem(words, way.value)
        self.side, self.overlap = QDoubleSpinBox(), QSpinBox()
        self.side.setRange(LEAST_SQUARE, MOST_SQUARE)
        self.side.setSingleStep(0.5)
        self.side.setDecimals(1)
        self.side.setSuffix(" mm")
        self.side.setValue(EASY_SQUARE)
        self.overlap.setRange(0, MOST_OVERLAP)
        self.overlap.setValue(PrintWish().overlap)
        self.true_size = QCheckBox()
        self.colour = QCheckBox("On the &colours of the threads, not black on white")
        self._lay_out()

    def offer(self, parts: Sequence[tuple[str, Area | None]], pitch: Pitch) -> None:
        """Offer these parts of the chart, and the size of a square on the cloth; what is chosen stays."""
        chosen = max(0, self.part.findText(self.part.currentText()))
        self.part.clear()
        for words, area in parts:
            self.part.addItem(words, area)
        self.part.setCurrentIndex(min(chosen, len(parts) - 1))
        self._pitch = pitch
        told = f"{pitch.across_mm:.2f} x {pitch.down_mm:.2f} mm"
        self.true_size.setText(f"As &large as on the cloth ({told})")

    def wish(self, numbering: Numbering) -> PrintWish:
        """What is asked for; raises `CommandError` for a cloth too fine to be printed true to size."""
        return PrintWish(
            PAPERS[self.paper.currentData()],
            self._pitch if self.true_size.isChecked() else square_pitch(self.side.value()),
            self.part.currentData(),
            DoneAs(self.done.currentData()),
            self.colour.isChecked(),
            self.overlap.value(),
            numbering,
        )

    def _lay_out(self) -> None:
        form = QFormLayout(self)
        form.setContentsMargins(0, 0, 0, 0)
        form.setVerticalSpacing(8)
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        form.addRow("&Print", self.part)
        form.addRow("P&aper", self.paper)
        form.addRow("&Square", self.side)
        form.addRow(self.true_size)
        form.addRow("What is &done", self.done)
        form.addRow(self.colour)
        form.addRow("Squares on &both of two sheets", self.overlap)
        for box in (self.part, self.paper, self.done):
            box.activated.connect(self._tell)
        for number in (self.side, self.overlap):
            number.valueChanged.connect(self._tell)
        for check in (self.true_size, self.colour):
            check.toggled.connect(self._tell)

    def _tell(self) -> None:
        self.side.setEnabled(not self.true_size.isChecked())
        self.altered.emit()
