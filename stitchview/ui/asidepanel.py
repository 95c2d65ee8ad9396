"""The panel beside the chart that lists islands and stragglers of a thread, or a block's threads."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Protocol

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QComboBox, QFrame, QLabel, QListWidget, QListWidgetItem, QVBoxLayout

from stitchview.chart.model import KeyEntry
from stitchview.ui.chips import Chips
from stitchview.ui.pointer import Square

CHIP = 20


class Aside(StrEnum):
    """What the panel lists; the values are what is kept."""

    NEAREST = "islands-nearest"
    LARGEST = "islands-largest"
    STRAGGLERS = "stragglers"
    BLOCK = "block"


ASIDE_WORDS = {
    Aside.NEAREST: "Islands, nearest first",
    Aside.LARGEST: "Islands, largest first",
    Aside.STRAGGLERS: "Stragglers, nearest first",
    Aside.BLOCK: "Threads for this block",
}


@dataclass(frozen=True, slots=True)
class Line:
    """One line: its words, and the square it goes to or the thread it takes in hand."""

    text: str
    square: Square | None = None
    number: int = 0


@dataclass(frozen=True, slots=True)
class Listed:
    """All lines, and a sentence above them."""

    told: str
    lines: tuple[Line, ...] = ()


class AsideListener(Protocol):
    """Who acts on what is chosen in the panel."""

    def list_aside(self, aside: Aside) -> None:
        """List something else."""

    def aside_chosen(self, line: Line) -> None:
        """Go to the square of a line, or take its thread in hand."""


class AsidePanel(QFrame):
    """Shows lines to choose from; a click or Enter chooses."""

    def __init__(self) -> None:
        super().__init__()
        self._listener: AsideListener | None = None
        self._listed = Listed("")
        self.kind, self.told, self.list = QComboBox(), QLabel(), QListWidget()
        self.kind.addItems(list(ASIDE_WORDS.values()))
        self.kind.setAccessibleName("What is listed here")
        self.kind.setToolTip("What is listed here")
        self.kind.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.kind.setMinimumContentsLength(8)
        self.told.setWordWrap(True)
        self.list.setAccessibleName("Places and threads to choose from")
        self.list.setUniformItemSizes(True)
        self.list.setSpacing(2)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setIconSize(QSize(CHIP, CHIP))
        self.setAccessibleName("Islands and blocks")
        column = QVBoxLayout(self)
        column.setContentsMargins(6, 4, 6, 4)
        column.setSpacing(4)
        for part in (self.kind, self.told, self.list):
            column.addWidget(part)
        self.kind.activated.connect(self._list)
        self.list.itemActivated.connect(self._choose)
        self.list.itemClicked.connect(self._choose)
        self.hide()

    def sizeHint(self) -> QSize:
        """Ask for a few lines."""
        return QSize(200, 190)

    def set_listener(self, listener: AsideListener | None) -> None:
        """Work for another chart, or for none."""
        self._listener = listener
        if listener is None:
            self.hide()
            self.show_listed(Aside.NEAREST, Listed(""), (), Chips())

    def show_listed(self, aside: Aside, listed: Listed, key: Sequence[KeyEntry], chips: Chips) -> None:
        """Show other lines; the same ones stay as they are, with the keyboard where it was."""
        self.kind.setCurrentIndex(list(Aside).index(aside))
        if listed == self._listed:
            return
        self._listed = listed
        self.told.setText(listed.told)
        row = self.list.currentRow()
        self.list.clear()
        pixels = round(CHIP * self.devicePixelRatioF())
        for line in listed.lines:
            item = QListWidgetItem(line.text)
            item.setToolTip(line.text)
            if line.number:
                item.setIcon(QIcon(chips.of(key[line.number - 1], pixels)))
            self.list.addItem(item)
        self.list.setCurrentRow(min(max(row, 0), len(listed.lines) - 1))

    def _list(self, index: int) -> None:
        if self._listener is not None:
            self._listener.list_aside(list(Aside)[index])

    def _choose(self, item: QListWidgetItem) -> None:
        row = self.list.row(item)
        if self._listener is not None and 0 <= row < len(self._listed.lines):
            self._listener.aside_chosen(self._listed.lines[row])
