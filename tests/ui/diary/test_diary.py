"""The diary window: its list, its pictures and its words follow the marks, and everything can be saved."""

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from PIL import Image
from PySide6.QtCore import QDate, Qt
from PySide6.QtGui import QFont, QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog, QScrollArea
from pytestqt.qtbot import QtBot

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.change import DONE
from stitchview.done.shapes import Takes, rectangle
from stitchview.plan.clothcount import ClothCount
from stitchview.plan.finishedpieces import FinishedPiece
from stitchview.plan.forecastwords import DONE as ALL_DONE
from stitchview.plan.forecastwords import TOO_LITTLE
from stitchview.plan.lessons import Lessons
from stitchview.plan.lessonwords import rate_words
from stitchview.ui.diary.diarywindow import SIZE
from stitchview.ui.diary.newpage import NOTHING_YET

if TYPE_CHECKING:
    from tests.ui.diary.conftest import Evenings


def test_every_evening_is_a_line_and_the_last_one_is_chosen(evenings: Callable[[int], "Evenings"]) -> None:
    """The latest stands first; choosing an earlier one tells and shows more."""
    made = evenings(5)
    new = made.diary.new
    assert new.sittings.count() == 5
    assert new.sittings.currentRow() == 0
    assert "1 sitting, 4 min at work" in new.words.text()
    first = new.picture.pixmap().toImage()
    new.sittings.setFocus()
    QTest.keyClick(new.sittings, Qt.Key.Key_End)
    made.settle()
    assert "5 sittings" in new.words.text()
    assert new.picture.pixmap().toImage() != first


def test_a_day_and_the_beginning_can_be_asked_for(evenings: Callable[[int], "Evenings"]) -> None:
    """Since a day by the calendar, and all that was ever stitched."""
    made = evenings(4)
    new = made.diary.new
    QTest.mouseClick(new.everything, Qt.MouseButton.LeftButton)
    made.settle()
    assert "4 sittings" in new.words.text()
    new.day.setDate(QDate.currentDate().addDays(-5))
    QTest.mouseClick(new.since_day, Qt.MouseButton.LeftButton)
    made.settle()
    assert "2 sittings" in new.words.text()
    QTest.mouseClick(new.copy, Qt.MouseButton.LeftButton)
    assert QGuiApplication.clipboard().text() == new.words.text()


def test_new_marks_come_in_by_themselves(evenings: Callable[[int], "Evenings"], qtbot: QtBot) -> None:
    """Marked beside the open diary, the new sitting is there a moment later."""
    made = evenings(2)
    made.desk.mark(rectangle(made.chart, Area(0, 8, 12, 2), Takes()), DONE)
    made.diary.changed()
    qtbot.waitUntil(lambda: made.diary.new.sittings.count() == 3, timeout=20_000)


@pytest.mark.parametrize(("button", "ending"), [("save", "png"), ("print", "png"), ("grow", "webp")])
def test_pictures_are_saved(
    evenings: Callable[[int], "Evenings"], tmp_path: Path, button: str, ending: str
) -> None:
    """Each button asks for a place and writes there; Pillow reads it, the moving one in three pictures."""
    made = evenings(3)
    new = made.diary.new
    QTest.mouseClick(getattr(new, button), Qt.MouseButton.LeftButton)
    (asked,) = new.findChildren(QFileDialog)
    assert asked.defaultSuffix() == ending
    path = tmp_path / f"shown.{ending}"
    asked.fileSelected.emit(str(path))
    asked.reject()
    made.settle()
    with Image.open(path) as found:
        assert found.width * 10 == pytest.approx(found.height * 12, rel=0.2)
        assert getattr(found, "n_frames", 1) == (3 if button == "grow" else 1)


def test_few_evenings_foretell_nothing(evenings: Callable[[int], "Evenings"]) -> None:
    """With two sittings no day is told, at whatever pace."""
    forecast = evenings(2).diary.forecast
    assert forecast.as_so_far.text() == TOO_LITTLE
    assert forecast.at_pace.text() == TOO_LITTLE
    assert "stitches a week" in forecast.by_day.text()
    assert forecast.learnt.isHidden()


def test_the_rate_of_a_finished_piece_foretells_hours(evenings: Callable[[int], "Evenings"]) -> None:
    """With too few evenings for a day, hours can be told, with the piece they were learnt from."""
    diary = evenings(2).diary
    count = ClothCount()
    lessons = Lessons((FinishedPiece("h", "Harbour", "2026-11-25", count, stitches=6_000, hours=30),))
    book = diary.forecast.book
    assert book is not None
    diary.forecast.rate_words = partial(rate_words, count=count, lessons=lessons)
    diary.forecast.show_book(book)
    hours = book.now.to_go / 200
    told = f"{hours:,.0f} hours" if hours >= 10 else f"{hours:.1f} hours"
    assert diary.forecast.learnt.text().startswith(f"What is left takes about {told} at 200 stitches an hour")
    assert "from “Harbour”" in diary.forecast.learnt.text()


def test_the_forecast_follows_its_fields(evenings: Callable[[int], "Evenings"]) -> None:
    """A range of days; another pace and another day are answered at once, a day gone by in a sentence."""
    forecast = evenings(6).diary.forecast
    assert forecast.as_so_far.text().startswith(("Between", "Not before"))
    slow = forecast.at_pace.text()
    forecast.a_week.setValue(7)
    assert forecast.at_pace.text() != slow
    forecast.day.setDate(QDate.currentDate().addDays(-1))
    assert "is not to come" in forecast.by_day.text()
    assert len(forecast.plot.each.getPlotItem().items) == 1


@pytest.mark.parametrize("sittings", [1, 2, 6])
def test_sittings_stand_as_bars_among_days(evenings: Callable[[int], "Evenings"], sittings: int) -> None:
    """A single sitting is a bar with days about it, not one solid block; the ground of all is nothing."""
    diary = evenings(sittings).diary
    assert diary.new.book is not None
    stitches, plot = diary.new.book.a_sitting(), diary.forecast.plot
    (first, last), (ground, top) = plot.each.viewRange()
    assert (last - first) / 86_400 >= max(7, 2 * sittings - 2)
    assert ground <= 0
    assert top >= max(stitches)
    shown = plot.all.viewRange()
    assert shown[0] == [first, last]
    assert shown[1][1] >= sum(stitches)


def test_a_chart_never_stitched_says_so(evenings: Callable[[int], "Evenings"]) -> None:
    """No line, no buttons to press, one sentence; the forecast is honest too."""
    diary = evenings(0).diary
    assert diary.new.words.text() == NOTHING_YET
    assert not diary.new.grow.isEnabled()
    assert diary.forecast.as_so_far.text() == TOO_LITTLE


def test_a_finished_piece_needs_no_forecast(
    evenings: Callable[[int], "Evenings"], small_chart: Callable[[], Chart]
) -> None:
    """When nothing is left, that is what is said."""
    made = evenings(3)
    made.desk.mark(rectangle(made.chart, made.chart.area, Takes()), DONE)
    made.diary.refresh()
    made.settle()
    if made.desk.tally.total().left == 0:
        assert made.diary.forecast.as_so_far.text() == ALL_DONE


def test_the_diary_fits_a_small_screen(qapp: QApplication, evenings: Callable[[int], "Evenings"]) -> None:
    """With letters 1.6 times as large the diary can be made as small as a screen of 1024 x 600 pixels."""
    before = qapp.font()
    font = QFont(before)
    font.setPointSizeF(font.pointSizeF() * 1.6)
    qapp.setFont(font)
    try:
        small = evenings(2).diary.minimumSizeHint()
    finally:
        qapp.setFont(before)
    assert small.width() <= 1008
    assert small.height() <= 552


def test_all_of_the_diary_is_seen_at_its_usual_size(
    qapp: QApplication, evenings: Callable[[int], "Evenings"]
) -> None:
    """Its pages need not be scrolled with letters as usual; the bars take the room there is."""
    diary = evenings(2).diary
    diary.resize(SIZE)
    for number in range(diary.tabs.count()):
        diary.tabs.setCurrentIndex(number)
        qapp.processEvents()
        page = diary.tabs.currentWidget()
        assert isinstance(page, QScrollArea)
        assert page.verticalScrollBar().maximum() == 0
