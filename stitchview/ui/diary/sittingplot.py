"""Stitches of each sitting as bars, and all together as a line, drawn by a plotting library made for Qt."""

from collections.abc import Sequence
from itertools import accumulate

import pyqtgraph  # type: ignore[import-untyped]
from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from stitchview.canvas.qtcolours import as_qt
from stitchview.done.sittings import moment
from stitchview.ui.diary.diarybook import DiaryBook
from stitchview.ui.diary.plots import bare_plot, dress
from stitchview.ui.theme import shades_of

BAR_DAYS = 0.6
# So many days are shown at least: a single sitting is a bar among days, not one solid block.
FEWEST_DAYS = 7
DAY_SECONDS = 86_400


class SittingPlot(QWidget):
    """Two plots over the same days; it follows the theme."""

    def __init__(self) -> None:
        super().__init__()
        self._book: DiaryBook | None = None
        self.each, self.all = (
            bare_plot(words, self, {"bottom": pyqtgraph.DateAxisItem()})
            for words in ("a sitting", "all together")
        )
        self.all.setXLink(self.each)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        for plot, words in ((self.each, "a sitting"), (self.all, "all together")):
            plot.setAccessibleName(f"Stitches {words}, over the days")
            outer.addWidget(plot)

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
        shades = shades_of(self.palette())
        for plot in (self.each, self.all):
            dress(plot, shades)
        if self._book is None or not self._book.true:
            return
        days = [moment(self._book.sittings[number].began_ms).timestamp() for number in self._book.true]
        stitches = self._book.a_sitting()
        ink = as_qt(shades.done)
        bars = pyqtgraph.BarGraphItem(
            x=days, height=stitches, width=BAR_DAYS * DAY_SECONDS, brush=ink, pen=ink
        )
        self.each.addItem(bars)
        self.all.plot(
            days,
            list(accumulate(stitches)),
            pen=pyqtgraph.mkPen(ink, width=2),
            symbol="o",
            symbolBrush=ink,
            symbolPen=ink,
            symbolSize=5,
        )
        self.each.setXRange(*shown_between(days), padding=0)
        for plot, most in ((self.each, max(stitches)), (self.all, sum(stitches))):
            plot.setYRange(0, max(1, most))


def shown_between(days: Sequence[float]) -> tuple[float, float]:
    """From when until when is shown, in seconds: all of the days and some room, or the fewest about them."""
    first, last = min(days), max(days)
    spare = max(BAR_DAYS * DAY_SECONDS, (FEWEST_DAYS * DAY_SECONDS - (last - first)) / 2)
    return first - spare, last + spare
