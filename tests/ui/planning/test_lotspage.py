"""The page about dye lots: what is told is kept with the piece, seen, and taken off again."""

from collections.abc import Callable
from datetime import UTC, datetime

import numpy as np
from PySide6.QtCore import QDate, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel

from stitchview.chart.model import Chart
from stitchview.done.skeinnotes import GOT, LEFT, SkeinNote
from stitchview.ui.planning.lotspage import LotsPage
from stitchview.ui.planworks import PlanPlace
from tests.ui.planning.conftest import Plan, PlanOn


def lots_page(plan: Plan) -> LotsPage:
    """The page, as it comes up."""
    plan.window.turn_to(list(PlanPlace).index(PlanPlace.LOTS))
    page = plan.window.tabs.currentWidget()
    assert isinstance(page, LotsPage)
    return page


def test_a_lot_is_told_by_days(plan: Plan) -> None:
    """Both days whole, whichever way round they are given; the words name them."""
    page = lots_page(plan)
    page.lot.setText("  B  7 ")
    page.first.setDate(QDate(2026, 3, 5))
    page.last.setDate(QDate(2026, 3, 3))
    QTest.mouseClick(page.in_days, Qt.MouseButton.LeftButton)
    (note,) = plan.desk.notes.lot_times
    assert note.lot == "B 7"
    began = datetime.fromtimestamp(note.since / 1000, UTC).astimezone()
    ended = datetime.fromtimestamp(note.until / 1000, UTC).astimezone()
    assert (began.day, began.hour, ended.day, ended.hour) == (3, 0, 6, 0)
    assert page.list.item(0).text() == "Lot B 7: stitched 3 March 2026 to 5 March 2026"


def test_without_a_band_no_area_can_be_told(plan: Plan) -> None:
    """The button says what to do first."""
    page = lots_page(plan)
    assert not page.in_band.isEnabled()
    assert "Lay a band" in page.in_band.toolTip()
    assert "Nothing is told" in page.told.text()


def test_what_was_told_of_one_thread_is_not_told_of_another(plan: Plan) -> None:
    """The list follows the thread that is chosen; undo brings back what was taken off."""
    plan.bench.band.over_rows()
    page = lots_page(plan)
    page.lot.setText("A1")
    QTest.mouseClick(page.in_band, Qt.MouseButton.LeftButton)
    page.threads.setCurrentIndex(1)
    assert page.list.count() == 0
    page.threads.setCurrentIndex(0)
    assert page.list.item(0).text().startswith("Lot A1: columns 1 to 12, rows ")
    QTest.mouseClick(page.off, Qt.MouseButton.LeftButton)
    assert plan.desk.notes.lot_areas == ()
    plan.desk.undo()
    page.refresh()
    assert page.list.count() == 1


def test_lots_of_noted_skeins_are_named(plan: Plan, small: Chart) -> None:
    """What she got of which lot stands beside."""
    entry = small.key[0]
    plan.desk.note(plan.desk.notes.putting(SkeinNote("id-1", entry.name, entry.number, GOT, 2, "C3")))
    page = lots_page(plan)
    page.refresh()
    assert "Lots you noted skeins of: C3 (got 2 skeins)." in page.told.text()


def test_a_chart_without_threads_has_no_lots(plan_on: PlanOn) -> None:
    """It says so, and offers nothing."""
    page = lots_page(plan_on(Chart(np.zeros((3, 3), np.uint16), ())))
    assert "no threads" in page.told.text()
    assert not page.in_days.isEnabled()


def test_where_to_change_lots_is_told_and_shown(plan_on: PlanOn, random_chart: Callable[..., Chart]) -> None:
    """With a tenth of a skein left, the patches for the next lot are rimmed on the chart."""
    plan = plan_on(random_chart(60, 50, 3, 5))
    page = lots_page(plan)
    assert "how many skeins you have" in page.change.text()
    assert not page.next_lot.isEnabled()
    entry = plan.desk.chart.key[0]
    plan.desk.note(plan.desk.notes.putting(SkeinNote("id-1", entry.name, entry.number, LEFT, 0.05)))
    plan.window.pages[2].refresh()
    assert "with the next lot" in page.change.text() or "take turns" in page.change.text()
    QTest.mouseClick(page.next_lot, Qt.MouseButton.LeftButton)
    rims = plan.bench.canvas.showing.signs.found
    assert rims
    inside = plan.desk.chart.squares[rims[0].slices()]
    assert (inside == 1).any()
    plan.desk.note(plan.desk.notes.putting(SkeinNote("id-2", entry.name, entry.number, LEFT, 900)))
    page.refresh()
    assert "one lot for all of it" in page.change.text()
    assert not page.next_lot.isEnabled()


def test_no_letter_of_a_fields_words_is_cut_off(plan: Plan) -> None:
    """“To” is wide enough for a whole o beside an underlined T, between which nothing is drawn closer."""
    page = lots_page(plan)
    plan.window.show()
    (to,) = (label for label in page.findChildren(QLabel) if label.text() == "&To")
    metrics = to.fontMetrics()
    assert to.contentsRect().width() >= metrics.horizontalAdvance("T") + metrics.horizontalAdvance("o")
