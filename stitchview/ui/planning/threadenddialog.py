"""Asks what a thread took in all, and what a wash or dye test of it showed."""

from collections.abc import Callable

from PySide6.QtWidgets import QComboBox, QDialog, QDialogButtonBox, QFormLayout, QLineEdit, QWidget

from stitchview.chart.threadname import identity_of
from stitchview.done.finishnotes import MOST_WORDS_LETTERS, RESULTS, ThreadTest, ThreadUsed
from stitchview.done.notebook import Notes, NotesChange
from stitchview.done.skeinnotes import MOST_SKEINS
from stitchview.errors import CommandError
from stitchview.plan.finishwords import CAUTION
from stitchview.plan.need import ThreadNeed
from stitchview.plan.threadtests import RESULT_WORDS
from stitchview.ui.messages import say_error
from stitchview.ui.planning.planpage import add_field, number_box, words_label

NOT_TESTED = "not tested"
WIDTH = 420
HOW = (
    "Skeins used up in all, with what was lost and unpicked; from this the next piece learns."
    " Leave it at “not said” where you did not keep count."
)


class ThreadEndDialog(QDialog):
    """Calls `took` with what is rewritten of the notes when she is content."""

    def __init__(
        self,
        name: str,
        need: ThreadNeed,
        notes: Notes,
        took: Callable[[NotesChange | None], object],
        parent: QWidget,
    ) -> None:
        super().__init__(parent)
        self._need, self._notes, self._took = need, notes, took
        self.setWindowTitle(f"{name}: used, and tested")
        self.skeins = number_box((0, MOST_SKEINS), "Skeins used in all", 2)
        self.skeins.setSpecialValueText("not said")
        self.outcome = QComboBox()
        self.outcome.setAccessibleName("What the wash or dye test showed")
        self.outcome.addItem(NOT_TESTED, "")
        for each in RESULTS:
            self.outcome.addItem(RESULT_WORDS[each], each)
        self.words = QLineEdit()
        self.words.setMaxLength(MOST_WORDS_LETTERS)
        self.words.setAccessibleName("A few words about the test")
        kinds = QDialogButtonBox.StandardButton
        self.buttons = QDialogButtonBox(kinds.Ok | kinds.Cancel)
        form = QFormLayout(self)
        form.setVerticalSpacing(8)
        add_field(form, "&Skeins used in all", self.skeins)
        form.addRow(words_label(HOW, quiet=True))
        add_field(form, "&Wash or dye test", self.outcome)
        add_field(form, "In a few &words", self.words)
        form.addRow(words_label(CAUTION))
        form.addRow(self.buttons)
        self.resize(WIDTH, form.heightForWidth(WIDTH))
        self._fill()
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)

    def accept(self) -> None:
        """Take it over; a sentence says what cannot be."""
        try:
            change = self._change()
        except CommandError as error:
            say_error(self, error)
            return
        super().accept()
        self._took(change)

    def _fill(self) -> None:
        used, tests = self._mine()
        for note in used:
            self.skeins.setValue(note.skeins)
        for test in tests:
            self.outcome.setCurrentIndex(self.outcome.findData(test.result))
            self.words.setText(test.words)

    def _mine(self) -> tuple[list[ThreadUsed], list[ThreadTest]]:
        mine = self._need.thread.identity
        used = [each for each in self._notes.used_in_all if identity_of(each.name, each.number) == mine]
        return used, [each for each in self._notes.tests if identity_of(each.name, each.number) == mine]

    def _change(self) -> NotesChange | None:
        """What is rewritten, as one stroke; None where nothing is."""
        need, (used, tests) = self._need, self._mine()
        wanted: list[ThreadUsed | ThreadTest] = []
        if self.skeins.value() > 0:
            old = used[0] if used else None
            reckoned = max(0.0, need.done.reckoned_mm)
            if old is not None and old.skeins == self.skeins.value():
                reckoned = old.reckoned_mm
            wanted.append(ThreadUsed(need.name, need.number, self.skeins.value(), reckoned))
        if self.outcome.currentData():
            words = self.words.text().strip()
            wanted.append(ThreadTest(need.name, need.number, self.outcome.currentData(), words))
        without = self._notes.after(self._notes.removing(*used, *tests) or NotesChange())
        after = without.after(without.putting(*wanted) or NotesChange())
        return self._notes.towards(after) or None
