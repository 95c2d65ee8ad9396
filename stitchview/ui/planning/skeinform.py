"""What she tells of the skeins of one thread: got, begun, used up, left; and what she told before."""

from collections.abc import Callable, Sequence
from datetime import datetime

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QComboBox,
    QGridLayout,
    QGroupBox,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
)

from stitchview.done.skeinnotes import (
    FINISHED,
    GOT,
    LEFT,
    MOST_LOT_LETTERS,
    MOST_SKEINS,
    STARTED,
    SkeinNote,
)
from stitchview.plan.skeins import Skein, skeins_by_weight
from stitchview.plan.stashwords import skeins_words
from stitchview.ui.planning.planpage import number_box

EVENT_WORDS = {
    GOT: "I got",
    STARTED: "I began",
    FINISHED: "I used up",
    LEFT: "I have left in all",
}
NOTED_WORDS = {GOT: "got", STARTED: "began", FINISHED: "used up", LEFT: "left in all:"}
SKEINS, GRAMS = "skeins", "grams"
LIST_LINES = 4


class SkeinForm(QGroupBox):
    """`tell` is called with what, how many skeins and which lot; `take_off` with a note that was wrong."""

    def __init__(
        self, tell: Callable[[str, float, str], object], take_off: Callable[[SkeinNote], object]
    ) -> None:
        super().__init__("Note what became of skeins")
        self._tell, self._take_off = tell, take_off
        self._grams = 0.0
        self._notes: dict[str, SkeinNote] = {}
        self.what = QComboBox()
        for event, words in EVENT_WORDS.items():
            self.what.addItem(words, event)
        self.what.setAccessibleName("What became of skeins")
        self.amount = number_box((0, MOST_SKEINS), "How many", 2)
        self.amount.setValue(1)
        self.unit = QComboBox()
        self.unit.addItems([SKEINS, GRAMS])
        self.unit.setAccessibleName("In skeins or by weight")
        self.lot = QLineEdit()
        self.lot.setMaxLength(MOST_LOT_LETTERS)
        self.lot.setPlaceholderText("dye lot, if known")
        self.lot.setAccessibleName("Dye lot")
        self.note = QPushButton("&Note it")
        self.noted = QListWidget()
        self.noted.setAccessibleName("What you noted of this thread")
        self.off = QPushButton("&Take off")
        self._lay_out()
        self.what.currentIndexChanged.connect(self._choose)
        self.note.clicked.connect(self._note)
        self.off.clicked.connect(self._remove)
        self._choose()

    def show_notes(self, notes: Sequence[SkeinNote], grams: float) -> None:
        """Show what was noted, the latest first; `grams` is what a full skein weighs, 0 if unknown."""
        self._grams = grams
        self.noted.clear()
        for note in reversed(notes):
            item = QListWidgetItem(note_words(note))
            item.setData(Qt.ItemDataRole.UserRole, note.id)
            self.noted.addItem(item)
        self._notes = {note.id: note for note in notes}
        self.noted.setVisible(bool(notes))
        self.off.setVisible(bool(notes))
        self.noted.setCurrentRow(0 if notes else -1)
        self._choose()

    def _lay_out(self) -> None:
        grid = QGridLayout(self)
        grid.setVerticalSpacing(6)
        grid.addWidget(self.what, 0, 0, 1, 2)
        grid.addWidget(self.amount, 1, 0)
        grid.addWidget(self.unit, 1, 1)
        grid.addWidget(self.lot, 2, 0)
        grid.addWidget(self.note, 2, 1)
        grid.addWidget(self.noted, 3, 0, 1, 2)
        grid.addWidget(self.off, 4, 1)
        self.noted.setFixedHeight(LIST_LINES * (QLabel().fontMetrics().height() + 6))
        self.noted.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)

    def _choose(self) -> None:
        """Offer weighing where it makes sense: for what is left, when a full skein has been weighed."""
        weighs = self.what.currentData() == LEFT and self._grams > 0
        self.unit.setEnabled(weighs)
        self.unit.setToolTip("" if weighs else "Tell first what a full skein weighs: “One skein …”.")
        if not weighs:
            self.unit.setCurrentText(SKEINS)

    def _note(self) -> None:
        amount = self.amount.value()
        if self.unit.currentText() == GRAMS and self._grams:
            amount = skeins_by_weight(amount, Skein(grams=self._grams))
        self._tell(self.what.currentData(), amount, self.lot.text())

    def _remove(self) -> None:
        item = self.noted.currentItem()
        note = self._notes.get(item.data(Qt.ItemDataRole.UserRole)) if item is not None else None
        if note is not None:
            self._take_off(note)


def note_words(note: SkeinNote) -> str:
    """A note in a line: "3 March: used up 1 skein, lot A12"."""
    day = datetime.fromtimestamp(note.time / 1000).astimezone()
    lot = f", lot {note.lot}" if note.lot else ""
    return f"{day.day} {day:%B}: {NOTED_WORDS[note.event]} {skeins_words(note.skeins)}{lot}"
