"""The page about thread: what is noted of skeins is kept, learnt from, and can be taken off."""

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest

from stitchview.chart.model import Chart
from stitchview.done.change import DONE, Selection
from stitchview.done.skeinnotes import FINISHED, GOT, LEFT
from stitchview.plan.reserve import Reserve
from stitchview.plan.skeins import Skein
from stitchview.ui.habitsdialog import HabitsDialog
from stitchview.ui.planning.reservedialog import BY_KEY, ReserveDialog
from stitchview.ui.planning.skeindialog import SkeinDialog
from stitchview.ui.planning.threadpage import ThreadPage
from stitchview.ui.planworks import PlanPlace
from tests.ui.planning.conftest import Plan, PlanOn


def thread_page(plan: Plan) -> ThreadPage:
    """The page, as it comes up, with its first thread chosen."""
    plan.window.turn_to(list(PlanPlace).index(PlanPlace.THREAD))
    page = plan.window.tabs.currentWidget()
    assert isinstance(page, ThreadPage)
    page.rows.choose(0)
    return page


def note(plan: Plan, event: str, amount: float, lot: str = "") -> None:
    """Note something by the form, as by hand, and let the page follow."""
    page = thread_page(plan)
    page.skeins.what.setCurrentIndex(page.skeins.what.findData(event))
    page.skeins.amount.setValue(amount)
    page.skeins.lot.setText(lot)
    QTest.mouseClick(page.skeins.note, Qt.MouseButton.LeftButton)
    plan.window.changed()
    page.refresh()


def test_what_is_noted_is_kept_and_taken_off(plan: Plan) -> None:
    """With its lot, as a note of the piece; the list shows it, and undo takes it back too."""
    note(plan, GOT, 3, "A12")
    page = thread_page(plan)
    assert [(each.event, each.skeins, each.lot) for each in plan.desk.notes.skeins] == [(GOT, 3, "A12")]
    assert page.skeins.noted.item(0).text().endswith("got 3 skeins, lot A12")
    assert "enough for what is left" in page.facts.words_of("You have")
    QTest.mouseClick(page.skeins.off, Qt.MouseButton.LeftButton)
    assert plan.desk.notes.skeins == ()
    plan.desk.undo()
    assert len(plan.desk.notes.skeins) == 1


def test_too_little_left_is_warned_of(plan: Plan) -> None:
    """In the table, above it, and beside the thread."""
    note(plan, LEFT, 0)
    page = thread_page(plan)
    need = page.model.row_at(0)
    assert need is not None
    assert page.warning.isVisible()
    assert f"{need.name} will run short" in page.warning.text()
    last = page.model.index(0, page.model.columnCount() - 1)
    assert page.model.data(last, Qt.ItemDataRole.DisplayRole) == "buy 1"
    assert "will run short" in page.facts.words_of("You have")


def test_skeins_used_up_make_the_span_narrower(plan_on: PlanOn, small: Chart) -> None:
    """After a skein for what geometry gives it, less may happen than before."""
    squares = np.ones((120, 120), np.uint16)
    plan = plan_on(Chart(squares, small.key[:1]))
    page = thread_page(plan)
    before = page.model.row_at(0)
    assert before is not None
    note(plan, GOT, 9)
    plan.desk.mark(Selection(squares=np.arange(7000)), DONE)
    plan.window.changed()
    note(plan, FINISHED, 3)
    after = page.model.row_at(0)
    assert after is not None
    assert after.usage.stretches == 1
    assert "(1 note)" in page.facts.words_of("Your use")
    spread = [each.all.skeins.high / each.all.skeins.low for each in (before, after)]
    assert spread[1] < spread[0]


def test_what_is_left_can_be_weighed(plan: Plan) -> None:
    """Once the weight of a full skein is told; 3 g of 12 are a quarter."""
    page = thread_page(plan)
    assert not page.skeins.unit.isEnabled()
    QTest.mouseClick(page.one, Qt.MouseButton.LeftButton)
    dialog = page.findChild(SkeinDialog)
    assert dialog is not None
    dialog.length.setValue(10)
    dialog.grams.setValue(12)
    dialog.accept()
    plan.window.changed()
    page.refresh()
    need = page.model.row_at(0)
    assert need is not None
    assert need.skein == Skein(10, 6, 12)
    page.skeins.what.setCurrentIndex(page.skeins.what.findData(LEFT))
    assert page.skeins.unit.isEnabled()
    page.skeins.unit.setCurrentText("grams")
    page.skeins.amount.setValue(3)
    QTest.mouseClick(page.skeins.note, Qt.MouseButton.LeftButton)
    assert plan.desk.notes.skeins[0].skeins == pytest.approx(0.25)


def test_strands_and_reserve_are_hers(plan: Plan) -> None:
    """Twice the strands take twice the thread; a larger reserve has more bought; both stay with the piece."""
    page = thread_page(plan)
    before = page.model.row_at(0)
    assert before is not None
    QTest.mouseClick(page.reserve, Qt.MouseButton.LeftButton)
    dialog = page.findChild(ReserveDialog)
    assert dialog is not None
    assert dialog.strands.text() == BY_KEY
    assert dialog.reserve == Reserve()
    strands = plan.desk.chart.key[0].cross_strands
    dialog.strands.setValue(3 * strands)
    dialog.back_strands.setValue(3 * plan.desk.chart.key[0].back_strands)
    dialog.shares[before.thread.kind].setValue(300)
    dialog.accept()
    after = page.model.row_at(0)
    assert after is not None
    assert after.all.reckoned_mm == pytest.approx(3 * before.all.reckoned_mm)
    assert after.margin == 3
    assert after.buy * after.skein.strand_mm >= 4 * after.all.reckoned_mm
    assert plan.bench.piece.piece.reserve == dialog.reserve
    assert dict(dialog.reserve.shares) == {before.thread.kind: 3.0}


def test_other_habits_are_one_truth_for_plan_and_needleful(plan: Plan) -> None:
    """Each cross completed at once takes more thread: 5.24 for 4.83 in a long run (checks.md, 2.1)."""
    page = thread_page(plan)
    before = page.model.row_at(0)
    QTest.mouseClick(page.habits, Qt.MouseButton.LeftButton)
    dialog = page.findChild(HabitsDialog)
    assert dialog is not None
    dialog.at_once.setChecked(True)
    dialog.accept()
    after = page.model.row_at(0)
    assert before is not None
    assert after is not None
    assert after.all.reckoned_mm > before.all.reckoned_mm
    assert plan.bench.piece.habits.at_once
    assert "each cross completed" in page.told.text()


def test_what_to_buy_is_copied(plan: Plan) -> None:
    """A line for each thread, to take to the shop."""
    page = thread_page(plan)
    QTest.mouseClick(page.buy, Qt.MouseButton.LeftButton)
    lines = QGuiApplication.clipboard().text().splitlines()
    assert len(lines) <= page.model.rowCount()
    assert all("skein" in line or "bead" in line for line in lines)
    assert lines


def test_a_chart_without_threads_says_so(plan_on: PlanOn) -> None:
    """Nothing to choose, nothing to note, on no page a fault."""
    plan = plan_on(Chart(np.zeros((4, 4), np.uint16), ()))
    for number in range(len(plan.window.pages)):
        plan.window.turn_to(number)
    page = thread_page(plan)
    assert "no threads" in page.told.text()
    assert not page.skeins.isVisible()


def test_the_table_is_sorted_by_its_headings(plan: Plan) -> None:
    """By what is left, the most first; by name as the key has them."""
    page = thread_page(plan)
    page.rows.sortByColumn(1, Qt.SortOrder.DescendingOrder)
    shown = page.rows.model()
    counts = [page.model.row_at(page.rows.source_row(row)) for row in range(shown.rowCount())]
    left = [need.left.stitches for need in counts if need is not None]
    assert left == sorted(left, reverse=True)
    page.rows.sortByColumn(0, Qt.SortOrder.AscendingOrder)
    assert [page.rows.source_row(row) for row in range(shown.rowCount())] == list(range(shown.rowCount()))
