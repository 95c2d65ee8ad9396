"""Is this stitch where it should be: from a landmark and a count on the cloth to the square of the chart."""

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from stitchview.chart.model import Chart
from stitchview.errors import StitchviewError
from stitchview.follow.landmark import Landing, landing, same_thread_near
from stitchview.follow.numbering import Numbering
from stitchview.follow.place import place_of, sentence
from stitchview.ui.keywords import name_of
from stitchview.ui.pointer import Square

REACH = 9
"""How many squares to every side are looked through for the thread she sees."""


@dataclass(frozen=True, eq=False, slots=True)
class Landmark:
    """A square known on the cloth, on the chart as she counts it."""

    chart: Chart
    square: Square
    numbering: Numbering

    def words(self, square: Square) -> str:
        """A square in words."""
        place = place_of(self.chart, *square, self.numbering)
        return sentence(place) if place is not None else ""


class LandmarkDialog(QDialog):
    """Takes the count, and the thread seen on the cloth; `go` is called with the square it leads to."""

    def __init__(self, landmark: Landmark, go: Callable[[Square], None], parent: QWidget) -> None:
        super().__init__(parent)
        self._landmark, self._go = landmark, go
        self._landing: Landing | None = None
        self.setWindowTitle("Is this stitch where it should be?")
        self.columns = Count("columns", ("right", "left"), landmark.chart.columns)
        self.rows = Count("rows", ("down", "up"), landmark.chart.rows)
        self.seen = QComboBox()
        self.seen.addItem("not told", 0)
        for number, entry in enumerate(landmark.chart.key, 1):
            self.seen.addItem(name_of(entry), number)
        self.answer = QLabel()
        self.answer.setWordWrap(True)
        self.answer.setAccessibleName("Answer")
        self.buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        self.there = self.buttons.addButton("&Go there", QDialogButtonBox.ButtonRole.AcceptRole)
        self.there.setDefault(True)
        self._lay_out()
        for part in (self.columns, self.rows):
            part.count.valueChanged.connect(self._work_out)
            part.way.currentIndexChanged.connect(self._work_out)
        self.seen.currentIndexChanged.connect(self._work_out)
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        self._work_out()
        self.columns.count.setFocus()
        self.columns.count.selectAll()

    def accept(self) -> None:
        """Go to the square, if there is one."""
        if self._landing is not None:
            super().accept()
            self._go((self._landing.column, self._landing.row))

    def _lay_out(self) -> None:
        start = QLabel(f"The landmark: {self._landmark.words(self._landmark.square)}")
        start.setWordWrap(True)
        form = QFormLayout()
        form.addRow("&Columns counted", self.columns)
        form.addRow("&Rows counted", self.rows)
        form.addRow("&Thread you see there", self.seen)
        outer = QVBoxLayout(self)
        outer.setSpacing(10)
        outer.addWidget(start)
        outer.addLayout(form)
        outer.addWidget(self.answer)
        outer.addStretch(1)
        outer.addWidget(self.buttons)
        usual = 56 * self.fontMetrics().averageCharWidth()
        self.setMinimumWidth(max(usual, self.minimumSizeHint().width()))

    def _work_out(self) -> None:
        landmark, told = self._landmark, ""
        try:
            self._landing = landing(landmark.chart, landmark.square, self.columns.told, self.rows.told)
        except StitchviewError as error:
            self._landing, told = None, str(error)
        if self._landing is not None:
            told = f"The count leads to: {landmark.words((self._landing.column, self._landing.row))}"
            told = f"{told}\n{self._judged(self._landing)}".rstrip()
        self.answer.setText(told)
        self.answer.setMinimumHeight(self.answer.heightForWidth(max(self.answer.width(), 360)))
        self.there.setEnabled(self._landing is not None)

    def _judged(self, landed: Landing) -> str:
        number = self.seen.currentData()
        if not number:
            return ""
        chart, name = self._landmark.chart, self.seen.currentText()
        near = same_thread_near(chart, landed.column, landed.row, number, REACH)
        if not near:
            return f"{name} is not printed there, nor within {REACH} squares of it."
        if near[0] == (0, 0):
            return f"{name} is printed there: the stitch is where it should be."
        return f"{name} is not printed there; the nearest is {off_words(*near[0])}."


class Count(QWidget):
    """A count of columns or rows one way or the other; `told` is below 0 the second way."""

    def __init__(self, noun: str, ways: tuple[str, str], most: int) -> None:
        super().__init__()
        self.count, self.way = QSpinBox(), QComboBox()
        self.count.setRange(0, most)
        self.count.setAccessibleName(f"How many {noun}")
        self.way.addItems(list(ways))
        self.way.setAccessibleName(f"Which way the {noun} were counted")
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.count, 1)
        row.addWidget(self.way)
        self.setFocusProxy(self.count)
        self.setMinimumHeight(max(self.count.sizeHint().height(), self.way.sizeHint().height()))

    @property
    def told(self) -> int:
        """The count with its sign."""
        return -self.count.value() if self.way.currentIndex() else self.count.value()


def off_words(columns: int, rows: int) -> str:
    """How far a stitch lies from where another is, in words: "1 column left and 2 rows down"."""
    told = []
    for count, noun, ways in ((columns, "column", ("left", "right")), (rows, "row", ("up", "down"))):
        if count:
            plural = "" if abs(count) == 1 else "s"
            told.append(f"{abs(count)} {noun}{plural} {ways[count > 0]}")
    return " and ".join(told)
