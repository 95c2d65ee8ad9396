"""Asks which thread is used in the whole piece instead of one that the key prints."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from PySide6.QtGui import QColor
from PySide6.QtWidgets import (
    QColorDialog,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QDoubleSpinBox,
    QFormLayout,
    QLineEdit,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from stitchview.canvas.qtcolours import as_qt
from stitchview.chart.colour import Colour
from stitchview.chart.limits import MOST_LABEL
from stitchview.chart.model import THREAD_KINDS
from stitchview.done.skeinnotes import MOST_LOT_LETTERS, MOST_SKEINS
from stitchview.done.usedinstead import UsedInstead
from stitchview.plan.insteadoffers import InsteadOffer, kind_of
from stitchview.ui.planning.planpage import add_field, words_label
from stitchview.ui.planning.swatches import SwatchRow, swatch_icon

NO_LIST = "no list of your threads is open (Plan, Stash)"
NOT_FROM_LIST = "not from your list"
SKEINS_TIP = "So many of your list are then told to be taken wherever another piece waits for that thread"


@dataclass(frozen=True, slots=True)
class Printed:
    """A thread that the key prints, and what is used instead of it now, if anything is."""

    name: str
    number: str
    kind: str
    colour: Colour
    used: UsedInstead | None = None

    @property
    def called(self) -> str:
        """Its name, and its number where that has it not."""
        if not self.number or self.number in self.name.replace(",", " ").split():
            return self.name or self.number
        return f"{self.name} ({self.number})" if self.name else self.number


class InsteadTeller(Protocol):
    """Who knows her list and what is needed, and notes what she chooses."""

    def offers(self, printed: Printed) -> Sequence[InsteadOffer]:
        """What of her list could be used."""

    def skeins_wanted(self, printed: Printed) -> float:
        """How many skeins of it are still needed at most; 0 if that is not known."""

    def use(self, printed: Printed, used: UsedInstead | None) -> str:
        """Use that thread instead, None for the printed one again; a sentence if it cannot be."""


class InsteadDialog(QDialog):
    """One thread of the key at a time; a blend has several to choose from."""

    def __init__(self, threads: Sequence[Printed], teller: InsteadTeller, parent: QWidget) -> None:
        super().__init__(parent)
        self._threads, self._teller = tuple(threads), teller
        self._offers: tuple[InsteadOffer, ...] = ()
        self._colour, self._range = threads[0].colour, ""
        self.setWindowTitle("Another thread in the whole piece")
        self.printed, self.listed, self.kind = QComboBox(), QComboBox(), QComboBox()
        for box in (self.printed, self.listed):
            box.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        for each in threads:
            self.printed.addItem(swatch_icon(each.colour, self), each.called)
        self.kind.addItems(list(THREAD_KINDS))
        self.name, self.number, self.lot = QLineEdit(), QLineEdit(), QLineEdit()
        for field, most in ((self.name, MOST_LABEL), (self.number, MOST_LABEL), (self.lot, MOST_LOT_LETTERS)):
            field.setMaxLength(most)
        self.colour = QPushButton("&Colour …")
        self.skeins = QDoubleSpinBox()
        self.skeins.setRange(0, MOST_SKEINS)
        self.skeins.setDecimals(1)
        self.skeins.setSpecialValueText("not told")
        self.skeins.setToolTip(SKEINS_TIP)
        self.colours, self.told = SwatchRow(), words_label()
        self.told.setAccessibleName("What is wrong")
        self.buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        self.take = self.buttons.addButton("&Use it", QDialogButtonBox.ButtonRole.AcceptRole)
        self.back = self.buttons.addButton("As &printed again", QDialogButtonBox.ButtonRole.ActionRole)
        self._lay_out()
        for button in (self.colour, self.back):
            button.setAutoDefault(False)
        self.take.setDefault(True)
        self._connect()
        self._show_thread()
        self.name.setFocus()
        self.name.selectAll()

    @property
    def chosen(self) -> Printed:
        """The printed thread that is asked about."""
        return self._threads[max(0, self.printed.currentIndex())]

    def accept(self) -> None:
        """Use what is typed, if it can be."""
        name, number = (" ".join(field.text().split()) for field in (self.name, self.number))
        if not name and not number:
            self._say("The thread used has neither name nor number. Give it one of them.")
            return
        used = UsedInstead(
            self.chosen.name,
            self.chosen.number,
            name,
            number,
            self.kind.currentText(),
            self._colour,
            " ".join(self.lot.text().split()),
            self._range,
            self.skeins.value(),
        )
        self._close_after(self._teller.use(self.chosen, used))

    def _lay_out(self) -> None:
        self.form = form = QFormLayout()
        form.setVerticalSpacing(6)
        add_field(form, "&Instead of", self.printed)
        add_field(form, "From your &list", self.listed)
        add_field(form, "&Name", self.name)
        add_field(form, "N&umber", self.number)
        add_field(form, "&Kind", self.kind)
        add_field(form, "Colour", self.colour)
        add_field(form, "L&ot", self.lot)
        add_field(form, "&Skeins set aside", self.skeins)
        outer = QVBoxLayout(self)
        outer.addLayout(form)
        outer.addWidget(self.colours)
        outer.addWidget(self.told)
        outer.addStretch(1)
        outer.addWidget(self.buttons)
        self.setMinimumWidth(72 * self.fontMetrics().averageCharWidth())

    def _connect(self) -> None:
        self.printed.currentIndexChanged.connect(self._show_thread)
        self.listed.activated.connect(self._take_listed)
        self.colour.clicked.connect(self._ask_colour)
        self.back.clicked.connect(self._go_back)
        for field in (self.name, self.number):
            field.textEdited.connect(self._typed)
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)

    def _show_thread(self) -> None:
        """Show what is used instead of the chosen thread, or what could be."""
        thread = self.chosen
        used = thread.used
        self._offers = tuple(self._teller.offers(thread))
        self.listed.clear()
        self.listed.addItem(NOT_FROM_LIST if self._offers else NO_LIST)
        for offer in self._offers:
            colour = offer.holding.colour
            if colour is None:
                self.listed.addItem(offer.words)
            else:
                self.listed.addItem(swatch_icon(colour, self), offer.words)
        self.listed.setEnabled(bool(self._offers))
        self._range = "" if used is None else used.range
        self.name.setText("" if used is None else used.used_name)
        self.number.setText("" if used is None else used.used_number)
        self.kind.setCurrentText(thread.kind if used is None else used.kind)
        self.lot.setText("" if used is None else used.lot)
        self.skeins.setValue(0 if used is None else used.skeins)
        self.back.setEnabled(used is not None)
        self._use_colour(thread.colour if used is None else used.colour)
        self._say("")

    def _take_listed(self, row: int) -> None:
        """Fill in a thread of her list."""
        if not 1 <= row <= len(self._offers):
            self._range = ""
            return
        holding, thread = self._offers[row - 1].holding, self.chosen
        self._range = holding.range
        self.name.setText(holding.name)
        self.number.setText(holding.number)
        self.kind.setCurrentText(kind_of(holding, thread.kind))
        self.lot.setText(holding.lot[:MOST_LOT_LETTERS])
        wanted = self._teller.skeins_wanted(thread)
        there = holding.skeins or 0.0
        self.skeins.setValue(min(wanted, there) if wanted and there else max(wanted, there))
        self._use_colour(holding.colour or thread.colour)

    def _typed(self) -> None:
        """What is typed is no row of her list any more."""
        self._range = ""
        self.listed.setCurrentIndex(0)

    def _ask_colour(self) -> None:
        dialog = QColorDialog(as_qt(self._colour), self)
        dialog.setWindowTitle("The colour of the thread used")
        dialog.colorSelected.connect(self.use_colour)
        dialog.open()

    def use_colour(self, colour: QColor) -> None:
        """Take a colour over; one that is none alters nothing."""
        if colour.isValid():
            self._use_colour(Colour(colour.red(), colour.green(), colour.blue()))

    def _use_colour(self, colour: Colour) -> None:
        self._colour = colour
        self.colour.setIcon(swatch_icon(colour, self))
        self.colours.lay([(self.chosen.colour, "printed"), (colour, "used")])

    def _go_back(self) -> None:
        self._close_after(self._teller.use(self.chosen, None))

    def _close_after(self, trouble: str) -> None:
        if trouble:
            self._say(trouble)
        else:
            super().accept()

    def _say(self, words: str) -> None:
        self.told.setText(words)
        self.told.setVisible(bool(words))
