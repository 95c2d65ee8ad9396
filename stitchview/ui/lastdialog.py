"""The window that lists the last things of a piece, to go to, leave out and take up again."""

from dataclasses import dataclass
from typing import Protocol

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import (
    QDialog,
    QGridLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from stitchview.follow.lastthings import LastThing, LastThings

REST_MS = 150


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the list: its words, and what it means."""

    text: str
    what: object


class LastTeller(Protocol):
    """Who knows the last things and acts on what is chosen."""

    def found(self) -> LastThings:
        """The last things as they are now."""

    def told(self, found: LastThings) -> str:
        """How far the piece is."""

    def progress(self, found: LastThings) -> str:
        """Each step with its own progress."""

    def lines(self, found: LastThings) -> list[Line]:
        """The list."""

    def choose(self, what: object) -> None:
        """Go to a line."""

    def leave_out(self, what: object, whole_step: bool) -> None:
        """Leave a line out, or all of its step."""

    def take_up(self, what: object) -> None:
        """Take up again what was left out."""


class LastDialog(QDialog):
    """Stays open while she goes from one thing to the next; Enter or a click goes there."""

    def __init__(self, teller: LastTeller, parent: QWidget) -> None:
        super().__init__(parent)
        self._teller = teller
        self.setWindowTitle("The last things")
        self.told, self.steps, self.list = QLabel(), QLabel(), QListWidget()
        self.told.setWordWrap(True)
        self.steps.setWordWrap(True)
        self.list.setAccessibleName("The last things, in the order in which they are worked")
        self.list.setUniformItemSizes(True)
        self.go = QPushButton("&Go there")
        self.out = QPushButton("&Leave out")
        self.all_out = QPushButton("Leave out all of this &step")
        self.up = QPushButton("&Take up again")
        buttons = QGridLayout()
        for at, button in enumerate((self.go, self.out, self.up, self.all_out)):
            buttons.addWidget(button, at // 2, at % 2)
            button.setAutoDefault(False)
        outer = QVBoxLayout(self)
        for part in (self.told, self.list, self.steps):
            outer.addWidget(part)
        outer.addLayout(buttons)
        self.resize(440, 420)
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(REST_MS)
        self._rest.timeout.connect(self.refresh)
        self.go.clicked.connect(self._go_there)
        self.out.clicked.connect(self._leave_out)
        self.all_out.clicked.connect(self._leave_step_out)
        self.up.clicked.connect(self._take_up)
        self.list.itemActivated.connect(self._go_there)
        self.list.currentRowChanged.connect(self._enable)

    def follow(self) -> None:
        """List anew once hands rest; while it is hidden, when it is shown next."""
        if self.isVisible():
            self._rest.start()

    def refresh(self) -> None:
        """List what is left now."""
        self._rest.stop()
        found = self._teller.found()
        self.told.setText(self._teller.told(found))
        self.steps.setText(self._teller.progress(found))
        row, what = max(0, self.list.currentRow()), self._what
        self.list.clear()
        for line in self._teller.lines(found):
            item = QListWidgetItem(line.text)
            item.setToolTip(line.text)
            item.setData(Qt.ItemDataRole.UserRole, line.what)
            self.list.addItem(item)
        self.list.setCurrentRow(min(row, self.list.count() - 1))
        if isinstance(what, LastThing):
            self.choose(what)
        self._enable()

    def choose(self, thing: LastThing) -> None:
        """Choose the line of one of the last things, if it is listed."""
        for row in range(self.list.count()):
            what = self.list.item(row).data(Qt.ItemDataRole.UserRole)
            if isinstance(what, LastThing) and (what.square, what.step) == (thing.square, thing.step):
                self.list.setCurrentRow(row)
                return

    @property
    def _what(self) -> object:
        item = self.list.currentItem()
        return None if item is None else item.data(Qt.ItemDataRole.UserRole)

    def _enable(self) -> None:
        is_thing = isinstance(self._what, LastThing)
        for button in (self.go, self.out, self.all_out):
            button.setEnabled(is_thing)
        self.up.setEnabled(self._what is not None and not is_thing)

    def _go_there(self) -> None:
        self._teller.choose(self._what)

    def _leave_out(self) -> None:
        self._teller.leave_out(self._what, whole_step=False)

    def _leave_step_out(self) -> None:
        self._teller.leave_out(self._what, whole_step=True)

    def _take_up(self) -> None:
        self._teller.take_up(self._what)
