"""The last page of the reading table: the check list, and what is left to do."""

from collections.abc import Callable, Mapping

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from stitchview.canvas.qtcolours import as_qt
from stitchview.chart.model import MOST_COLUMNS, MOST_ROWS, Chart
from stitchview.sheets.checklist import Check, First, Printed, Subject, checks, printed_on
from stitchview.ui.reading.reviewbook import ReviewBook
from stitchview.ui.theme import shades_of

NONE_YET = "There is nothing to check yet: add pictures on the first page and press “Read the symbols”."
HOW = (
    "Look at the paper: which are the last numbers printed along its top and its side? Enter or a double "
    "click on a line below goes where it can be mended."
)
FINE, LEFT = "✓", "○"
SUBJECT = Qt.ItemDataRole.UserRole


class CheckPage(QWidget):
    """`go` is called with the subject of a line that is to be mended."""

    def __init__(
        self, book: ReviewBook, firsts: Callable[[], Mapping[str, First]], go: Callable[[Subject], None]
    ) -> None:
        super().__init__()
        self._book, self._firsts, self._go = book, firsts, go
        self._shown: Chart | None = None
        self.said = QLabel()
        self.said.setWordWrap(True)
        self.how = QLabel(HOW)
        self.how.setWordWrap(True)
        self.columns = _counter(MOST_COLUMNS, "Last column number on the paper")
        self.rows = _counter(MOST_ROWS, "Last row number on the paper")
        for field in (self.columns, self.rows):
            field.valueChanged.connect(self._typed)
        self.list = QListWidget()
        self.list.setAccessibleName("Check list")
        self.list.setWordWrap(True)
        self.list.setSpacing(6)
        self.list.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.list.itemActivated.connect(self._activated)
        fields = QHBoxLayout()
        for text, field in (("Last &column", self.columns), ("Last &row", self.rows)):
            label = QLabel(text)
            label.setBuddy(field)
            fields.addWidget(label)
            fields.addWidget(field, 1)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 8, 0, 0)
        outer.addWidget(self.how)
        outer.addLayout(fields)
        outer.addWidget(self.list, 1)
        outer.addWidget(self.said)
        book.changed.connect(self.refresh)
        self.refresh()

    def showEvent(self, event: QShowEvent) -> None:
        """Look at everything anew."""
        super().showEvent(event)
        self.refresh()

    def refresh(self) -> None:
        """Go through the list for the chart as it is now."""
        if not self.isVisible():
            return
        chart = self._book.chart
        self.list.clear()
        for part in (self.columns, self.rows):
            part.setEnabled(chart is not None)
        if chart is None:
            self.said.setText(NONE_YET)
            return
        printed = printed_on(chart)
        if chart is not self._shown:
            # Until both fields show this chart's numbers, nothing in them is hers.
            self._shown = None
            self.columns.setValue(printed.columns)
            self.rows.setValue(printed.rows)
            self._shown = chart
        points = checks(chart, printed, self._firsts())
        for point in points:
            self.list.addItem(self._line(point))
        left = sum(not point.fine for point in points)
        fine = "All points are in order: the chart is as it is printed, as far as this list can tell."
        self.said.setText(fine if not left else f"{left} of {len(points)} points are left.")

    def _typed(self) -> None:
        """Keep what she reads off the paper with the chart, for another evening too."""
        if self._shown is not None and self._shown is self._book.chart:
            self._book.note(Printed(self.columns.value(), self.rows.value()))

    def _line(self, point: Check) -> QListWidgetItem:
        item = QListWidgetItem(f"{FINE if point.fine else LEFT}  {point.words}")
        shades = shades_of(self.palette())
        colour = shades.done if point.fine else shades.text
        item.setForeground(as_qt(colour))
        item.setData(SUBJECT, point.subject.value)
        state = "in order" if point.fine else "left to do"
        item.setData(Qt.ItemDataRole.AccessibleTextRole, f"{point.words} ({state})")
        return item

    def _activated(self, item: QListWidgetItem) -> None:
        subject = Subject(item.data(SUBJECT))
        if subject is Subject.SIZE:
            self.columns.setFocus()
        else:
            self._go(subject)


def _counter(most: int, name: str) -> QSpinBox:
    field = QSpinBox()
    field.setRange(0, most)
    field.setSpecialValueText("not compared")
    field.setAccessibleName(name)
    return field
