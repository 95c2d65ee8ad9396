"""The page about the day of finishing: from her own sittings, at another pace, and by a day she wishes."""

from collections.abc import Callable
from datetime import date

from PySide6.QtCore import QDate
from PySide6.QtWidgets import QDoubleSpinBox, QFormLayout, QVBoxLayout, QWidget

from stitchview.errors import StitchviewError
from stitchview.plan.forecast import by_calendar, by_sittings, demand_of
from stitchview.plan.forecastwords import DONE, dates_words, demand_words
from stitchview.ui.diary.diarybook import DiaryBook
from stitchview.ui.diary.sittingplot import SittingPlot
from stitchview.ui.planning.planpage import day_box, heading, number_box, rule, words_label

USUAL_A_WEEK = 2.0


class ForecastPage(QWidget):
    """Sentences that follow the fields at once, and what came in each sitting as bars."""

    def __init__(self) -> None:
        super().__init__()
        self.book: DiaryBook | None = None
        self.plot = SittingPlot()
        self.as_so_far, self.learnt, self.at_pace, self.by_day = (words_label() for _ in range(4))
        self.rate_words: Callable[[float], str] = _nothing_learnt
        self.a_week: QDoubleSpinBox = number_box((0.1, 70), "Sittings a week")
        self.a_week.setValue(USUAL_A_WEEK)
        self.day = day_box(QDate.currentDate().addMonths(6), "To be done by")
        self._lay_out()
        self.a_week.valueChanged.connect(self._tell)
        self.day.dateChanged.connect(self._tell)

    def show_book(self, book: DiaryBook) -> None:
        """Show another state of the diary."""
        self.book = book
        self.plot.show_book(book)
        self._tell()

    def _lay_out(self) -> None:
        pace, wish = QFormLayout(), QFormLayout()
        pace.addRow("Sittings a &week", self.a_week)
        wish.addRow("&To be done by", self.day)
        outer = QVBoxLayout(self)
        outer.addWidget(heading("If you go on as so far"))
        outer.addWidget(self.as_so_far)
        outer.addWidget(self.learnt)
        outer.addWidget(rule())
        outer.addLayout(pace)
        outer.addWidget(self.at_pace)
        outer.addWidget(rule())
        outer.addLayout(wish)
        outer.addWidget(self.by_day)
        outer.addWidget(heading("Stitches in each sitting, and all together"))
        outer.addWidget(self.plot, 1)

    def _tell(self) -> None:
        book = self.book
        if book is None:
            return
        today, left, sittings = date.today(), book.now.to_go, book.a_sitting()
        learnt = self.rate_words(left)
        self.learnt.setText(learnt)
        self.learnt.setVisible(bool(learnt))
        self.as_so_far.setText(dates_words(by_calendar(book.a_day(today), left, today), left))
        self.at_pace.setText(dates_words(by_sittings(sittings, left, self.a_week.value(), today), left))
        told = self.day.date()
        wanted = date(told.year(), told.month(), told.day())
        try:
            words = (
                demand_words(demand_of(left, wanted, today, self.a_week.value()), wanted) if left else DONE
            )
        except StitchviewError as error:
            words = str(error)
        self.by_day.setText(words)


def _nothing_learnt(_: float) -> str:
    return ""
