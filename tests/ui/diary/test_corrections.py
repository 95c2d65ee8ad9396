"""Sittings corrected by hand in the diary, pins in time, frames, pictures and plots."""

import threading
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PIL import Image
from PySide6.QtCore import QDate, QEvent, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog, QLabel, QMessageBox, QWidget

from stitchview.chart.area import Area
from stitchview.done.change import DONE
from stitchview.done.ids import now_ms
from stitchview.done.shapes import Takes, rectangle

if TYPE_CHECKING:
    from tests.ui.diary.conftest import Evenings


def click(button: QWidget) -> None:
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)


def test_a_sitting_is_corrected_and_the_correction_undone(evenings: Callable[[int], "Evenings"]) -> None:
    """Minutes and a note by hand; kept for next time; Undo takes the last one back, then it is as it was."""
    made = evenings(3)
    page = made.diary.sittings
    made.diary.tabs.setCurrentIndex(1)
    before = page.list.item(0).text()
    assert "4 min" in before
    assert "Threads: " in page.told.text()
    assert not page.undo.isEnabled()
    page.minutes.setValue(95)
    page.note.setPlainText("The sky, by lamplight")
    click(page.keep)
    made.settle()
    assert "1 h 35 min" in page.list.item(0).text()
    assert page.note.toPlainText() == "The sky, by lamplight"
    assert "1 h 35 min" in made.diary.new.sittings.item(0).text()
    click(page.undo)
    made.settle()
    assert page.list.item(0).text() == before
    assert not page.undo.isEnabled()
    assert made.desk.notes.sitting_words == ()


def test_what_was_marked_since_is_not_undone_from_the_diary(evenings: Callable[[int], "Evenings"]) -> None:
    """Undo in the diary takes back corrections only, never stitches made after them."""
    made = evenings(2)
    page = made.diary.sittings
    page.struck.setChecked(True)
    click(page.keep)
    made.settle()
    assert "no sitting" in page.list.item(0).text()
    done = made.desk.mark(rectangle(made.chart, Area(0, 8, 12, 2), Takes()), DONE)
    assert done is not None
    made.diary.refresh()
    made.settle()
    assert not page.undo.isEnabled()
    made.diary.undo_correction()
    assert made.desk.notes.sitting_words != ()
    # Marking what was struck out before did not bring the correction into the list of sittings.
    assert page.list.count() == 3


def test_sittings_are_joined_and_split(evenings: Callable[[int], "Evenings"]) -> None:
    """Joined with the one before there is one fewer; split at its pause there is one more."""
    made = evenings(3)
    page = made.diary.sittings
    click(page.join)
    made.settle()
    assert page.list.count() == 2
    texts = [page.splits.itemText(at) for at in range(page.splits.count())]
    assert len(texts) == 3
    page.splits.setCurrentIndex(next(at for at, text in enumerate(texts) if "after 4 min" not in text))
    click(page.split)
    made.settle()
    assert page.list.count() == 3
    page.list.setCurrentRow(2)
    assert not page.join.isEnabled()


def test_a_photograph_is_added_shown_missed_and_taken_off(
    evenings: Callable[[int], "Evenings"], tmp_path: Path
) -> None:
    """It lies beside the chart; deleted there, the page says so; taken off, only the note goes."""
    made = evenings(2)
    page = made.diary.sittings
    source = tmp_path / "card" / "DSC1.jpg"
    source.parent.mkdir()
    Image.effect_noise((400, 300), 60).convert("RGB").save(source)
    click(page.add)
    (asked,) = page.findChildren(QFileDialog)
    asked.fileSelected.emit(str(source))
    asked.reject()
    made.settle()
    assert ", photograph" in page.list.item(0).text()
    assert page.photos.count() == 1
    assert not page.photos.item(0).icon().isNull()
    (kept,) = (tmp_path / "harbour photographs").iterdir()
    kept.unlink()
    made.diary.refresh()
    made.settle()
    assert "is not there any more" in page.photos.item(0).text()
    click(page.off)
    made.settle()
    assert made.desk.notes.photos == ()
    assert page.photos.count() == 0


def test_what_is_no_photograph_is_said(evenings: Callable[[int], "Evenings"], tmp_path: Path) -> None:
    """One sentence in a dialog; nothing is noted."""
    made = evenings(2)
    (tmp_path / "list.jpg").write_text("eggs")
    sitting = made.diary.sittings.sitting
    assert sitting is not None
    made.diary.photo_chosen(tmp_path / "list.jpg", sitting)
    made.settle()
    (box,) = made.diary.findChildren(QMessageBox)
    assert "is no photograph" in box.text()
    box.close()
    assert made.desk.notes.photos == ()


def test_a_pin_in_time_tells_what_is_new_since(evenings: Callable[[int], "Evenings"]) -> None:
    """Pinned today, then stitched on: only that is new since the pin; it stays with the chart."""
    made = evenings(3)
    new = made.diary.new
    assert not new.pins.isEnabled()
    made.diary.pin_moment("Shown to Ann")
    made.settle()
    assert new.pins.count() == 2
    assert new.pins.itemText(1).startswith("Shown to Ann")
    new.pins.setCurrentIndex(1)
    new.pins.activated.emit(1)
    made.settle()
    assert "nothing is new" in new.words.text()
    pinned = made.desk.notes.time_pins[0].time
    made.qtbot.waitUntil(lambda: now_ms() > pinned)
    change = made.desk.mark(rectangle(made.chart, Area(0, 8, 12, 2), Takes()), DONE)
    assert change is not None
    made.diary.refresh()
    made.settle()
    new.pins.setCurrentIndex(1)
    new.pins.activated.emit(1)
    made.settle()
    assert f": {change.count} stitches in 1 sitting" in new.words.text()
    click(new.chart)
    assert made.shown[-1].since.gains.came.count == change.count


def test_frames_are_saved_in_a_folder(evenings: Callable[[int], "Evenings"], tmp_path: Path) -> None:
    """One picture a sitting, numbered; a folder that holds something is refused in one sentence."""
    made = evenings(3)
    new, folder = made.diary.new, tmp_path / "frames 2026.11"
    for _ in range(2):
        click(new.frames)
        (asked,) = new.findChildren(QFileDialog)
        asked.fileSelected.emit(str(folder))
        asked.close()
        asked.deleteLater()
        QApplication.sendPostedEvents(asked, QEvent.Type.DeferredDelete)
        made.settle()
    assert sorted(path.name for path in folder.iterdir()) == ["0001.png", "0002.png", "0003.png"]
    (box,) = made.diary.findChildren(QMessageBox)
    assert "is there already" in box.text()
    box.close()


def test_each_picture_shows_what_it_is_called(evenings: Callable[[int], "Evenings"], tmp_path: Path) -> None:
    """Before, now, new and both side by side: four different pictures, the last one twice as wide."""
    made = evenings(3)
    new = made.diary.new
    sizes, contents = [], set()
    for row in range(new.which.count()):
        new.which.setCurrentIndex(row)
        click(new.save)
        asked = new.findChildren(QFileDialog)[-1]
        path = tmp_path / f"{row}.png"
        asked.fileSelected.emit(str(path))
        asked.close()
        asked.deleteLater()
        QApplication.sendPostedEvents(asked, QEvent.Type.DeferredDelete)
        made.settle()
        with Image.open(path) as found:
            sizes.append(found.width)
            contents.add(found.convert("RGB").tobytes())
    assert len(contents) == 4
    assert sizes[0] == sizes[1] == sizes[2]
    assert sizes[3] > 2 * sizes[0]


def test_how_it_went_is_plotted_and_told(evenings: Callable[[int], "Evenings"]) -> None:
    """By weekday, by week and by thread: bars, and a sentence; sittings struck out are left out."""
    made = evenings(4)
    pace = made.diary.pace
    total = made.desk.tally.total().done
    heights = {}
    for row in range(pace.which.count()):
        pace.which.setCurrentIndex(row)
        (bars,) = [each for each in pace.plot.getPlotItem().items if hasattr(each, "opts")]
        heights[pace.which.currentText()] = sum(bars.opts["height"])
        assert pace.told.text()
    assert heights == {"By weekday": total, "By week": total, "By thread": total}
    made.diary.sittings.struck.setChecked(True)
    click(made.diary.sittings.keep)
    made.settle()
    pace.which.setCurrentIndex(0)
    (bars,) = [each for each in pace.plot.getPlotItem().items if hasattr(each, "opts")]
    assert sum(bars.opts["height"]) < total


def test_closing_in_midst_of_reckoning_waits_for_nothing_and_tells_nothing(
    evenings: Callable[[int], "Evenings"],
) -> None:
    """Closed while it reckons it shows nothing more; opened again all; ended, no thread is left."""
    made = evenings(3)
    made.diary.refresh()
    made.diary.close()
    assert made.diary.settled
    made.diary.show()
    made.diary.refresh()
    made.settle()
    assert made.diary.new.sittings.count() == 3
    made.diary.refresh()
    made.diary.end()
    assert made.diary.settled
    assert not [each.name for each in threading.enumerate() if each.name.startswith("stitchview diary")]
    assert made.diary.findChildren(QMessageBox) == []


def test_fields_stand_beside_their_names(evenings: Callable[[int], "Evenings"]) -> None:
    """Of a sitting without photographs too, the word for the minutes stands level with their field."""
    made = evenings(2)
    page = made.diary.sittings
    made.diary.tabs.setCurrentIndex(1)
    made.settle()
    QApplication.processEvents()
    name = next(each for each in page.findChildren(QLabel) if each.text() == "M&inutes")
    assert not page.photos.isVisible()
    middles = [each.mapTo(page, each.rect().center()).y() for each in (name, page.minutes)]
    assert abs(middles[0] - middles[1]) < page.minutes.height() / 2
    assert page.note.mapTo(page, page.note.rect().topLeft()).y() < middles[1] + 2 * page.minutes.height()


def test_days_are_asked_for_as_they_are_told(evenings: Callable[[int], "Evenings"]) -> None:
    """Both fields for a day write it out, "3 March 2026", as the sentences beside them do."""
    made = evenings(2)
    for field in (made.diary.new.day, made.diary.forecast.day):
        field.setDate(QDate(2026, 3, 3))
        assert field.text() == "3 March 2026"
