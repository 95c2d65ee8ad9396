"""Asks what is otherwise on the cloth, tells what keeping it comes to, and offers both honest ways out."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QDoubleSpinBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from stitchview.chart.area import Area
from stitchview.chart.model import Chart, OwnEntry
from stitchview.done.leftout import SORTS
from stitchview.done.usedinstead import OwnThread
from stitchview.errors import CommandError
from stitchview.follow.differencewords import SORT_WORDS
from stitchview.ui.keywords import name_of
from stitchview.ui.landmarkdialog import Count

SHIFTED, THREAD, LESS, MORE = range(4)
KINDS = (
    "A block lies elsewhere",
    "Another thread was used",
    "Stitches are left out",
    "Stitches are added",
)
MOST_LOST_M = 100_000.0
OWN = -1
"""Stands among key numbers for a thread of her own that is not noted yet."""


@dataclass(frozen=True, slots=True)
class Wish:
    """What the dialog says: kind, area, how far off, threads by key number (0 for any), and sort.

    `own` is the thread on the cloth if the key has it not; `number` does not count then.
    """

    kind: int
    area: Area
    across: int
    down: int
    was: int
    number: int
    sort: str
    own: OwnThread | None = None


class DifferenceTeller(Protocol):
    """Who knows what a wish comes to, and makes it true."""

    def told(self, wish: Wish) -> str:
        """What keeping it comes to; raises `CommandError` if it cannot be kept."""

    def lost_m(self, wish: Wish) -> float:
        """How many metres unpicking would lose; raises `CommandError` where nothing is worked."""

    def keep(self, wish: Wish) -> None:
        """Record the difference."""

    def unpick(self, wish: Wish, lost_m: float) -> None:
        """Unpick what is worked there."""

    def ask_own(self, wish: Wish, taken: Callable[[OwnThread], None], parent: QWidget) -> None:
        """Ask for a thread that the key has not, `wish.own` filled in; `taken` gets it."""


class DifferenceDialog(QDialog):
    """Everything is told before anything is changed; Keep and Unpick each make one stroke."""

    def __init__(
        self, chart: Chart, area: Area, number: int, teller: DifferenceTeller, parent: QWidget
    ) -> None:
        super().__init__(parent)
        self._teller = teller
        self._own: OwnThread | None = None
        self.setWindowTitle("The cloth differs")
        self.kind, self.was, self.used, self.sort = (QComboBox() for _ in range(4))
        self.kind.addItems(list(KINDS))
        self.corner = _Pair("square", (1, area.column + 1, chart.columns), (1, area.row + 1, chart.rows))
        self.extent = _Pair("squares", (1, area.columns, chart.columns), (1, area.rows, chart.rows))
        self.across = Count("columns", ("right", "left"), chart.columns)
        self.down = Count("rows", ("down", "up"), chart.rows)
        self.across.count.setValue(1)
        self.was.addItem("any thread", 0)
        for at, entry in enumerate(chart.key, 1):
            if not isinstance(entry, OwnEntry):
                self.was.addItem(name_of(entry), at)
            self.used.addItem(name_of(entry), at)
        self.used.setCurrentIndex(max(0, number - 1))
        self.new = QPushButton("A thread &not in the key …")
        self.new.setAutoDefault(False)
        self.sort.addItem("everything", "")
        for sort in SORTS:
            self.sort.addItem(SORT_WORDS[sort], sort)
        self.answer = QLabel()
        self.answer.setWordWrap(True)
        self.answer.setAccessibleName("What it comes to")
        self.lost = QDoubleSpinBox()
        self.lost.setRange(0, MOST_LOST_M)
        self.lost.setSuffix(" m")
        self.lost.setAccessibleName("Thread lost by unpicking")
        self._lay_out()
        self._listen()
        self._ask()
        self.kind.setFocus()

    @property
    def wish(self) -> Wish:
        """What is asked for now."""
        column, row = self.corner.values
        number = self.used.currentData() or 0
        return Wish(
            self.kind.currentIndex(),
            Area(column - 1, row - 1, *self.extent.values),
            self.across.told,
            self.down.told,
            self.was.currentData(),
            number,
            self.sort.currentData(),
            self._own if number == OWN else None,
        )

    def _lay_out(self) -> None:
        self.form = QFormLayout()
        self.form.addRow("&What differs", self.kind)
        self.form.addRow("&From column and row of the chart", self.corner)
        self.form.addRow("C&olumns and rows of it", self.extent)
        self.form.addRow("It lies off &across", self.across)
        self.form.addRow("It lies off &down", self.down)
        self.form.addRow("&Thread of the chart", self.was)
        self.form.addRow("Thread on the &cloth", self.used)
        self.form.addRow("", self.new)
        self.form.addRow("What of &it", self.sort)
        self.form.addRow("Single strand &lost if unpicked", self.lost)
        self.buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        self.keep = self.buttons.addButton("&Keep it so", QDialogButtonBox.ButtonRole.AcceptRole)
        self.unpick = self.buttons.addButton("&Unpick it", QDialogButtonBox.ButtonRole.ActionRole)
        outer = QVBoxLayout(self)
        outer.setSpacing(10)
        outer.addLayout(self.form)
        outer.addWidget(self.answer)
        outer.addStretch(1)
        outer.addWidget(self.buttons)
        self.setMinimumWidth(56 * self.fontMetrics().averageCharWidth())
        self.answer.setMinimumHeight(3 * self.fontMetrics().lineSpacing())

    def _listen(self) -> None:
        for box in (*self.corner.boxes, *self.extent.boxes, self.across.count, self.down.count):
            box.valueChanged.connect(self._ask)
        for choice in (self.kind, self.was, self.used, self.sort, self.across.way, self.down.way):
            choice.currentIndexChanged.connect(self._ask)
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        self.unpick.clicked.connect(self._unpick)
        self.new.clicked.connect(self._ask_own)

    def _ask(self) -> None:
        """Tell what both ways come to, and offer those that can be gone."""
        wish = self.wish
        for part, kinds in (
            (self.across, (SHIFTED,)),
            (self.down, (SHIFTED,)),
            (self.was, (THREAD, LESS)),
            (self.used, (THREAD, MORE)),
            (self.new, (THREAD, MORE)),
            (self.sort, (THREAD, LESS)),
        ):
            self.form.setRowVisible(part, wish.kind in kinds)
        can_keep, told = True, ""
        try:
            told = self._teller.told(wish)
        except CommandError as error:
            can_keep, told = False, str(error)
        can_unpick = True
        try:
            self.lost.setValue(self._teller.lost_m(wish))
        except CommandError:
            can_unpick = False
            self.lost.setValue(0)
        self.answer.setText(told)
        self.keep.setEnabled(can_keep)
        self.unpick.setEnabled(can_unpick)
        self.lost.setEnabled(can_unpick)

    def _ask_own(self) -> None:
        self._teller.ask_own(self.wish, self._take_own, self)

    def _take_own(self, own: OwnThread) -> None:
        """Have that one on the cloth; it is noted once the difference is kept."""
        self._own = own
        at = self.used.findData(OWN)
        if at < 0:
            at = self.used.count()
            self.used.addItem("", OWN)
        self.used.setItemText(at, own.used_name or own.used_number)
        self.used.setCurrentIndex(at)
        self._ask()

    def lies_off(self, across: int, down: int) -> None:
        """Propose that the block lies so many columns right and rows down; below 0 left and up."""
        for part, told in ((self.across, across), (self.down, down)):
            part.count.setValue(abs(told))
            part.way.setCurrentIndex(int(told < 0))

    def accept(self) -> None:
        """Keep it as it is."""
        if self.keep.isEnabled():
            super().accept()
            self._teller.keep(self.wish)

    def _unpick(self) -> None:
        super().accept()
        self._teller.unpick(self.wish, self.lost.value())


class _Pair(QWidget):
    """A count of columns and one of rows, side by side; each told as least, now and most."""

    def __init__(self, noun: str, across: tuple[int, int, int], down: tuple[int, int, int]) -> None:
        super().__init__()
        self.boxes = QSpinBox(), QSpinBox()
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        for box, name, (least, now, most) in zip(self.boxes, ("Column", "Row"), (across, down), strict=True):
            box.setRange(least, most)
            box.setValue(now)
            box.setAccessibleName(f"{name}: {noun}")
            row.addWidget(box, 1)
        self.setFocusProxy(self.boxes[0])

    @property
    def values(self) -> tuple[int, int]:
        """The count of columns, and that of rows."""
        return self.boxes[0].value(), self.boxes[1].value()
