"""Find my place from the cloth: the patch, the threads to fill it with, and the places that fit."""

from typing import Protocol

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QIcon, QPixmap
from PySide6.QtWidgets import (
    QCheckBox,
    QDialog,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from stitchview.chart.model import KeyEntry
from stitchview.follow.clothpatch import BARE, OPEN_SQUARE
from stitchview.follow.finding import Looking
from stitchview.ui.chips import Chips
from stitchview.ui.keywords import name_of
from stitchview.ui.patchgrid import PatchGrid

CHIP = 22


class PatchListener(Protocol):
    """Who looks for the patch, and goes to what was found."""

    def patch_wanted(self) -> None:
        """Look for the patch."""

    def fit_chosen(self, number: int) -> None:
        """Go to the place of a number in the list, from 0."""

    def patch_closed(self) -> None:
        """Take the rims away."""


class PatchDialog(QDialog):
    """Stands beside the chart while it is looked at; what she fills in stays until it is cleared."""

    def __init__(
        self, key: tuple[KeyEntry, ...], chips: Chips, listener: PatchListener, parent: QWidget
    ) -> None:
        super().__init__(parent)
        self._listener = listener
        self.setWindowTitle("Find my place from the cloth")
        self.grid = PatchGrid(key, chips, self)
        self.threads = _thread_list(key, chips, self.devicePixelRatioF())
        self.turned = QCheckBox("The cloth may be &turned")
        self.behind = QCheckBox("I may see it from &behind")
        self.one_wrong = QCheckBox("One square may be &wrong")
        self.find_button = QPushButton("&Find")
        self.clear_button = QPushButton("C&lear")
        self.told = QLabel("Fill in what you see; squares with “?” are left open.")
        self.told.setWordWrap(True)
        self.told.setAccessibleName("What was found")
        self.places = QListWidget()
        self.places.setAccessibleName("Places that fit, the likeliest first")
        self._lay_out()
        self.find_button.setDefault(True)
        self.threads.currentRowChanged.connect(self._choose)
        self.threads.setCurrentRow(2 if key else 1)
        self.find_button.clicked.connect(self._look)
        self.clear_button.clicked.connect(self.grid.clear)
        self.places.currentRowChanged.connect(self._go)
        self.places.itemActivated.connect(self._go_again)
        self.finished.connect(self._over)

    @property
    def looking(self) -> Looking:
        """What is allowed."""
        return Looking(self.turned.isChecked(), self.behind.isChecked(), self.one_wrong.isChecked())

    def show_found(self, told: str, places: list[str]) -> None:
        """Tell what was found."""
        self.places.clear()
        self.places.addItems([f"{number}. {words}" for number, words in enumerate(places, 1)])
        self.told.setText(told)

    def draft_changed(self) -> None:
        """Forget what was found for another patch."""
        if self.places.count():
            self.show_found("", [])

    def _lay_out(self) -> None:
        left, right = QVBoxLayout(), QVBoxLayout()
        left.addWidget(self.grid)
        for part in (self.turned, self.behind, self.one_wrong):
            left.addWidget(part)
        buttons = QHBoxLayout()
        buttons.addWidget(self.find_button)
        buttons.addWidget(self.clear_button)
        left.addLayout(buttons)
        left.addStretch(1)
        right.addWidget(self.threads, 3)
        right.addWidget(self.told)
        right.addWidget(self.places, 2)
        outer = QHBoxLayout(self)
        outer.addLayout(left)
        outer.addLayout(right, 1)
        self.resize(560, 420)

    def _choose(self, row: int) -> None:
        item = self.threads.item(row)
        if item is not None:
            self.grid.chosen = item.data(Qt.ItemDataRole.UserRole)

    def _look(self) -> None:
        self._listener.patch_wanted()
        if self.places.count():
            self.places.setFocus()

    def _go(self, row: int) -> None:
        if row >= 0:
            self._listener.fit_chosen(row)

    def _go_again(self) -> None:
        self._go(self.places.currentRow())

    def _over(self) -> None:
        self._listener.patch_closed()


def _thread_list(key: tuple[KeyEntry, ...], chips: Chips, ratio: float) -> QListWidget:
    shown = QListWidget()
    shown.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    shown.setIconSize(QSize(CHIP, CHIP))
    shown.setAccessibleName("What to fill in")
    for text, number in (("Open: not seen (?)", OPEN_SQUARE), ("No stitch (.)", BARE)):
        shown.addItem(_item(text, number, None))
    for number, entry in enumerate(key, 1):
        pixmap = chips.of(entry, round(CHIP * ratio))
        shown.addItem(_item(name_of(entry), number, pixmap))
    return shown


def _item(text: str, number: int, pixmap: QPixmap | None) -> QListWidgetItem:
    item = QListWidgetItem(text) if pixmap is None else QListWidgetItem(QIcon(pixmap), text)
    item.setData(Qt.ItemDataRole.UserRole, number)
    return item
