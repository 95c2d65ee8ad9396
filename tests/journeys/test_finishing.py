"""A piece is finished one evening; the next piece is planned with what it taught, until that is refused."""

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMessageBox

from stitchview.chart.fileformat import read_chart, write_chart
from stitchview.chart.harbour.making import make_harbour
from stitchview.done.change import DONE
from stitchview.done.shapes import Takes, rectangle
from stitchview.ui.planning.clothpage import ClothPage
from stitchview.ui.planning.finishdialog import FinishDialog
from stitchview.ui.planning.lessonsdialog import LessonsDialog
from stitchview.ui.planning.threadenddialog import ThreadEndDialog
from stitchview.ui.planning.threadpage import ThreadPage
from stitchview.ui.planworks import PlanPlace
from tests.journeys.sofa import Sofa

SAMPLE_SIZE = (21.6, 14.4)


def finished(sofa: Sofa) -> FinishDialog:
    sofa.desk.mark(rectangle(sofa.desk.chart, sofa.desk.chart.area, Takes()), DONE)
    sofa.choose("finish")
    dialog = sofa.window.findChild(FinishDialog)
    assert dialog is not None
    return dialog


def thread_page(sofa: Sofa) -> ThreadPage:
    sofa.works.cloth.plan.open(PlanPlace.THREAD)
    page = sofa.window.findChild(ThreadPage)
    assert page is not None
    return page


def measure(sofa: Sofa, dialog: FinishDialog, share: float) -> None:
    """Measure what the count foretells, times a share."""
    came = dialog.size_told
    assert came is None
    chart, pitch = sofa.desk.chart, sofa.works.cloth.plan.bench.piece.pitch
    dialog.wide.setValue(chart.columns * pitch.across_mm * share / 10)
    dialog.high.setValue(chart.rows * pitch.down_mm * share / 10)
    QTest.mouseClick(dialog.note, Qt.MouseButton.LeftButton)


def test_the_next_piece_is_planned_with_it(sofa: Sofa, harbour: Path, tmp_path: Path) -> None:
    """The Cloth page tells how such cloth came out, and from which piece; refused it tells no more."""
    sofa.sit_down(harbour)
    page = thread_page(sofa)
    QTest.mouseClick(page.ended, Qt.MouseButton.LeftButton)
    asked = page.findChild(ThreadEndDialog)
    assert asked is not None
    asked.skeins.setValue(2.0)
    asked.outcome.setCurrentIndex(2)
    asked.words.setText("cold water only")
    asked.accept()
    sofa.qtbot.waitUntil(lambda: "cold water" in page.facts.words_of("Wash or dye test"), timeout=20_000)
    assert page.facts.words_of("Used in all") == "2 skeins"
    row = sofa.window.panels.keys.model.row_at(0)
    assert "colour runs: cold water only" in row.small_words
    assert "colour runs: cold water only" in row.spoken
    sofa.choose("undo")
    assert not sofa.desk.notes.tests
    sofa.choose("redo")
    assert [each.words for each in sofa.desk.notes.tests] == ["cold water only"]
    measure(sofa, finished(sofa), 0.98)
    title = sofa.desk.chart.title
    assert sofa.get_up()
    other = tmp_path / "cove.svchart"
    cloth = read_chart(harbour).cloth
    write_chart(replace(make_harbour(50, 40, 20, 4), cloth=cloth, title="Cove"), other)
    sofa.sit_down(other)
    sofa.works.cloth.plan.open(PlanPlace.CLOTH)
    plan = sofa.window.findChild(ClothPage)
    assert plan is not None
    assert f"from “{title}”" in plan.facts.words_of("As it came out before")
    QTest.mouseClick(plan.lessons, Qt.MouseButton.LeftButton)
    lessons = plan.findChild(LessonsDialog)
    assert lessons is not None
    assert "% smaller across and " in lessons.list.item(0).text()
    lessons.list.item(0).setCheckState(Qt.CheckState.Unchecked)
    assert "As it came out before" not in plan.facts.text()
    QTest.mouseClick(lessons.forget, Qt.MouseButton.LeftButton)
    assert lessons.list.count() == 0
    lessons.close()


@pytest.mark.parametrize("size", [(0.0, 12.0), (0.3, 0.3), (1999.0, 0.6)])
def test_a_size_that_cannot_be_is_one_sentence(sofa: Sofa, harbour: Path, size: tuple[float, float]) -> None:
    """The sentence is said, and nothing is noted."""
    sofa.sit_down(harbour)
    dialog = finished(sofa)
    dialog.unit.setCurrentIndex(1)
    dialog.wide.setValue(size[0])
    dialog.high.setValue(size[1])
    QTest.mouseClick(dialog.note, Qt.MouseButton.LeftButton)
    said = dialog.findChild(QMessageBox)
    assert said is not None
    assert said.isVisible()
    said.close()
    assert not sofa.desk.notes.finished


def test_a_sheet_that_cannot_be_written_is_one_sentence(sofa: Sofa, harbour: Path) -> None:
    """A folder that is not there, or may not be written, leaves nothing half written."""
    sofa.sit_down(harbour)
    dialog = finished(sofa)
    measure(sofa, dialog, 1.0)
    assert not dialog.write(sofa.folder / "none" / "sheet.pdf")
    said = dialog.findChild(QMessageBox)
    assert said is not None
    said.close()
    assert not (sofa.folder / "none").exists()
    assert QApplication.overrideCursor() is None
    assert dialog.write(sofa.folder / "sheet.pdf")


def test_it_fits_a_small_screen(sofa: Sofa, harbour: Path) -> None:
    """On 1024 x 600 every field can be reached."""
    sofa.start(harbour, (1024, 600))
    dialog = finished(sofa)
    least = dialog.minimumSizeHint()
    assert least.width() <= 1000
    assert least.height() <= 560
    assert dialog.height() <= 560
