"""The page that shows how the work went: stitches by weekday, by week and by thread, as bars."""

from collections.abc import Sequence
from datetime import date

import pyqtgraph  # type: ignore[import-untyped]
from PySide6.QtCore import QEvent
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from stitchview.canvas.qtcolours import as_qt
from stitchview.done.counts import in_halves
from stitchview.plan.pace import DAYS, by_week, by_weekday, most_threads
from stitchview.ui.diary.diarybook import DiaryBook
from stitchview.ui.diary.plots import bare_plot, dress
from stitchview.ui.planning.planpage import words_label
from stitchview.ui.theme import shades_of

MOST_THREADS, MOST_NAMES = 30, 14
WEEKDAYS, WEEKS, THREADS = "By weekday", "By week", "By thread"
NOTHING = "There is nothing to show yet."


class PacePage(QWidget):
    """One plot at a time, with a sentence that says the same in words."""

    def __init__(self) -> None:
        super().__init__()
        self._book: DiaryBook | None = None
        self.which = QComboBox()
        self.which.addItems([WEEKDAYS, WEEKS, THREADS])
        self.told = words_label()
        self.plot = bare_plot("Stitches", self)
        label, top = QLabel("&Show stitches"), QHBoxLayout()
        label.setBuddy(self.which)
        for part in (label, self.which):
            top.addWidget(part)
        top.addStretch(1)
        outer = QVBoxLayout(self)
        outer.addLayout(top)
        outer.addWidget(self.plot, 1)
        outer.addWidget(self.told)
        self.which.currentIndexChanged.connect(self._draw)

    def show_book(self, book: DiaryBook) -> None:
        """Show another state of the diary."""
        self._book = book
        self._draw()

    def changeEvent(self, event: QEvent) -> None:
        """Follow the theme."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self._draw()

    def _draw(self) -> None:
        dress(self.plot, shades_of(self.palette()))
        if self._book is None or not self._book.true:
            self.told.setText(NOTHING)
            return
        shown = self.which.currentText()
        self.plot.setAccessibleName(f"Stitches, {shown.lower()}")
        if shown == WEEKDAYS:
            self._weekdays(self._book.dayed())
        elif shown == WEEKS:
            self._weeks(self._book.dayed())
        else:
            self._threads(self._book)

    def _bars(self, heights: Sequence[float], names: Sequence[str], brushes: Sequence[QColor]) -> None:
        shades = shades_of(self.palette())
        places = list(range(len(heights)))
        self.plot.addItem(
            pyqtgraph.BarGraphItem(
                x=places, height=list(heights), width=0.7, brushes=list(brushes), pen=as_qt(shades.edge)
            )
        )
        step = -(-len(names) // MOST_NAMES)
        ticks = [(at, name) for at, name in enumerate(names) if at % step == 0]
        self.plot.getAxis("bottom").setTicks([ticks])
        self.plot.autoRange()

    def _weekdays(self, dayed: Sequence[tuple[date, float]]) -> None:
        days = by_weekday(dayed)
        ink = as_qt(shades_of(self.palette()).done)
        self._bars([each.stitches for each in days], DAYS, [ink] * len(DAYS))
        told = [
            f"{name} {in_halves(each.stitches)} in {each.sittings} (about {each.mean:,.0f} each)"
            for name, each in zip(DAYS, days, strict=True)
            if each.sittings
        ]
        self.told.setText("Stitches, and sittings: " + ", ".join(told) + ".")

    def _weeks(self, dayed: Sequence[tuple[date, float]]) -> None:
        weeks = by_week(dayed)
        ink = as_qt(shades_of(self.palette()).done)
        self._bars([count for _, _, count in weeks], [name for name, _, _ in weeks], [ink] * len(weeks))
        name, _, best = max(weeks, key=lambda week: week[2])
        mean = sum(count for _, _, count in weeks) / len(weeks)
        self.told.setText(
            f"{len(weeks)} weeks, about {mean:,.0f} stitches each; most in {name}: {in_halves(best)}."
        )

    def _threads(self, book: DiaryBook) -> None:
        key, worked = book.diary.chart.key, book.worked[book.true].sum(axis=0)
        most = most_threads(worked, MOST_THREADS)
        names = [key[number - 1].number or key[number - 1].code for number, _ in most]
        self._bars([count for _, count in most], names, [as_qt(key[number - 1].colour) for number, _ in most])
        told = [f"{key[number - 1].name} ({in_halves(count)})" for number, count in most[:5]]
        self.told.setText("Most of " + ", ".join(told) + "." if told else NOTHING)
