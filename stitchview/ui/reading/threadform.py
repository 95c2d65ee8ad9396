"""The thread of one pile: name, number and colour typed, taken from a key table, or from a picture."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QColor, QIcon, QImage, QPixmap
from PySide6.QtWidgets import (
    QColorDialog,
    QFileDialog,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QSizePolicy,
    QWidget,
)

from stitchview.chart.colour import Colour
from stitchview.chart.csvkey import read_key_table
from stitchview.chart.limits import MOST_LABEL
from stitchview.chart.model import KeyEntry
from stitchview.errors import StitchviewError
from stitchview.sheets.onesheet import page_of
from stitchview.ui.chooser import Chooser
from stitchview.ui.messages import say_error
from stitchview.ui.reading.cardpicture import CardPicture
from stitchview.ui.reading.sheetspage import FILTER

TABLES = "Key tables (*.csv);;All files (*)"
NO_TABLE = "no key table opened yet"


class ThreadForm(QWidget):
    """`given` is told with the whole key entry as it is to be, `page_chosen` with a picture of a key page."""

    given = Signal(object)
    page_chosen = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self._entry: KeyEntry | None = None
        self._listed: list[KeyEntry] = []
        self.table: Path | None = None
        self.card: CardPicture | None = None
        self.name, self.number = QLineEdit(), QLineEdit()
        for field in (self.name, self.number):
            field.setMaxLength(MOST_LABEL)
            field.editingFinished.connect(self.take_typed)
        self.colour_button = _button("&Colour …", self._ask_colour, "Choose the thread's colour")
        tip = "Point at the thread in a photograph of your thread card"
        self.card_button = _button("From a p&icture …", self._ask_card, tip)
        self.listed = Chooser()
        self.listed.setAccessibleName("Threads of your key table")
        self.listed.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.listed.activated.connect(self._taken)
        self.table_button = _button("&Key table …", self._ask_table, "Open a key saved as CSV")
        tip = "Name all piles after a photograph of the printed key, and after the key table if one is open"
        self.page_button = _button("Key pa&ge …", self._ask_page, tip)
        self.printed = QLabel()
        self.printed.setAccessibleName("What the key page shows for this pile")
        self.printed.hide()
        self._lay_out()

    def _lay_out(self) -> None:
        form = QFormLayout(self)
        form.setContentsMargins(0, 0, 0, 0)
        form.addRow("&Thread", self.name)
        label = QLabel("&Number")
        label.setBuddy(self.number)
        form.addRow(label, _beside(self.number, self.colour_button, self.card_button))
        label = QLabel("From your &list")
        label.setBuddy(self.listed)
        form.addRow(label, _beside(self.listed, self.table_button, self.page_button))
        form.addRow(self.printed)

    def show_entry(self, entry: KeyEntry | None, key: Sequence[KeyEntry]) -> None:
        """Show the thread of another pile; what the key has already is not listed again."""
        self._entry = entry
        for part in (self.name, self.number, self.colour_button, self.card_button):
            part.setEnabled(entry is not None)
        if entry is not None:
            self.name.setText(entry.name)
            self.number.setText(entry.number)
            self.colour_button.setIcon(_patch(entry.colour))
        self._list(key)

    def show_printed(self, row: NDArray[np.uint8] | None) -> None:
        """Show what the key page shows for this pile, (high, wide, 3) RGB; None for nothing."""
        self.printed.setVisible(row is not None)
        if row is not None:
            high, wide = row.shape[:2]
            pixels = np.ascontiguousarray(row)
            image = QImage(pixels.data, wide, high, 3 * wide, QImage.Format.Format_RGB888)
            self.printed.setPixmap(QPixmap.fromImage(image.copy()))

    def open_table(self, path: Path) -> None:
        """Take the threads of a key table into the list; what hinders is said."""
        try:
            self._listed = list(read_key_table(path).values())
            self.table = path
        except StitchviewError as error:
            say_error(self, error)
            return
        self._list(())

    def open_card(self, path: Path) -> None:
        """Let a colour be pointed out on a picture; what hinders is said."""
        try:
            picture = page_of(path, 1)
        except StitchviewError as error:
            say_error(self, error)
            return
        self.card = CardPicture(picture, self.set_colour, self)
        self.card.open()

    def set_colour(self, colour: QColor) -> None:
        """Give the thread a colour."""
        if self._entry is not None and colour.isValid():
            told = Colour(colour.red(), colour.green(), colour.blue())
            self._give(replace(self._entry, colour=told))

    def take_typed(self) -> None:
        """Take over what was typed."""
        entry = self._entry
        if entry is not None:
            name = self.name.text().strip() or entry.name
            self._give(replace(entry, name=name, number=self.number.text().strip()))

    def _list(self, key: Sequence[KeyEntry]) -> None:
        there = {(entry.name, entry.number) for entry in key}
        self.listed.clear()
        left = [entry for entry in self._listed if (entry.name, entry.number) not in there]
        self.listed.addItem(f"{len(left)} not given yet" if self._listed else NO_TABLE)
        for entry in left:
            self.listed.addItem(_patch(entry.colour), f"{entry.number} {entry.name}".strip(), entry)
        self.listed.setEnabled(bool(left) and self._entry is not None)

    def _taken(self, row: int) -> None:
        entry = self.listed.itemData(row)
        if isinstance(entry, KeyEntry):
            self._give(entry)

    def _give(self, entry: KeyEntry) -> None:
        if entry != self._entry:
            self.given.emit(entry)

    # Asking

    def _ask_colour(self) -> None:
        if self._entry is not None:
            colour = self._entry.colour
            asked = QColorDialog(QColor(colour.red, colour.green, colour.blue), self)
            asked.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
            asked.colorSelected.connect(self.set_colour)
            asked.open()

    def _ask_table(self) -> None:
        asked = QFileDialog(self, "A key saved as CSV", "", TABLES)
        asked.fileSelected.connect(self._table_chosen)
        _open(asked)

    def _table_chosen(self, name: str) -> None:
        self.open_table(Path(name))

    def _ask_page(self) -> None:
        asked = QFileDialog(self, "A picture of the printed key", "", FILTER)
        asked.fileSelected.connect(self._page_chosen)
        _open(asked)

    def _page_chosen(self, name: str) -> None:
        self.page_chosen.emit(Path(name))

    def _ask_card(self) -> None:
        asked = QFileDialog(self, "A picture of your thread card", "", FILTER)
        asked.fileSelected.connect(self._card_chosen)
        _open(asked)

    def _card_chosen(self, name: str) -> None:
        self.open_card(Path(name))


def _open(asked: QFileDialog) -> None:
    asked.setFileMode(QFileDialog.FileMode.ExistingFile)
    asked.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    asked.open()


def _beside(first: QWidget, *more: QWidget) -> QHBoxLayout:
    row = QHBoxLayout()
    row.addWidget(first, 1)
    for part in more:
        row.addWidget(part)
    return row


def _patch(colour: Colour) -> QIcon:
    patch = QPixmap(24, 24)
    patch.fill(QColor(colour.red, colour.green, colour.blue))
    return QIcon(patch)


def _button(text: str, pressed: object, tip: str) -> QPushButton:
    button = QPushButton(text)
    button.setAutoDefault(False)
    button.setToolTip(tip)
    button.clicked.connect(pressed)
    return button
