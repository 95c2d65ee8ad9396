"""What the actions of planning must come to: set the scene, yield for the key, look."""

from collections.abc import Iterator

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QGuiApplication
from PySide6.QtTest import QTest

from stitchview.chart.colour import Colour
from stitchview.follow.tape import between_squares
from stitchview.plan.stashreport import Verdict
from stitchview.plan.threads import bought_threads
from stitchview.ui.copiesdialog import NONE_YET, CopiesDialog
from stitchview.ui.diary.diarywindow import DiaryWindow
from stitchview.ui.planning.cardpage import CardPage
from stitchview.ui.planning.clothpage import ClothPage
from stitchview.ui.planning.lotspage import LotsPage
from stitchview.ui.planning.planpage import PlanPage
from stitchview.ui.planning.planwindow import PlanWindow
from stitchview.ui.planning.stashkeeping import StashPlace, read_place
from stitchview.ui.planning.stashpage import StashPage
from stitchview.ui.planning.threadpage import ThreadPage
from stitchview.ui.printing.printdialog import PrintDialog
from stitchview.ui.settings import open_settings
from stitchview.ui.tapewords import measured_words
from tests.journeys.effects_at_the_cloth import slip_of
from tests.journeys.effects_of_looking import Scene
from tests.journeys.sofa import Sofa


def page_up(sofa: Sofa) -> PlanPage:
    """The page of the planning window that is up."""
    window = sofa.works.cloth.plan.window
    assert isinstance(window, PlanWindow)
    sofa.qtbot.waitUntil(window.isActiveWindow)
    page = window.tabs.currentWidget()
    assert isinstance(page, PlanPage)
    return page


def plans_the_cloth(sofa: Sofa) -> Iterator[None]:
    columns = sofa.desk.chart.columns
    yield
    page = page_up(sofa)
    assert isinstance(page, ClothPage)
    page.form.across.setFocus()
    page.form.across.selectAll()
    sofa.press("1", "0", "Return")
    centimetres = columns * page.form.over.value() * 25.4 / 10 / 10
    assert page.facts.words_of("Finished size").startswith(f"{centimetres:.1f} x ")
    sofa.press("Escape")
    assert not page.isVisible()
    # The tape measures on the same cloth.
    sofa.window.activateWindow()
    sofa.qtbot.waitUntil(sofa.window.isActiveWindow)
    sofa.canvas.setFocus()
    sofa.put_pointer((5, 5))
    sofa.press("R", *["Shift+Right"] * 10)
    across = between_squares((5, 5), (15, 5), sofa.works.cloth.plan.bench.piece.pitch)
    assert measured_words(across) in slip_of(sofa)
    assert across.mm == pytest.approx(page.form.over.value() * 25.4)


def plans_the_thread(sofa: Sofa) -> Iterator[None]:
    yield
    page = page_up(sofa)
    assert isinstance(page, ThreadPage)
    chart = sofa.desk.chart
    assert page.model.rowCount() == len(bought_threads(chart))
    first = page.model.row_at(page.rows.row)
    assert first is not None
    counted = int((chart.squares == first.thread.numbers[0]).sum())
    assert first.left.stitches >= counted
    assert f"{first.all.stitches:,} stitches, 0 done" in page.facts.words_of("On the chart")
    number = first.thread.numbers[0]
    sofa.mark(next((int(x), int(y)) for y, x in np.argwhere(chart.squares == number)))
    sofa.qtbot.waitUntil(lambda: ", 1 done" in page.facts.words_of("On the chart"))


def plans_the_lots(sofa: Sofa) -> Iterator[None]:
    sofa.put_pointer((20, 20))
    sofa.press("B")
    lit = sofa.canvas.showing.lit
    assert lit is not None
    yield
    page = page_up(sofa)
    assert isinstance(page, LotsPage)
    page.lot.setText("A12")
    QTest.mouseClick(page.in_band, Qt.MouseButton.LeftButton)
    told = sofa.desk.notes.lot_areas
    assert [(each.lot, each.column, each.row, each.columns, each.rows) for each in told] == [
        ("A12", lit.column, lit.row, lit.columns, lit.rows)
    ]
    QTest.mouseClick(page.go, Qt.MouseButton.LeftButton)
    assert sofa.canvas.showing.signs.found == (lit,)
    sofa.press("Escape")
    assert not sofa.canvas.showing.signs.any


def plans_with_the_stash(sofa: Sofa) -> Iterator[None]:
    chart = sofa.desk.chart
    entry = next(each for each in chart.key if not each.blend and each.kind != "bead")
    path = sofa.folder / "my threads.csv"
    path.write_text(f'name,number,skeins,colour\r\n"{entry.name}",{entry.number},99,{entry.colour.hex}\r\n')
    yield
    page = page_up(sofa)
    assert isinstance(page, StashPage)
    assert "No list of your threads is open yet" in page.told.text()
    page.take(path)
    assert "“my threads.csv”" in page.told.text()
    rows = [page.model.row_at(row) for row in range(page.model.rowCount())]
    told = {each.thread.name: each.verdict for each in rows if each is not None}
    assert told[entry.name] is Verdict.HAVE
    assert Verdict.BUY in told.values()
    QTest.mouseClick(page.buy, Qt.MouseButton.LeftButton)
    assert entry.name not in QGuiApplication.clipboard().text().splitlines()
    # Next evening the list is found again.
    assert read_place(open_settings()) == StashPlace(path)


def uses_another_thread(sofa: Sofa) -> Iterator[None]:
    """Typed, used in the whole piece, seen in the key, on the place line and in colour, and undone."""
    number = next(n for n, each in enumerate(sofa.desk.chart.key, 1) if not each.blend)
    row, column = np.argwhere(sofa.desk.chart.squares == number)[0]
    sofa.put_pointer((int(column), int(row)))
    sofa.press("K")
    printed = sofa.desk.chart.key[number - 1]
    yield
    dialog = sofa.works.cloth.plan.instead.dialog
    assert dialog is not None
    sofa.qtbot.waitUntil(dialog.isActiveWindow)
    assert dialog.printed.currentText().startswith(printed.name)
    sofa.press("F", "O", "G")
    dialog.number.setText("18")
    dialog.lot.setText("44B")
    dialog.use_colour(QColor(10, 200, 30))
    sofa.press("Return")
    assert not dialog.isVisible()
    used = sofa.desk.chart.key[number - 1]
    assert (used.name, used.number, used.colour) == ("fog", "18", Colour(10, 200, 30))
    model = sofa.window.panels.keys.model
    assert model.row_at(model.place_of(number)).small_words.startswith(f"instead of {printed.name}")
    assert f"fog, number 18, instead of {printed.name}" in sofa.window.panels.line.sentence
    assert sofa.canvas.showing.key is sofa.desk.chart.key
    assert any(each.name == "fog" for each in bought_threads(sofa.desk.chart))
    sofa.window.activateWindow()
    sofa.qtbot.waitUntil(sofa.window.isActiveWindow)
    sofa.canvas.setFocus()
    sofa.press("Ctrl+Z")
    assert sofa.desk.chart.key[number - 1] == printed
    assert model.row_at(model.place_of(number)).name == printed.name
    sofa.press("Ctrl+Shift+Z", "Ctrl+K")
    again = sofa.works.cloth.plan.instead.dialog
    assert again is not None
    assert again.name.text() == "fog"
    QTest.mouseClick(again.back, Qt.MouseButton.LeftButton)
    assert sofa.desk.chart.key[number - 1] == printed


def plans_the_card(sofa: Sofa) -> Iterator[None]:
    yield
    page = page_up(sofa)
    assert isinstance(page, CardPage)
    key = sofa.desk.chart.key
    assert f"{len(key)} holes" in page.told.text()
    page.order.setCurrentIndex(1)
    page.order.activated.emit(1)
    assert {hole.number for hole in page.card.holes} == set(range(1, len(key) + 1))
    target = sofa.folder / "card.pdf"
    assert page.write(target)
    assert target.read_bytes().startswith(b"%PDF-")
    assert "Wrote “card.pdf”" in page.told.text()


def opens_the_diary(sofa: Sofa) -> Iterator[None]:
    sofa.press("M", "3")
    sofa.drag((5, 5), (9, 9))
    done = sofa.desk.tally.total().done
    yield
    window = sofa.window.findChild(DiaryWindow)
    assert window is not None
    assert window.isVisible()
    sofa.qtbot.waitUntil(lambda: window.settled, timeout=20_000)
    assert window.new.sittings.count() == 1
    assert f"{done:,} stitches" in window.new.sittings.item(0).text()
    assert "1 sitting" in window.new.words.text()
    window.close()


def prints_sheets(sofa: Sofa) -> Iterator[None]:
    sofa.press("B")
    yield
    dialog = sofa.window.findChild(PrintDialog)
    assert dialog is not None
    assert dialog.isVisible()
    assert "for your own use" in dialog.own_use.text()
    assert "sheets of A4" in dialog.told.text()
    dialog.form.part.setCurrentIndex(1)
    dialog.form.part.activated.emit(1)
    assert "the band" in dialog.form.part.currentText()
    target = sofa.folder / "sheets.pdf"
    assert dialog.write(target)
    assert target.read_bytes().startswith(b"%PDF-")
    assert "Wrote “sheets.pdf”" in dialog.told.text()
    dialog.close()


def shows_kept_copies(sofa: Sofa) -> Iterator[None]:
    sofa.press("M", "3")
    sofa.drag((5, 5), (9, 9))
    yield
    dialog = sofa.window.findChild(CopiesDialog)
    assert dialog is not None
    assert dialog.isVisible()
    assert dialog.told.text() == NONE_YET
    assert not dialog.bring.isEnabled()
    dialog.close()


PLANNING: dict[str, Scene] = {
    "another-thread": uses_another_thread,
    "plan-cloth": plans_the_cloth,
    "plan-thread": plans_the_thread,
    "plan-lots": plans_the_lots,
    "plan-stash": plans_with_the_stash,
    "plan-card": plans_the_card,
    "diary": opens_the_diary,
    "print": prints_sheets,
    "copies": shows_kept_copies,
}
