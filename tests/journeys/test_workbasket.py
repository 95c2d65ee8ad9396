"""Several pieces at once: the workbasket shows how each one is, finds moved ones, and one press goes on."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QMenu

from stitchview.chart.fileformat import read_chart, write_chart
from stitchview.chart.model import Chart
from stitchview.done.basket import Basket, Piece
from stitchview.done.ownfolder import own_layers_folder
from stitchview.ui.basketmodel import Face
from stitchview.ui.planning.stashkeeping import StashPlace, keep_place
from stitchview.ui.planning.stashpage import StashPage
from stitchview.ui.settings import open_settings
from tests.journeys.effects_at_the_cloth import take_in_hand
from tests.journeys.sofa import Sofa

SECOND = "77777777-6d0e-4c1b-9a37-5f2c8d1e6b90"


@pytest.fixture
def boats(sofa: Sofa, random_chart: Callable[[int, int, int, int], Chart]) -> Path:
    """A second chart beside the harbour."""
    path = sofa.folder / "boats.svchart"
    write_chart(replace(random_chart(40, 30, 4, 2), identity=SECOND, title="Two boats"), path)
    return path


def faces(sofa: Sofa) -> list[Face]:
    return list(sofa.window.empty.model.faces)


def choose_in_menu(sofa: Sofa, name: str, words: str) -> None:
    """Open the menu of a card by the right button, and choose a line of it."""
    page = sofa.window.empty
    row = next(at for at, face in enumerate(page.model.faces) if face.title == name)
    place = page.cards.visualRect(page.model.index(row)).center()
    page.cards.customContextMenuRequested.emit(QPoint(place))
    menu = page.findChildren(QMenu)[-1]
    next(each for each in menu.actions() if words in each.text().replace("&", "")).trigger()
    menu.close()
    sofa.app.processEvents()


def test_the_piece_worked_on_last_lies_on_top(sofa: Sofa, harbour: Path, boats: Path) -> None:
    """Stitched a little on both, each card says how far it is; one press goes on exactly there."""
    sofa.sit_down(harbour)
    sofa.press("M", "3")
    sofa.drag((5, 5), (9, 9))
    done = sofa.desk.tally.total()
    sofa.press("B")
    view = sofa.canvas.view
    sofa.press("Ctrl+W")
    sofa.charts.open(boats)
    sofa.press("M", "3")
    sofa.drag((1, 1), (20, 20))
    sofa.press("Ctrl+W")
    first, second = faces(sofa)
    assert (first.title, second.piece.path) == ("Two boats", harbour)
    assert (second.piece.done, second.piece.stitches) == (done.done, done.stitches)
    assert second.piece.progress.share in second.far
    assert not sofa.window.empty.model.picture_of(first).isNull()
    sofa.press_card("harbour")
    assert sofa.sitting.path == harbour
    assert sofa.canvas.view == view
    assert sofa.works.band.band is not None


def test_what_waits_is_on_the_card(sofa: Sofa, harbour: Path) -> None:
    """A thread left hanging is told before the chart is opened."""
    sofa.sit_down(harbour)
    take_in_hand(sofa)
    sofa.press("S", "Ctrl+W")
    assert faces(sofa)[0].waits == "1 thread parked"


def test_pieces_are_found_by_name_and_opened_by_enter(sofa: Sofa, harbour: Path, boats: Path) -> None:
    """She types a word, the others go, Enter opens the one that is left."""
    for path in (harbour, boats):
        sofa.sit_down(path)
        sofa.press("Ctrl+W")
    page = sofa.window.empty
    page.search.setFocus()
    QTest.keyClicks(page.search, "boat")
    assert [face.title for face in faces(sofa)] == ["Two boats"]
    QTest.keyClicks(page.search, "xyz")
    assert faces(sofa) == []
    assert "No piece is called like that." in page.told.text()
    for _ in "xyz":
        QTest.keyClick(page.search, Qt.Key.Key_Backspace)
    QTest.keyClick(page.search, Qt.Key.Key_Return)
    assert sofa.sitting.path == boats


def test_a_card_is_opened_by_the_keyboard_alone(sofa: Sofa, harbour: Path, boats: Path) -> None:
    """Arrow keys go from card to card, Enter opens."""
    for path in (boats, harbour):
        sofa.sit_down(path)
        sofa.press("M", "3")
        sofa.drag((1, 1), (5, 5))
        sofa.press("Ctrl+W")
    cards = sofa.window.empty.cards
    cards.setFocus()
    assert faces(sofa)[0].piece.path == harbour
    QTest.keyClick(cards, Qt.Key.Key_Right)
    QTest.keyClick(cards, Qt.Key.Key_Return)
    sofa.app.processEvents()
    assert sofa.sitting.path == boats


def test_a_piece_is_laid_apart_and_taken_out(sofa: Sofa, harbour: Path, boats: Path) -> None:
    """Laid apart it comes last, taken up again as before; taken out only its card is gone."""
    for path in (harbour, boats):
        sofa.sit_down(path)
        sofa.press("M", "3")
        sofa.drag((1, 1), (5, 5))
        sofa.press("Ctrl+W")
    choose_in_menu(sofa, "Two boats", "Lay apart")
    assert [face.piece.shelved for face in faces(sofa)] == [False, True]
    assert faces(sofa)[1].title == "Two boats"
    choose_in_menu(sofa, "Two boats", "Take up again")
    assert faces(sofa)[0].title == "Two boats"
    choose_in_menu(sofa, "Two boats", "Take out")
    assert [face.piece.path for face in faces(sofa)] == [harbour]
    assert boats.exists()
    assert boats.with_suffix(".svdone").exists()


def test_a_moved_piece_is_found_by_its_identity(sofa: Sofa, harbour: Path) -> None:
    """Renamed and moved into another folder with its marks: pressing its card opens it there."""
    sofa.sit_down(harbour)
    sofa.press("M", "3")
    sofa.drag((5, 5), (9, 9))
    done = sofa.desk.tally.total().done
    sofa.press("Ctrl+W")
    below = sofa.folder / "winter"
    below.mkdir()
    moved = harbour.rename(below / "the harbour.svchart")
    harbour.with_suffix(".svdone").rename(below / "the harbour.svdone")
    assert sofa.get_up()
    sofa.sit_down()
    assert not faces(sofa)[0].there
    sofa.press_card("harbour")
    assert sofa.sitting.path == moved
    assert sofa.desk.tally.total().done == done
    sofa.press("Ctrl+W")
    assert [face.piece.path for face in faces(sofa)] == [moved]


def test_a_moved_piece_opened_by_hand_has_one_card(sofa: Sofa, harbour: Path) -> None:
    """Renamed in the file manager and opened there: its old place leaves the list of recent charts too."""
    sofa.sit_down(harbour)
    sofa.press("Ctrl+W")
    moved = harbour.rename(sofa.folder / "the harbour.svchart")
    harbour.with_suffix(".svdone").rename(sofa.folder / "the harbour.svdone")
    assert sofa.charts.open(moved)
    sofa.press("Ctrl+W")
    assert [face.piece.path for face in faces(sofa)] == [moved]
    assert sofa.charts.recent.charts == (moved,)


def test_a_card_of_a_chart_opened_lately_stays_out(sofa: Sofa, harbour: Path, boats: Path) -> None:
    """Taken out of the basket it does not come back with the next chart that is closed."""
    for path in (harbour, boats):
        sofa.sit_down(path)
        sofa.press("Ctrl+W")
    choose_in_menu(sofa, "Two boats", "Take out")
    assert sofa.charts.open(harbour)
    sofa.press("Ctrl+W")
    assert [face.piece.path for face in faces(sofa)] == [harbour]


def test_only_a_chart_has_panels_around_it(sofa: Sofa, harbour: Path) -> None:
    """The workbasket has the whole window; with a chart, key and place line stand where they stood."""
    sofa.sit_down(harbour)
    keys, line = sofa.window.panels.keys, sofa.window.panels.line
    sofa.app.processEvents()
    width = keys.width()
    assert keys.isVisible()
    assert line.isVisible()
    sofa.press("Ctrl+W")
    sofa.app.processEvents()
    assert not keys.isVisible()
    assert not line.isVisible()
    assert sofa.window.empty.width() == sofa.window.width()
    assert sofa.get_up()
    sofa.sit_down()
    assert not keys.isVisible()
    assert sofa.charts.open(harbour)
    sofa.app.processEvents()
    assert sofa.window.panels.keys.isVisible()
    assert sofa.window.panels.keys.width() == width


def test_two_hundred_pieces_are_no_burden(sofa: Sofa, harbour: Path) -> None:
    """All are there, only those in view are painted, and their pictures are read when they come in view."""
    basket = Basket(own_layers_folder())
    for number in range(200):
        basket.put(
            Piece(f"{number:08d}", sofa.folder / f"{number}.svchart", f"Piece {number}", last_ms=number)
        )
    sofa.sit_down(harbour)
    sofa.press("Ctrl+W")
    page = sofa.window.empty
    assert page.model.rowCount() == 201
    sofa.app.processEvents()
    assert len(page.model._pictures) < 60
    assert page.cards.accessibleName() == "Your pieces"
    assert "Piece 199" in page.model.index(0).data(Qt.ItemDataRole.AccessibleTextRole)


def test_thread_to_buy_waits_on_the_card(sofa: Sofa, harbour: Path) -> None:
    """With a list of her threads the card says how many the piece still wants; bought, it says so no more."""
    keep_place(open_settings(), StashPlace(sofa.folder / "threads.csv"))
    sofa.sit_down(harbour)
    key = sofa.desk.chart.key
    rows = [f'"{each.name}",{each.number},{99 if number else 0}' for number, each in enumerate(key)]
    (sofa.folder / "threads.csv").write_text("\n".join(["name,number,skeins", *rows]) + "\n")
    sofa.press("Ctrl+W")
    (face,) = faces(sofa)
    assert face.piece.waiting.to_buy == 1
    assert "1 thread to buy" in face.waits
    sofa.press_card("harbour")
    text = (sofa.folder / "threads.csv").read_text()
    (sofa.folder / "threads.csv").write_text(text.replace(",0\n", ",99\n", 1))
    sofa.press("Ctrl+W")
    assert faces(sofa)[0].piece.waiting.to_buy == 0
    sofa.press_card("harbour")
    (sofa.folder / "threads.csv").unlink()
    sofa.press("Ctrl+W")
    assert faces(sofa)[0].piece.waiting.to_buy == 0


def test_a_thread_used_instead_elsewhere_is_told_where_it_is_waited_for(
    sofa: Sofa, harbour: Path, boats: Path
) -> None:
    """Used in the harbour, known at the boats: at opening, and on the page about the stash."""
    chart = read_chart(boats)
    mine = replace(chart.key[0], name="Sample silk 99, fog", number="99", blend=())
    write_chart(replace(chart, key=(mine, *chart.key[1:])), boats)
    stash = sofa.folder / "threads.csv"
    stash.write_text('name,number,skeins\r\n"Sample silk 99, fog",99,3\r\n')
    keep_place(open_settings(), StashPlace(stash))
    sofa.sit_down(harbour)
    take_in_hand(sofa)
    sofa.press("Ctrl+K")
    dialog = sofa.works.cloth.plan.instead.dialog
    assert dialog is not None
    dialog.listed.setCurrentIndex(1)
    dialog.listed.activated.emit(1)
    dialog.kind.setCurrentText(mine.kind)
    dialog.skeins.setValue(2.5)
    sofa.qtbot.waitUntil(dialog.isActiveWindow)
    sofa.press("Return")
    used = sofa.desk.notes.used_instead[0]
    assert (used.used_name, used.used_number, used.skeins) == ("Sample silk 99, fog", "99", 2.5)
    assert sofa.charts.open(boats)
    told = sofa.window.panels.notices.shown
    assert told is not None
    assert f"uses it instead of {used.name} (2.5 skeins" in told.sentence
    assert "Of 3 skeins in your list that leaves 0.5 skeins" in told.sentence
    sofa.choose("plan-stash")
    window = sofa.works.cloth.plan.window
    assert window is not None
    page = window.tabs.currentWidget()
    assert isinstance(page, StashPage)
    rows = [page.model.row_at(row) for row in range(page.model.rowCount())]
    page.rows.choose(next(at for at, each in enumerate(rows) if each and each.thread.name == mine.name))
    assert f"uses it instead of {used.name}" in page.words.text()
