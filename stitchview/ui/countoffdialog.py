"""Where does the count depart: takes counts from the cloth, and tells between which lines it went wrong."""

from dataclasses import dataclass
from typing import Protocol

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from stitchview.follow.countoff import FARTHEST, Axis

LEAD = "Count on the cloth to a few of the chart’s lines of ten, and tell where each lies there."
NOT_TOLD = "not told"
FAR = FARTHEST - 1


@dataclass(frozen=True, slots=True)
class Told:
    """A count by her own numbers: the chart's line, where it lies on the cloth, along what she counted."""

    axis: Axis
    line: int
    cloth: int
    along: int | None


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing found: its words, and what it means."""

    text: str
    what: object


class CountTeller(Protocol):
    """Who keeps the counts, reckons and goes there."""

    def numbers(self, axis: Axis) -> tuple[int, int]:
        """The lowest and the highest number of the chart's lines."""

    def proposed(self, axis: Axis) -> tuple[int, int]:
        """The line to count next, and where it lies if nothing more went wrong."""

    def take(self, told: Told) -> str:
        """Take a count; a sentence, and nothing taken, if it cannot be so."""

    def drop(self, place: int) -> None:
        """Forget the count at a place of the list."""

    def counts(self) -> list[str]:
        """All counts in words."""

    def findings(self) -> list[Finding]:
        """What they tell."""

    def advice(self) -> str:
        """What to do about it."""

    def choose(self, what: object) -> None:
        """Go to what was found."""

    def lies_off(self, what: object) -> bool:
        """Whether it tells how far a whole area lies off."""

    def keep(self, what: object) -> None:
        """Ask whether that is kept so, or unpicked."""


class CountOffDialog(QDialog):
    """Stays beside the chart; Enter takes a count and proposes the next."""

    def __init__(self, teller: CountTeller, parent: QWidget) -> None:
        super().__init__(parent)
        self._teller = teller
        self.setWindowTitle("Where does the count depart?")
        self.axis = QComboBox()
        for axis in Axis:
            self.axis.addItem(axis.value.capitalize(), axis)
        self.axis.setAccessibleName("What was counted")
        self.line, self.cloth, self.along = QSpinBox(), QSpinBox(), QSpinBox()
        self.cloth.setRange(-FAR, FAR)
        self.along.setSpecialValueText(NOT_TOLD)
        self.add, self.off = QPushButton("&Add"), QPushButton("&Take out")
        self.listed, self.found = QListWidget(), QListWidget()
        self.listed.setAccessibleName("Counts")
        self.found.setAccessibleName("What the counts tell")
        self.found.setWordWrap(True)
        self.told = QLabel()
        self.told.setAccessibleName("Answer")
        self.go, self.away = QPushButton("&Go there"), QPushButton("Close")
        self.keep = QPushButton("&Keep or unpick …")
        self._lay_out()
        self.add.setDefault(True)
        self.axis.currentIndexChanged.connect(self._turn)
        self.add.clicked.connect(self._take)
        self.off.clicked.connect(self._drop)
        self.go.clicked.connect(self._go_there)
        self.found.itemActivated.connect(self._go_there)
        self.found.currentRowChanged.connect(self._enable)
        self.keep.clicked.connect(self._keep)
        self.away.clicked.connect(self.close)
        self._turn()

    def refresh(self) -> None:
        """Show what is counted and what that tells."""
        row = self.listed.currentRow()
        self.listed.clear()
        self.listed.addItems(self._teller.counts())
        self.listed.setCurrentRow(min(max(row, 0), self.listed.count() - 1))
        self.found.clear()
        for finding in self._teller.findings():
            item = QListWidgetItem(finding.text)
            item.setData(Qt.ItemDataRole.UserRole, finding.what)
            self.found.addItem(item)
        self.found.setCurrentRow(0)
        self._say(self._teller.advice())
        self._enable()

    def propose(self) -> None:
        """Fill in the count that comes next, ready to be typed over."""
        line, cloth = self._teller.proposed(self._axis)
        self.line.setValue(line)
        self.cloth.setValue(cloth)
        self.cloth.setFocus()
        self.cloth.selectAll()

    @property
    def _axis(self) -> Axis:
        return Axis(self.axis.currentData())

    @property
    def _what(self) -> object:
        item = self.found.currentItem()
        return None if item is None else item.data(Qt.ItemDataRole.UserRole)

    def _lay_out(self) -> None:
        lead = QLabel(LEAD)
        self.along_words = QLabel()
        self.along_words.setBuddy(self.along)
        form = QFormLayout()
        form.addRow("&Counted", self.axis)
        form.addRow("&Line of the chart", self.line)
        form.addRow("Lies on the cloth &at", self.cloth)
        form.addRow(self.along_words, self.along)
        outer = QVBoxLayout(self)
        for label in (lead, self.told):
            label.setWordWrap(True)
        outer.addWidget(lead)
        outer.addLayout(form)
        for part, buttons in (
            (self.listed, (self.add, self.off)),
            (self.found, (self.go, self.keep, self.away)),
        ):
            row = QHBoxLayout()
            for button in buttons:
                button.setAutoDefault(False)
                row.addWidget(button)
            if part is self.listed:
                outer.addLayout(row)
            outer.addWidget(part, 2 if part is self.listed else 3)
            if part is self.found:
                outer.addWidget(self.told)
                outer.addLayout(row)
        self.listed.setMinimumHeight(3 * self.fontMetrics().lineSpacing())
        self.found.setMinimumHeight(4 * self.fontMetrics().lineSpacing())
        self.resize(400, 500)

    def _turn(self) -> None:
        """Take numbers of columns or of rows."""
        axis = self._axis
        self.line.setRange(*self._teller.numbers(axis))
        low, high = self._teller.numbers(axis.other)
        self.along.setRange(low - 1, high)
        self.along.setValue(low - 1)
        self.along_words.setText(f"Counted along &{axis.other.one}")
        self.propose()

    def _take(self) -> None:
        along = None if self.along.value() == self.along.minimum() else self.along.value()
        trouble = self._teller.take(Told(self._axis, self.line.value(), self.cloth.value(), along))
        if trouble:
            self._say(trouble)
            self.cloth.setFocus()
            self.cloth.selectAll()
            return
        self.refresh()
        self.propose()

    def _drop(self) -> None:
        self._teller.drop(self.listed.currentRow())
        self.refresh()

    def _enable(self) -> None:
        self.off.setEnabled(self.listed.count() > 0)
        self.go.setEnabled(self._what is not None)
        self.keep.setEnabled(self._teller.lies_off(self._what))

    def _keep(self) -> None:
        self._teller.keep(self._what)

    def _go_there(self) -> None:
        if self._what is not None:
            self._teller.choose(self._what)

    def _say(self, words: str) -> None:
        self.told.setText(words)
        self.told.setVisible(bool(words))
