"""The pencil's own small window: what it draws, with which thread, and the way back."""

from enum import StrEnum
from typing import Protocol

from PySide6.QtCore import QSize
from PySide6.QtGui import QIcon, QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QButtonGroup,
    QDialog,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from stitchview.canvas.looks import Look
from stitchview.chart.model import Chart
from stitchview.follow.place import thread_words
from stitchview.ui.chips import Chips
from stitchview.ui.chooser import Chooser

CHIP = 28
TOUCH = "QPushButton, QComboBox { min-height: 42px; }"


class Draws(StrEnum):
    """What the pencil draws."""

    SQUARE = "square"
    HALF = "half"
    QUARTER = "quarter"
    THREE_QUARTER = "three-quarter"
    LINE = "line"
    STRAIGHT = "straight"
    KNOT = "knot"
    NOTHING = "nothing"


NEXT = "At the pointer each Return goes on to the next corner."
WORDS = {
    Draws.SQUARE: ("&Square", "Press on a square, or drag over several: they become this thread."),
    Draws.HALF: ("&Half", f"Press near the corner a half stitch runs to or from. {NEXT}"),
    Draws.QUARTER: ("&Quarter", f"Press in the corner of a square a quarter stitch lies in. {NEXT}"),
    Draws.THREE_QUARTER: (
        "&Three-quarter",
        f"Press in the corner of a square where most of the three-quarter stitch lies. {NEXT}",
    ),
    Draws.LINE: ("&Line", "Press where a back stitch begins, then where it ends."),
    Draws.STRAIGHT: ("Str&aight", "Press where a straight stitch begins, then where it ends."),
    Draws.KNOT: ("&Knot", "Press where a knot or bead sits."),
    Draws.NOTHING: (
        "&Rub out",
        "Press on a line, knot or part stitch to take it out; elsewhere the square is emptied.",
    ),
}


class PencilDoor(Protocol):
    """Who draws."""

    def draw_here(self) -> None:
        """Draw at the keyboard pointer."""

    def correct_entry(self) -> None:
        """Correct the key's line of the thread it draws with."""

    def undo(self) -> None:
        """Take the last correction back."""

    def redo(self) -> None:
        """Make the correction taken back last again."""

    def put_down(self) -> None:
        """Put the pencil down."""


class PencilPanel(QDialog):
    """Stands over the window while the pencil is in hand."""

    def __init__(self, door: PencilDoor, parent: QWidget) -> None:
        super().__init__(parent)
        self._door = door
        self.setWindowTitle("Pencil")
        self.setStyleSheet(TOUCH)
        self._kinds = QButtonGroup(self)
        self.buttons: dict[Draws, QPushButton] = {}
        kinds = QGridLayout()
        for at, (draws, (text, tip)) in enumerate(WORDS.items()):
            button = self.buttons[draws] = _button(text, tip)
            button.setCheckable(True)
            self._kinds.addButton(button)
            kinds.addWidget(button, at // 2, at % 2)
        self.buttons[Draws.SQUARE].setChecked(True)
        self._kinds.buttonClicked.connect(self._turned)
        self.takes = Chooser()
        self.takes.setAccessibleName("Thread the pencil draws with")
        self.takes.setIconSize(QSize(CHIP, CHIP))
        self.takes.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.how = QLabel()
        self.how.setWordWrap(True)
        self.said = QLabel()
        self.said.setWordWrap(True)
        self.here_button = _button("Draw at the &pointer", "Return: at the keyboard pointer on the chart")
        self.here_button.clicked.connect(door.draw_here)
        self.entry_button = _button("&Correct this thread …", "Its name, number and colour in the key")
        self.entry_button.clicked.connect(door.correct_entry)
        self.undo_button, self.redo_button = _button("&Undo", "Ctrl+Z"), _button("R&edo", "Ctrl+Shift+Z")
        self.undo_button.clicked.connect(door.undo)
        self.redo_button.clicked.connect(door.redo)
        for key, button in (("Ctrl+Z", self.undo_button), ("Ctrl+Shift+Z", self.redo_button)):
            QShortcut(QKeySequence(key), self).activated.connect(button.click)
        back = QHBoxLayout()
        for button in (self.undo_button, self.redo_button):
            back.addWidget(button)
        outer = QVBoxLayout(self)
        outer.addLayout(kinds)
        for part in (self.takes, self.entry_button, self.how, self.here_button):
            outer.addWidget(part)
        outer.addLayout(back)
        outer.addWidget(self.said)
        self.setFixedWidth(max(280, 34 * self.fontMetrics().averageCharWidth()))
        self._turned()

    @property
    def draws(self) -> Draws:
        """What the pencil draws now."""
        return next(draws for draws, button in self.buttons.items() if button.isChecked())

    @property
    def number(self) -> int:
        """The key number it draws with, 0 for no stitch."""
        return int(self.takes.currentData() or 0)

    def show_chart(self, chart: Chart, can_undo: bool, can_redo: bool) -> None:
        """List the threads of a chart, the chosen one chosen again if it is there."""
        before = self.takes.currentText()
        chips = Chips(Look(), chart.attachments)
        self.takes.clear()
        for number, entry in enumerate(chart.key, 1):
            self.takes.addItem(QIcon(chips.of(entry, CHIP * 2)), thread_words(entry), number)
        self.takes.addItem("No stitch", 0)
        self.takes.setCurrentIndex(max(0, self.takes.findText(before)))
        self.undo_button.setEnabled(can_undo)
        self.redo_button.setEnabled(can_redo)

    def say(self, words: str) -> None:
        """Say what was done, or what is to be done next."""
        self.said.setText(words)

    def reject(self) -> None:
        """Put the pencil down; what it drew stays."""
        super().reject()
        self._door.put_down()

    def _turned(self) -> None:
        self.how.setText(WORDS[self.draws][1])
        self.takes.setEnabled(self.draws is not Draws.NOTHING)


def _button(text: str, tip: str) -> QPushButton:
    button = QPushButton(text)
    button.setAutoDefault(False)
    button.setToolTip(tip)
    return button
