"""The panel of the key: every thread of the chart, what is left of it, and which one is in hand."""

from typing import Protocol

from PySide6.QtCore import QModelIndex, QSize, Qt
from PySide6.QtWidgets import QComboBox, QLabel, QLineEdit, QVBoxLayout, QWidget

from stitchview.canvas.desk import Desk
from stitchview.canvas.looks import Look
from stitchview.ui.chips import Chips
from stitchview.ui.keylist import KeyList
from stitchview.ui.keymodel import KeyModel, Order
from stitchview.ui.keyrow import KeyRowPainter


class KeyListener(Protocol):
    """Who acts on what is chosen in the key."""

    def thread_chosen(self, number: int) -> None:
        """Take the thread of key entry `number` in hand; 0 puts the one in hand down."""

    def thread_wanted(self, number: int) -> None:
        """Take the thread of key entry `number` in hand, and show where it is left."""


class KeyPanel(QWidget):
    """Shows the key of the chart on the desk. Tell it by `refresh` when marks have changed."""

    def __init__(self, listener: KeyListener, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._listener = listener
        self._desk: Desk | None = None
        self._look = Look()
        self._in_hand = 0
        self.model = KeyModel(self)
        self._painter = KeyRowPainter(self)
        self.found = _find_field()
        self.order = _order_chooser()
        self.list = KeyList(self.model, self._choose, self._want)
        self.list.setItemDelegate(self._painter)
        self.totals = QLabel()
        self.totals.setWordWrap(True)
        self.hand = QLabel()
        self.hand.setWordWrap(True)
        self.hand.hide()
        self.setAccessibleName("Key")
        self.setMinimumWidth(200)
        column = QVBoxLayout(self)
        column.setContentsMargins(6, 6, 6, 6)
        column.setSpacing(5)
        for part in (self.found, self.order, self.list, self.hand, self.totals):
            column.addWidget(part)
        self._connect()
        self.set_desk(None)

    def _connect(self) -> None:
        self.found.textChanged.connect(self._find)
        self.found.returnPressed.connect(self._go_to_list)
        self.order.currentIndexChanged.connect(self._sort)
        self.list.clicked.connect(self._choose)
        self.list.doubleClicked.connect(self._want)

    def sizeHint(self) -> QSize:
        """Ask for room for a name of usual length, whatever the size of the letters."""
        return QSize(44 * self.fontMetrics().averageCharWidth(), 600)

    def set_desk(self, desk: Desk | None) -> None:
        """Show the key of another chart; None for none."""
        self._desk, self._in_hand = desk, 0
        self.found.clear()
        self._renew_chips()
        self.model.set_desk(desk)
        self.found.setEnabled(desk is not None)
        self.order.setEnabled(desk is not None)
        self.list.say_when_empty("The chart has no key." if desk else "No chart is open.")
        self.list.scrollToTop()
        self._put_cursor(0)
        self._say_sums()

    def set_look(self, look: Look) -> None:
        """Draw the chips in another look."""
        if look != self._look:
            self._look = look
            self._renew_chips()
            self.list.viewport().update()

    def set_in_hand(self, number: int) -> None:
        """Show another thread as in hand, and bring it into view; 0 for none."""
        self._in_hand = number
        self.model.set_in_hand(number)
        place = self.model.place_of(number)
        if place >= 0:
            self._put_cursor(place)

    def show_hand(self, words: str) -> None:
        """Show what is left of the thread in hand, here and in all; empty for none."""
        self.hand.setText(words)
        self.hand.setVisible(bool(words))

    def refresh(self) -> None:
        """Take over what has been marked since."""
        self.model.refresh()
        self._say_sums()

    def notes_changed(self) -> None:
        """Take over which threads are used and held back."""
        if self.model.notes_changed():
            self._renew_chips()
            self._put_cursor(max(self.model.place_of(self._in_hand), 0))
        self.list.viewport().update()

    def _find(self, wanted: str) -> None:
        before = self.list.currentIndex()
        current = self.model.number_at(before.row()) if before.isValid() else 0
        self.model.set_wanted(wanted)
        self._put_cursor(max(self.model.place_of(current), 0))
        self.list.say_when_empty(f"No thread is found by “{wanted.strip()}”.")
        self._say_sums()

    def _sort(self, index: int) -> None:
        self.model.set_order(list(Order)[index])
        if self._in_hand:
            self.list.scrollTo(self.list.currentIndex())
        else:
            # Who sorts by what is left wants to see the most, not where some line has gone.
            self.list.scrollToTop()
            self._put_cursor(0)

    def _go_to_list(self) -> None:
        if self.model.rowCount():
            self.list.setFocus(Qt.FocusReason.TabFocusReason)

    def _choose(self, index: QModelIndex) -> None:
        number = self.model.number_at(index.row())
        self._listener.thread_chosen(0 if number == self._in_hand else number)

    def _want(self, index: QModelIndex) -> None:
        self._listener.thread_wanted(self.model.number_at(index.row()))

    def _put_cursor(self, place: int) -> None:
        if place < self.model.rowCount():
            self.list.setCurrentIndex(self.model.index(place))

    def _renew_chips(self) -> None:
        self._painter.set_chips(Chips(self._look, self._desk.chart.attachments if self._desk else None))

    def _say_sums(self) -> None:
        words = self.model.totals
        if self.totals.text() != words:
            self.totals.setText(words)


def _find_field() -> QLineEdit:
    field = QLineEdit()
    field.setPlaceholderText("Find thread")
    field.setAccessibleName("Find thread")
    field.setToolTip("Words of the name, the number or the kind; Enter goes to the list")
    field.setClearButtonEnabled(True)
    return field


def _order_chooser() -> QComboBox:
    chooser = QComboBox()
    chooser.addItems([order.value for order in Order])
    chooser.setAccessibleName("How the key is sorted")
    chooser.setToolTip("How the key is sorted")
    # Else the longest line would keep the panel from being made narrow.
    chooser.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    chooser.setMinimumContentsLength(8)
    return chooser
