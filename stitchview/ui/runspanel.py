"""The strip under the chart that calls runs out: the run now in large words, the next ones, buttons."""

from typing import Protocol

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QFrame, QHBoxLayout, QPushButton, QSizePolicy, QVBoxLayout

from stitchview.chart.model import KeyEntry
from stitchview.follow.runs import Going
from stitchview.ui.calling import Told
from stitchview.ui.calls import Calls
from stitchview.ui.chips import Chips
from stitchview.ui.fittedwords import FittedWords

GOING_WORDS = {
    Going.ON: "Left to right",
    Going.BACK: "Right to left",
    Going.THERE_AND_BACK: "There and back",
}
LEFT_HAND_WORDS = {
    Going.ON: "Right to left",
    Going.BACK: "Left to right",
    Going.THERE_AND_BACK: "There and back",
}
UPRIGHT_WORDS = {
    Going.ON: "Downwards",
    Going.BACK: "Upwards",
    Going.THERE_AND_BACK: "There and back",
}
LEAST_CHOOSER = 72
WHOSE_WORDS = ("Thread in hand", "All threads")


class RunsListener(Protocol):
    """Who acts on what is asked for on the strip."""

    def call_otherwise(self, going: Going, all_threads: bool) -> None:
        """Call out another way, or other threads."""

    def run_done(self) -> None:
        """Mark the run and move on."""

    def run_undone(self) -> None:
        """Unpick the run before and be there again."""

    def stop_calling(self) -> None:
        """Call no more runs out."""


class RunsPanel(QFrame):
    """Shows what is called out. It has the same height whatever it shows, so that the chart stays put."""

    def __init__(self) -> None:
        super().__init__()
        self._listener: RunsListener | None = None
        self.now = FittedWords("Run to work now", 1.7)
        self.then = FittedWords("Runs after this", 1.0, quiet=True)
        self.way, self.whose = _chooser("Which way lines are worked"), _chooser("Which threads are called")
        self.whose.addItems(WHOSE_WORDS)
        self.back, self.step = QPushButton("Back"), QPushButton("Done, next")
        self.stop = QPushButton("Close")
        self.left = FittedWords("Runs left", 1.0, quiet=True)
        self.back.setToolTip("Unpick the run before, and be there again (Page Up)")
        self.step.setToolTip("Mark this run and move on (Page Down)")
        self.stop.setToolTip("Call no more runs out")
        self.setAccessibleName("Runs called out")
        self._lay_out()
        self._connect()
        self._name_ways(GOING_WORDS)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.hide()

    def _lay_out(self) -> None:
        row = QHBoxLayout()
        row.setSpacing(6)
        row.addWidget(self.left, 1)
        for part in (self.way, self.whose, self.back, self.step, self.stop):
            row.addWidget(part)
        column = QVBoxLayout(self)
        column.setContentsMargins(8, 5, 8, 5)
        column.setSpacing(3)
        column.addWidget(self.now)
        column.addWidget(self.then)
        column.addLayout(row)
        for part in (self.way, self.whose, self.back, self.step, self.stop):
            # A pedal's keys go to the chart; whoever wants the strip by key comes to it by Tab.
            part.setFocusPolicy(Qt.FocusPolicy.TabFocus)

    def _connect(self) -> None:
        self.way.activated.connect(self._chosen)
        self.whose.activated.connect(self._chosen)
        self.back.clicked.connect(self._go_back)
        self.step.clicked.connect(self._go_on)
        self.stop.clicked.connect(self._stop)

    def set_listener(self, listener: RunsListener | None) -> None:
        """Work for another chart, or for none."""
        self._listener = listener
        if listener is None:
            self.hide()

    def show_calls(self, kept: Calls, upright: bool, left_handed: bool) -> None:
        """Show which way and whose runs are called; lines are `upright` or not as she sees them."""
        usual = LEFT_HAND_WORDS if left_handed else GOING_WORDS
        self._name_ways(UPRIGHT_WORDS if upright else usual)
        self.way.setCurrentIndex(list(Going).index(kept.going))
        self.whose.setCurrentIndex(int(kept.all_threads))

    def show_told(self, told: Told, entry: KeyEntry | None, chips: Chips) -> None:
        """Show what is called out now."""
        self.now.show_words(told.now, entry, chips)
        self.then.show_words(f"Then: {' · '.join(told.then)}" if told.then else "")
        self.left.show_words(told.left)

    def _name_ways(self, words: dict[Going, str]) -> None:
        if self.way.itemText(0) != words[Going.ON]:
            self.way.clear()
            self.way.addItems([words[each] for each in Going])

    def _chosen(self) -> None:
        if self._listener is not None:
            going = list(Going)[self.way.currentIndex()]
            self._listener.call_otherwise(going, bool(self.whose.currentIndex()))

    def _go_on(self) -> None:
        if self._listener is not None:
            self._listener.run_done()

    def _go_back(self) -> None:
        if self._listener is not None:
            self._listener.run_undone()

    def _stop(self) -> None:
        if self._listener is not None:
            self._listener.stop_calling()


def _chooser(name: str) -> QComboBox:
    chooser = QComboBox()
    chooser.setAccessibleName(name)
    chooser.setToolTip(name)
    # Where letters are large and the chart is narrow, choosers give way, so that no button's words are cut.
    chooser.setMinimumWidth(LEAST_CHOOSER)
    return chooser
