"""One who sits at the reading table with the paper before her, and answers by real keys and presses."""

from collections import Counter
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from stitchview.chart.model import Chart
from stitchview.sheets.correcting import piles_of
from stitchview.ui.reading.pilelist import NUMBER
from stitchview.ui.reading.readingwindow import ReadingWindow

LEFT = Qt.MouseButton.LeftButton
MOST_ANSWERS = 5000
BLANK = "no stitch"


@dataclass
class Reader:
    """Knows what is printed: `truth` (rows, columns), where `blank` means an empty square.

    `answers` counts what she has decided: piles named or joined, odd squares picked, doubts answered.
    """

    table: ReadingWindow
    truth: NDArray[np.int32]
    blank: int = 0
    answers: Counter[str] = field(default_factory=Counter)

    @property
    def chart(self) -> Chart:
        """The chart as it stands on the table."""
        assert self.table.book.chart is not None
        return self.table.book.chart

    def called(self, sign: int) -> str:
        """What she calls the thread of a printed sign."""
        return BLANK if sign == self.blank else f"Sample cotton {sign}, shade {sign}"

    def sign_of(self, number: int) -> int:
        """The sign that most squares of a pile show, which she sees at a glance."""
        return int(np.bincount(self.truth[self.chart.squares == number]).argmax())

    def turn(self, page: int) -> None:
        """Turn to a page by its key."""
        QTest.keySequence(self.table, QKeySequence(f"Ctrl+{page}"))
        QApplication.processEvents()
        assert self.table.tabs.currentIndex() == page - 1

    def name_piles(self) -> None:
        """Name every pile by typing; one whose sign has a name already is joined to that."""
        self.turn(2)
        seen: set[str] = set()
        while (number := self._unnamed(seen)) is not None:
            self._choose(number)
            name = self.called(self.sign_of(number))
            if name == BLANK or name in self._names():
                self._join(name)
            else:
                self._type(name)
                seen.add(name)

    def answer_doubts(self, together: bool = False) -> None:
        """Answer until nothing is asked any more, all that are shown at once where that is wished for."""
        self.turn(3)
        doubts = self.table.doubts
        if together:
            QTest.keyClick(self.table, Qt.Key.Key_A)
        while len(self.chart.doubts) and sum(self.answers.values()) < MOST_ANSWERS:
            wanted = self._wanted()
            if together:
                self._press_the_odd(wanted)
            self.answers["doubts"] += 1
            for button, key in (
                (doubts.first, Qt.Key.Key_1),
                (doubts.second, Qt.Key.Key_2),
                (doubts.nothing, Qt.Key.Key_3),
            ):
                if not button.isHidden() and button.text().endswith(wanted):
                    QTest.keyClick(self.table, key)
                    break
            else:
                self._choose_other(wanted)

    def compare_size(self) -> None:
        """Type the last numbers of the paper on the page with the check list."""
        self.turn(4)
        rows, columns = self.truth.shape
        for field_, value in ((self.table.check.columns, columns), (self.table.check.rows, rows)):
            field_.setFocus()
            field_.selectAll()
            QTest.keyClicks(field_, str(value))

    def right_share(self) -> float:
        """The share of squares whose entry has the name of what is printed there."""
        return right_share(self.chart, self)

    # Piles

    def _names(self) -> set[str]:
        return {entry.name for entry in self.chart.key}

    def _unnamed(self, seen: set[str]) -> int | None:
        key = self.chart.key
        return next(
            (number for number in piles_of(self.chart) if key[number - 1].name not in seen),
            None,
        )

    def _choose(self, number: int) -> None:
        piles = self.table.piles.list
        row = next(at for at in range(piles.count()) if piles.item(at).data(NUMBER) == number)
        piles.scrollToItem(piles.item(row))
        QTest.mouseClick(piles.viewport(), LEFT, pos=piles.visualItemRect(piles.item(row)).center())

    def _type(self, name: str) -> None:
        form = self.table.piles.form
        form.name.setFocus()
        form.name.selectAll()
        QTest.keyClicks(form.name, name)
        QTest.keyClick(form.name, Qt.Key.Key_Return)
        self.answers["piles"] += 1

    def _join(self, name: str) -> None:
        piles = self.table.piles
        piles.into.setCurrentIndex(piles.into.findText(name))
        QTest.mouseClick(piles.merge_button, LEFT)
        self.answers["piles"] += 1

    # Doubts

    def _wanted(self) -> str:
        told = self.table.doubts.picture.accessibleName().strip(".").replace(",", "").split()
        return self.called(int(self.truth[int(told[3]) - 1, int(told[1]) - 1]))

    def _press_the_odd(self, wanted: str) -> None:
        strip = self.table.doubts.strip
        if strip.isHidden():
            return
        for at in range(strip.count):
            row, column = divmod(strip.place(at), self.chart.columns)
            if self.called(int(self.truth[row, column])) != wanted:
                strip.verticalScrollBar().setValue(strip.verticalScrollBar().value() + strip.place_of(at).y())
                QTest.mouseClick(strip.viewport(), LEFT, pos=strip.place_of(at).center())
                self.answers["odd ones"] += 1

    def _choose_other(self, wanted: str) -> None:
        """Choose from the list; a sign that no pile has is left as it is."""
        other = self.table.doubts.other
        row = other.findText(wanted)
        if row < 0:
            QTest.keyClick(self.table, Qt.Key.Key_1)
            return
        QTest.keyClick(self.table, Qt.Key.Key_4)
        other.view().setCurrentIndex(other.model().index(row, 0))
        QTest.keyClick(other.view(), Qt.Key.Key_Return)


def right_share(chart: Chart, reader: Reader) -> float:
    """The share of squares whose entry has the name of what is printed there."""
    names = np.array([BLANK, *(entry.name for entry in chart.key)])
    true = np.array([reader.called(sign) for sign in range(int(reader.truth.max()) + 1)])
    return float((names[chart.squares] == true[reader.truth]).mean())
