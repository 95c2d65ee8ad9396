"""The page of the reading table with the doubts: one square after another, large, answered by one key."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QSize
from PySide6.QtGui import QIcon, QKeySequence, QPixmap, QShortcut, QShowEvent
from PySide6.QtWidgets import (
    QComboBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QProgressBar,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from stitchview.chart.model import Chart
from stitchview.chart.review import NO_SECOND, Why
from stitchview.sheets.correcting import piles_of, places_of
from stitchview.sheets.teaching import companions
from stitchview.ui.chips import Chips
from stitchview.ui.chooser import Chooser
from stitchview.ui.reading.contactsheet import ContactSheet
from stitchview.ui.reading.neighbourhood import AROUND, Neighbourhood
from stitchview.ui.reading.reviewbook import ReviewBook

CHIP = 36
MOST_LIKE = 24
NOTHING = "no stitch"
ALL_DONE = "No square is in doubt. The page “Check” lists what else tells that the chart is as it is printed."
NONE_YET = "There is nothing to ask yet: add pictures on the first page and press “Read the symbols”."
WHYS = {Why.SYMBOL: "Its symbol is not clear.", Why.SHEETS: "Two sheets show it in different ways."}


class DoubtsPage(QWidget):
    """Asks for one square at a time; 1 and 2 are the two likeliest answers, 3 is no stitch, 4 another.

    With A an answer is for all doubtful squares of the pile that are shown side by side.
    """

    def __init__(self, book: ReviewBook) -> None:
        super().__init__()
        self._book = book
        self._doubt: int | None = None
        self._last: tuple[int, int] | None = None
        self._asked: tuple[int, int] | None = None
        self._answered: list[tuple[int, int]] = []
        self._like: NDArray[np.intp] = np.zeros(0, np.intp)
        self._most = 0
        self._shortcuts: list[tuple[QShortcut, str]] = []
        self.picture = Neighbourhood()
        self.asked, self.left = QLabel(), QLabel()
        self.asked.setWordWrap(True)
        self.bar = QProgressBar()
        self.bar.setTextVisible(False)
        self.bar.setAccessibleName("Doubts answered")
        self.first = self._button("", "1", self._first)
        self.second = self._button("", "2", self._second)
        self.nothing = self._button(f"3  {NOTHING}", "3", self._nothing)
        self.other = _other(self._another)
        self._key("4", self.other.showPopup)
        self.alike = self._button("", "A", self._say_answers)
        self.alike.setCheckable(True)
        self.alike.setToolTip("Press on squares below that are another symbol; they are asked about later")
        self.strip = ContactSheet()
        self.strip.setAccessibleName("Doubtful squares of the same pile; pick those that are another symbol")
        self.strip.picks_changed.connect(self._say_answers)
        self.later = self._button("L  Later", "L", self._put_off)
        self.undo_button = self._button("U  Undo", "U", self._undo)
        for button in (self.first, self.second):
            button.setIconSize(QSize(CHIP, CHIP))
        self._put_off_places: set[tuple[int, int]] = set()
        self._lay_out()
        book.changed.connect(self.refresh)
        self.refresh()

    def use_keys(self, single: bool) -> None:
        """Let letters and digits pressed by themselves answer, or only together with Alt."""
        for shortcut, key in self._shortcuts:
            shortcut.setKeys([QKeySequence(f"Alt+{key}"), *([QKeySequence(key)] if single else [])])

    def _button(self, text: str, key: str, pressed: Callable[[], None]) -> QPushButton:
        button = QPushButton(text)
        button.setAutoDefault(False)
        button.setStyleSheet("text-align: left; padding: 1px 8px;")
        # A long name of a thread must not make the window wider than her screen.
        button.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        button.clicked.connect(pressed)
        self._key(key, button.click)
        return button

    def _key(self, key: str, pressed: Callable[[], None]) -> None:
        shortcut = QShortcut(self)
        shortcut.setKeys([QKeySequence(f"Alt+{key}"), QKeySequence(key)])
        shortcut.activated.connect(pressed)
        self._shortcuts.append((shortcut, key))

    def _lay_out(self) -> None:
        side = QVBoxLayout()
        side.addWidget(self.asked)
        answers = QGridLayout()
        for at, part in enumerate((self.first, self.second, self.nothing, self.other)):
            answers.addWidget(part, at // 2, at % 2)
            answers.setColumnStretch(at % 2, 1)
        side.addLayout(answers)
        side.addWidget(self.alike)
        side.addWidget(self.strip, 1)
        foot = QHBoxLayout()
        for part in (self.later, self.undo_button):
            foot.addWidget(part, 1)
        side.addLayout(foot)
        count = QHBoxLayout()
        count.addWidget(self.left)
        count.addWidget(self.bar, 1)
        side.addLayout(count)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 8, 0, 0)
        grid.setHorizontalSpacing(12)
        grid.addWidget(self.picture, 0, 0)
        grid.addLayout(side, 0, 1)
        grid.setColumnStretch(0, 1)
        grid.setColumnStretch(1, 1)

    # Answers

    def _first(self) -> None:
        chart, doubt = self._book.chart, self._doubt
        if chart is not None and doubt is not None:
            self._answer(_own(chart, doubt))

    def _second(self) -> None:
        chart, doubt = self._book.chart, self._doubt
        if chart is not None and doubt is not None and chart.doubts.seconds[doubt] != NO_SECOND:
            self._answer(int(chart.doubts.seconds[doubt]))

    def _nothing(self) -> None:
        if self._doubt is not None:
            self._answer(0)

    def _another(self, row: int) -> None:
        """Answer with a pile of the list."""
        number = self.other.itemData(row)
        if self._doubt is not None and number:
            self._answer(number)

    @property
    def _meant(self) -> NDArray[np.intp]:
        """The doubts that an answer is for: the one in the frame, or all shown together but the picked."""
        chart, doubt = self._book.chart, self._doubt
        if chart is None or doubt is None:
            return np.zeros(0, np.intp)
        if not self.alike.isChecked() or len(self._like) < 2:
            return np.array([doubt], np.intp)
        return self._like[~np.isin(places_of(chart, self._like), self.strip.picked)]

    def _answer(self, number: int) -> None:
        meant = self._meant
        if len(meant) and self._last is not None:
            self._answered.append(self._last)
            self._asked = None
            self._book.answer(meant, number)

    def _undo(self) -> None:
        """Take the last change back, and ask again what was answered by it."""
        self._asked = self._answered.pop() if self._answered else None
        self._book.undo()

    def _put_off(self) -> None:
        """Ask this one again after all others."""
        chart, doubt = self._book.chart, self._doubt
        if chart is not None and doubt is not None:
            self._put_off_places.add(_place(chart, doubt))
            self._asked = None
            self.refresh()

    # What is shown

    def showEvent(self, event: QShowEvent) -> None:
        """Ask what is to be asked now."""
        super().showEvent(event)
        self.refresh()

    def refresh(self) -> None:
        """Ask the next doubt of the chart as it is now."""
        chart = self._book.chart
        left = 0 if chart is None else len(chart.doubts)
        self._most = max(self._most, left) if chart is not None else 0
        if not self.isVisible():
            # What nobody sees is made when the page is turned to.
            return
        self._doubt = None if chart is None else self._next(chart)
        self.left.setText(f"{left:,} square{'' if left == 1 else 's'} left")
        self.bar.setRange(0, max(1, self._most))
        self.bar.setValue(self._most - left)
        self.undo_button.setEnabled(self._book.can_undo)
        answers = self.first, self.second, self.nothing, self.other, self.alike, self.strip, self.later
        for part in answers:
            part.setVisible(self._doubt is not None)
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
        """The doubt asked now, as long as it is one; else the most useful."""
        doubts = chart.doubts
        if self._asked is not None:
            same = np.flatnonzero((doubts.columns == self._asked[0]) & (doubts.rows == self._asked[1]))
            if len(same):
                return int(same[0])
        later = None
        if self._put_off_places:
            off = [_place(chart, at) in self._put_off_places for at in range(len(doubts))]
            later = np.array(off, np.bool_)
            if later.all():
                self._put_off_places.clear()
                later = None
        return self._book.most_useful(self._last, later)

    def _show(self, chart: Chart, doubt: int) -> None:
        column, row = _place(chart, doubt)
        own, second = _own(chart, doubt), int(chart.doubts.seconds[doubt])
        words = f"Column {column + 1:,}, row {row + 1:,}."
        self.asked.setText(
            f"{words} {WHYS.get(Why(int(chart.doubts.whys[doubt])), '')}\nWhat is in the frame?"
        )
        self.picture.show_picture(QPixmap.fromImage(self._book.cut_out(column, row, AROUND)), words)
        self.second.setVisible(second != NO_SECOND)
        self.nothing.setVisible(0 not in (own, second))
        self._list_others(chart, {own, second}, self._book.chips)
        self._show_alike(chart, doubt)
        self._last = self._asked = column, row

    def _show_alike(self, chart: Chart, doubt: int) -> None:
        self._like = companions(chart, self._book.looks, doubt, MOST_LIKE)
        many = len(self._like)
        for part in (self.alike, self.strip):
            part.setVisible(many > 1)
        if many > 1:
            self.strip.show_squares(self._book.pieces, places_of(chart, self._like), chart.columns, many)
        self._say_answers()

    def _say_answers(self) -> None:
        chart, doubt = self._book.chart, self._doubt
        if chart is None or doubt is None:
            return
        meant, second = len(self._meant), int(chart.doubts.seconds[doubt])
        for_all = f"all {meant:,}: " if self.alike.isChecked() and len(self._like) > 1 else ""
        chips = self._book.chips
        _name(self.first, f"1  {for_all}", chart, _own(chart, doubt), chips)
        if second != NO_SECOND:
            _name(self.second, f"2  {for_all}", chart, second, chips)
        self.nothing.setText(f"3  {for_all}{NOTHING}")
        for button in (self.first, self.second, self.nothing):
            button.setEnabled(meant > 0)
        left = len(self._like) - len(self.strip.picked)
        self.alike.setText(f"A  Answer these {left:,} at once")


def _other(chosen: Callable[[int], None]) -> QComboBox:
    box = Chooser()
    box.setAccessibleName("Another symbol")
    box.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
    box.setIconSize(QSize(CHIP // 2, CHIP // 2))
    box.activated.connect(chosen)
    return box


def _place(chart: Chart, doubt: int) -> tuple[int, int]:
    return int(chart.doubts.columns[doubt]), int(chart.doubts.rows[doubt])


def _own(chart: Chart, doubt: int) -> int:
    column, row = _place(chart, doubt)
    return int(chart.squares[row, column])


def _called(chart: Chart, number: int) -> str:
    return chart.key[number - 1].name if number else NOTHING


def _name(button: QPushButton, key: str, chart: Chart, number: int, chips: Chips) -> None:
    button.setText(f"{key}{_called(chart, number)}")
    button.setToolTip(_called(chart, number))
    button.setIcon(chips.of(chart.key[number - 1], CHIP * 2) if number else QPixmap())
