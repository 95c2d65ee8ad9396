"""The page of the reading table with the doubts: one square after another, large, answered by one key."""

from collections.abc import Callable

import numpy as np
from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QColor, QIcon, QKeySequence, QPainter, QPaintEvent, QPen, QPixmap, QShortcut
from PySide6.QtWidgets import (
    QComboBox,
    QGridLayout,
    QLabel,
    QProgressBar,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from stitchview.chart.model import Chart
from stitchview.chart.review import NO_SECOND, Why
from stitchview.sheets.correcting import alike, answered, next_doubt, piles_of
from stitchview.ui.chips import Chips
from stitchview.ui.reading.reviewbook import ReviewBook

AROUND = 3
CHIP = 40
NOTHING = "no stitch"
ALL_DONE = (
    "No square is in doubt. Compare the count of columns and rows with the numbers printed on the paper."
)
NONE_YET = "There is nothing to ask yet: add pictures on the first page and press “Read the symbols”."
WHYS = {Why.SYMBOL: "Its symbol is not clear.", Why.SHEETS: "Two sheets show it in different ways."}


class Neighbourhood(QWidget):
    """A square and its neighbours on the paper, as large as it fits, the square itself framed."""

    def __init__(self) -> None:
        super().__init__()
        self._picture = QPixmap()
        self.setMinimumSize(240, 240)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def show_picture(self, picture: QPixmap, words: str) -> None:
        """Show another square's neighbourhood."""
        self._picture = picture
        self.setAccessibleName(words)
        self.update()

    def sizeHint(self) -> QSize:
        """Ask for room enough to see one square well."""
        return QSize(420, 420)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the paper, and a frame that is seen on any paper."""
        painter = QPainter(self)
        if self._picture.isNull():
            painter.end()
            return
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        side = min(self.width(), self.height())
        left, top = (self.width() - side) / 2, (self.height() - side) / 2
        painter.drawPixmap(QRectF(left, top, side, side), self._picture, QRectF(self._picture.rect()))
        square = side / (2 * AROUND + 1)
        frame = QRectF(left + AROUND * square, top + AROUND * square, square, square)
        for colour, width in ((QColor(255, 255, 255), 6), (QColor(163, 84, 10), 3)):
            painter.setPen(QPen(colour, width))
            painter.drawRect(frame)
        painter.end()


class DoubtsPage(QWidget):
    """Asks for one square at a time; 1 and 2 are the two likeliest answers, 3 is no stitch, 4 another."""

    def __init__(self, book: ReviewBook) -> None:
        super().__init__()
        self._book = book
        self._doubt: int | None = None
        self._most = 0
        self.picture = Neighbourhood()
        self.asked, self.left = QLabel(), QLabel()
        for label in (self.asked, self.left):
            label.setWordWrap(True)
        self.bar = QProgressBar()
        self.bar.setTextVisible(False)
        self.bar.setAccessibleName("Doubts answered")
        self.first = self._button("", "1", self._first)
        self.second = self._button("", "2", self._second)
        self.nothing = self._button(f"3  {NOTHING}", "3", self._nothing)
        self.other = _other(self._another)
        QShortcut(QKeySequence("4"), self).activated.connect(self.other.showPopup)
        self.alike = self._button("", "A", self._all_alike)
        self.later = self._button("L  &Later", "L", self._put_off)
        self.undo_button = self._button("U  &Undo", "U", book.undo)
        for button in (self.first, self.second):
            button.setIconSize(QSize(CHIP, CHIP))
        self._put_off_places: set[tuple[int, int]] = set()
        self._lay_out()
        book.changed.connect(self.refresh)
        self.refresh()

    def _button(self, text: str, key: str, pressed: object) -> QPushButton:
        button = QPushButton(text)
        button.setAutoDefault(False)
        button.setMinimumHeight(44)
        button.setStyleSheet("text-align: left; padding: 4px 10px;")
        button.clicked.connect(pressed)
        QShortcut(QKeySequence(key), self).activated.connect(button.click)
        return button

    def _lay_out(self) -> None:
        side = QVBoxLayout()
        for part in (self.asked, self.first, self.second, self.nothing, self.other, self.alike, self.later):
            side.addWidget(part)
        side.addStretch(1)
        side.addWidget(self.undo_button)
        side.addWidget(self.left)
        side.addWidget(self.bar)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 8, 0, 0)
        grid.setHorizontalSpacing(12)
        grid.addWidget(self.picture, 0, 0)
        grid.addLayout(side, 0, 1)
        grid.setColumnStretch(0, 3)
        grid.setColumnStretch(1, 2)

    # Answers

    def _first(self) -> None:
        chart, doubt = self._book.chart, self._doubt
        if chart is not None and doubt is not None:
            self._answer([doubt], self._own(chart, doubt))

    def _second(self) -> None:
        chart, doubt = self._book.chart, self._doubt
        if chart is not None and doubt is not None and chart.doubts.seconds[doubt] != NO_SECOND:
            self._answer([doubt], int(chart.doubts.seconds[doubt]))

    def _nothing(self) -> None:
        if self._doubt is not None:
            self._answer([self._doubt], 0)

    def _another(self, row: int) -> None:
        """Answer with a pile of the list."""
        number = self.other.itemData(row)
        if self._doubt is not None and number:
            self._answer([self._doubt], number)

    def _all_alike(self) -> None:
        chart, doubt = self._book.chart, self._doubt
        if chart is not None and doubt is not None:
            self._answer(alike(chart, doubt).tolist(), self._own(chart, doubt))

    def _answer(self, doubts: list[int], number: int) -> None:
        if self._book.chart is not None:
            self._book.take(answered(self._book.chart, doubts, number))

    def _put_off(self) -> None:
        """Ask this one again after all others."""
        chart, doubt = self._book.chart, self._doubt
        if chart is not None and doubt is not None:
            self._put_off_places.add(_place(chart, doubt))
            self.refresh()

    def _own(self, chart: Chart, doubt: int) -> int:
        column, row = _place(chart, doubt)
        return int(chart.squares[row, column])

    # What is shown

    def refresh(self) -> None:
        """Ask the next doubt of the chart as it is now."""
        chart = self._book.chart
        left = 0 if chart is None else len(chart.doubts)
        self._most = max(self._most, left) if chart is not None else 0
        self._doubt = None if chart is None else self._next(chart)
        self.left.setText(f"{left:,} square{'' if left == 1 else 's'} left to answer")
        self.bar.setRange(0, max(1, self._most))
        self.bar.setValue(self._most - left)
        self.undo_button.setEnabled(self._book.can_undo)
        for button in (self.first, self.second, self.nothing, self.other, self.alike, self.later):
            button.setVisible(self._doubt is not None)
        if chart is None or self._doubt is None:
            self.asked.setText(NONE_YET if chart is None else ALL_DONE)
            self.picture.show_picture(QPixmap(), "")
            return
        self._show(chart, self._doubt)

    def _list_others(self, chart: Chart, told: set[int], chips: Chips) -> None:
        self.other.clear()
        self.other.addItem("4  Another symbol …", 0)
        for number in piles_of(chart):
            if number not in told:
                icon = QIcon(chips.of(chart.key[number - 1], CHIP * 2))
                self.other.addItem(icon, chart.key[number - 1].name, number)

    def _next(self, chart: Chart) -> int | None:
        if not self._put_off_places:
            return next_doubt(chart)
        places = [_place(chart, at) for at in range(len(chart.doubts))]
        waiting = np.array([place not in self._put_off_places for place in places], np.bool_)
        if not waiting.any():
            self._put_off_places.clear()
            return next_doubt(chart)
        order = np.lexsort((chart.doubts.columns, chart.doubts.rows, -chart.doubts.chances, ~waiting))
        return int(order[0])

    def _show(self, chart: Chart, doubt: int) -> None:
        column, row = _place(chart, doubt)
        own, second = self._own(chart, doubt), int(chart.doubts.seconds[doubt])
        words = f"Column {column + 1:,}, row {row + 1:,}."
        self.asked.setText(
            f"{words} {WHYS.get(Why(int(chart.doubts.whys[doubt])), '')}\nWhat is in the frame?"
        )
        self.picture.show_picture(QPixmap.fromImage(self._book.cut_out(column, row, AROUND)), words)
        chips = self._book.chips
        _name(self.first, "1", chart, own, chips)
        self.second.setVisible(second != NO_SECOND)
        if second != NO_SECOND:
            _name(self.second, "2", chart, second, chips)
        self.nothing.setVisible(0 not in (own, second))
        self._list_others(chart, {own, second}, chips)
        many = len(alike(chart, doubt))
        self.alike.setVisible(many > 1)
        self.alike.setText(f"A  All {many:,} such doubts: {_called(chart, own)}")


def _other(chosen: Callable[[int], None]) -> QComboBox:
    box = QComboBox()
    box.setAccessibleName("Another symbol")
    box.setMinimumHeight(44)
    box.setIconSize(QSize(CHIP // 2, CHIP // 2))
    box.activated.connect(chosen)
    return box


def _place(chart: Chart, doubt: int) -> tuple[int, int]:
    return int(chart.doubts.columns[doubt]), int(chart.doubts.rows[doubt])


def _called(chart: Chart, number: int) -> str:
    return chart.key[number - 1].name if number else NOTHING


def _name(button: QPushButton, key: str, chart: Chart, number: int, chips: Chips) -> None:
    button.setText(f"{key}  {_called(chart, number)}")
    button.setIcon(chips.of(chart.key[number - 1], CHIP * 2) if number else QPixmap())
