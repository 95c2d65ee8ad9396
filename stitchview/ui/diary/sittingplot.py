"""Stitches of each sitting as bars, and all together as a line, drawn by a plotting library made for Qt."""

from itertools import accumulate

import pyqtgraph  # type: ignore[import-untyped]
from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from stitchview.canvas.qtcolours import as_qt
from stitchview.done.sittings import moment
from stitchview.ui.diary.diarybook import DiaryBook
from stitchview.ui.theme import shades_of

BAR_DAYS = 0.6
DAY_SECONDS = 86_400


class SittingPlot(QWidget):
    """Two plots over the same days; it follows the theme."""

    def __init__(self) -> None:
        super().__init__()
        self._book: DiaryBook | None = None
        axes = [{"bottom": pyqtgraph.DateAxisItem()} for _ in range(2)]
        self.each, self.all = (pyqtgraph.PlotWidget(axisItems=axis) for axis in axes)
        self.all.setXLink(self.each)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        for plot, words in ((self.each, "a sitting"), (self.all, "all together")):
            plot.setLabel("left", words)
            plot.setMouseEnabled(x=True, y=False)
            plot.hideButtons()
            plot.setMenuEnabled(False)
            # Its menu would be a window of its own, and outlive this one.
            menu = plot.getPlotItem().ctrlMenu
            menu.setParent(self, menu.windowFlags())
            plot.setMinimumHeight(90)
            # It takes the room there is, and asks for none beyond it.
            plot.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
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
            plot.clear()
            plot.setBackground(as_qt(shades.base))
            for side in ("left", "bottom"):
                axis = plot.getAxis(side)
                axis.setPen(as_qt(shades.edge))
                axis.setTextPen(as_qt(shades.text))
        if self._book is None or not self._book.sittings:
            return
        days = [moment(each.began_ms).timestamp() for each in self._book.sittings]
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
