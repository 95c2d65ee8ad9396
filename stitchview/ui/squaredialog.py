"""Go to a square by its column and row, as she counts them from her corner or the centre."""

from collections.abc import Callable

import numpy as np
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QFormLayout, QLabel, QSpinBox, QWidget

from stitchview.chart.model import Chart
from stitchview.follow.numbering import Numbering, Way, ruler_numbers
from stitchview.follow.place import place_of, sentence
from stitchview.ui.pointer import Square

FROM_CENTRE = "Counted from the centre: left and up are below 0."


class SquareDialog(QDialog):
    """Takes column and row and tells what lies there; `go` is called with the square, counted from 0."""

    def __init__(
        self,
        chart: Chart,
        square: Square,
        numbering: Numbering,
        go: Callable[[Square], None],
        parent: QWidget,
    ) -> None:
        super().__init__(parent)
        self._chart, self._numbering, self._go = chart, numbering, go
        self.setWindowTitle("Go to a square")
        self.column = Line(chart.columns, numbering.across, square[0])
        self.row = Line(chart.rows, numbering.down, square[1])
        self.told = QLabel()
        self.told.setWordWrap(True)
        self.told.setAccessibleName("What lies there")
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        there = buttons.addButton("&Go there", QDialogButtonBox.ButtonRole.AcceptRole)
        there.setDefault(True)
        form = QFormLayout(self)
        form.addRow("&Column", self.column)
        form.addRow("&Row", self.row)
        if Way.OUT in (numbering.across, numbering.down):
            form.addRow(QLabel(FROM_CENTRE))
        form.addRow(self.told)
        form.addRow(buttons)
        self.setMinimumWidth(52 * self.fontMetrics().averageCharWidth())
        self.told.setMinimumHeight(3 * self.fontMetrics().lineSpacing())
        for line in (self.column, self.row):
            line.valueChanged.connect(self._tell)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        self._tell()
        self.column.setFocus()
        self.column.selectAll()

    @property
    def square(self) -> Square:
        """The square asked for, counted from 0 at the top left."""
        return self.column.index, self.row.index

    def accept(self) -> None:
        """Go there."""
        super().accept()
        self._go(self.square)

    def _tell(self) -> None:
        place = place_of(self._chart, *self.square, self._numbering)
        self.told.setText(sentence(place) if place is not None else "")


class Line(QSpinBox):
    """A column or row by the number that the ruler shows for it."""

    def __init__(self, size: int, way: Way, index: int) -> None:
        super().__init__()
        self._numbers = ruler_numbers(size, way)
        self.setRange(int(self._numbers.min()), int(self._numbers.max()))
        self.setValue(int(self._numbers[index]))
        self.setAccelerated(True)

    @property
    def index(self) -> int:
        """The column or row counted from 0; a 0 that the ruler has not means the first after it."""
        away = np.abs(self._numbers - self.value())
        nearest = np.flatnonzero(away == away.min())
        return int(nearest[-1])
