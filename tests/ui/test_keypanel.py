"""The panel of the key under real hands: clicks, keys, typing, and what the eye sees."""

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAccessible, QColor, QImage, QKeySequence, QShortcut
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMainWindow
from pytestqt.qtbot import QtBot

from stitchview.canvas.desk import Desk
from stitchview.canvas.qtcolours import as_qt
from stitchview.done.change import Change
from stitchview.ui.keymodel import Order
from stitchview.ui.keypanel import KeyPanel
from stitchview.ui.theme import Theme, apply_theme, shades_of

MarkThread = Callable[[Desk, int], Change | None]


class Hand:
    """Notes what was chosen, and does with the panel what the window does."""

    def __init__(self) -> None:
        self.panel: KeyPanel | None = None
        self.said: list[tuple[str, int]] = []

    def thread_chosen(self, number: int) -> None:
        """Take it in hand."""
        self.said.append(("chosen", number))
        if self.panel is not None:
            self.panel.set_in_hand(number)

    def thread_wanted(self, number: int) -> None:
        """Take it in hand and show it."""
        self.said.append(("wanted", number))
        if self.panel is not None:
            self.panel.set_in_hand(number)


@pytest.fixture
def hand() -> Hand:
    """Who listens."""
    return Hand()


@pytest.fixture
def panel(qtbot: QtBot, hand: Hand, small_desk: Desk) -> KeyPanel:
    """The panel with the small harbour's key, on the screen."""
    panel = KeyPanel(hand)
    hand.panel = panel
    qtbot.addWidget(panel)
    panel.set_desk(small_desk)
    panel.resize(300, 500)
    panel.show()
    panel.activateWindow()
    qtbot.waitUntil(panel.isActiveWindow)
    return panel


def spot(panel: KeyPanel, place: int) -> QPoint:
    """The middle of a row."""
    return panel.list.visualRect(panel.model.index(place)).center()


def press(panel: KeyPanel, keys: str) -> None:
    """Type on the list."""
    panel.list.setFocus()
    QTest.keyClicks(panel.list, keys)


def test_a_click_takes_a_thread_in_hand_and_another_puts_it_down(
    qtbot: QtBot, panel: KeyPanel, hand: Hand
) -> None:
    """The same row twice is a thread taken up and put down."""
    left = Qt.MouseButton.LeftButton
    QTest.mouseClick(panel.list.viewport(), left, pos=spot(panel, 1))
    assert panel.model.row_at(1).in_hand
    QTest.mouseClick(panel.list.viewport(), left, pos=spot(panel, 2))
    QTest.mouseClick(panel.list.viewport(), left, pos=spot(panel, 2))
    assert hand.said == [("chosen", 2), ("chosen", 3), ("chosen", 0)]
    assert not any(panel.model.row_at(place).in_hand for place in range(4))


def test_a_double_click_also_shows_where_the_thread_is(qtbot: QtBot, panel: KeyPanel, hand: Hand) -> None:
    """Whatever was in hand before, after a double click it is this one."""
    for before in (0, 3):
        panel.set_in_hand(before)
        hand.said.clear()
        viewport, pos = panel.list.viewport(), spot(panel, 2)
        QTest.mouseClick(viewport, Qt.MouseButton.LeftButton, pos=pos)
        QTest.mouseDClick(viewport, Qt.MouseButton.LeftButton, pos=pos)
        assert hand.said[-1] == ("wanted", 3)
        assert panel.model.row_at(2).in_hand


def test_all_of_it_works_by_keys(qtbot: QtBot, panel: KeyPanel, hand: Hand) -> None:
    """Home, End, arrows, Space to take up and put down, Enter to see where it is left."""
    panel.list.setFocus()
    QTest.keyClick(panel.list, Qt.Key.Key_End)
    QTest.keyClick(panel.list, Qt.Key.Key_Space)
    QTest.keyClick(panel.list, Qt.Key.Key_Up)
    QTest.keyClick(panel.list, Qt.Key.Key_Return)
    QTest.keyClick(panel.list, Qt.Key.Key_Home)
    QTest.keyClick(panel.list, Qt.Key.Key_Enter)
    QTest.keyClick(panel.list, Qt.Key.Key_Space)
    assert hand.said == [("chosen", 4), ("wanted", 3), ("wanted", 1), ("chosen", 0)]


def test_typing_finds_a_thread(qtbot: QtBot, panel: KeyPanel) -> None:
    """Number or name, with spaces in it, and the same letter again for the next one."""
    press(panel, "3")
    assert panel.list.currentIndex().row() == 2


def test_a_whole_name_can_be_typed(panel: KeyPanel) -> None:
    """With the spaces in it, which by themselves take a thread in hand."""
    press(panel, "sample cotton 4")
    assert panel.list.currentIndex().row() == 3
    assert not any(panel.model.row_at(place).in_hand for place in range(4))


def test_the_same_letter_goes_on_to_the_next(qtbot: QtBot, panel: KeyPanel) -> None:
    """Pressed again and again it goes round."""
    panel.list.setCurrentIndex(panel.model.index(0))
    rows = []
    for _ in range(4):
        press(panel, "s")
        rows.append(panel.list.currentIndex().row())
    assert rows == [1, 2, 3, 0]


def test_letters_typed_on_the_list_are_not_taken_for_shortcuts(
    qtbot: QtBot, hand: Hand, small_desk: Desk
) -> None:
    """A letter that means something on the chart finds a thread here, and Ctrl keeps its meaning."""
    window = QMainWindow()
    qtbot.addWidget(window)
    panel = KeyPanel(hand)
    panel.set_desk(small_desk)
    window.setCentralWidget(panel)
    pressed: list[str] = []

    def note() -> None:
        pressed.append("shortcut")

    for keys in ("S", "3", "Home", "Ctrl+Z"):
        QShortcut(QKeySequence(keys), window).activated.connect(note)
    window.show()
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    press(panel, "3")
    assert panel.list.currentIndex().row() == 2
    QTest.keyClick(panel.list, Qt.Key.Key_Home)
    assert panel.list.currentIndex().row() == 0
    assert pressed == []
    QTest.keyClick(panel.list, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert pressed == ["shortcut"]


def test_the_field_finds_threads_and_enter_goes_to_them(qtbot: QtBot, panel: KeyPanel, hand: Hand) -> None:
    """Typed, found, Enter, Enter: the thread is in hand without a mouse."""
    panel.found.setFocus()
    QTest.keyClicks(panel.found, "shade 3")
    assert panel.model.rowCount() == 1
    assert "1 of 4 threads shown" in panel.totals.text()
    QTest.keyClick(panel.found, Qt.Key.Key_Return)
    qtbot.waitUntil(panel.list.hasFocus)
    QTest.keyClick(panel.list, Qt.Key.Key_Return)
    assert hand.said == [("wanted", 3)]
    panel.found.clear()
    assert panel.model.rowCount() == 4
    assert panel.list.currentIndex().row() == 2


def test_nothing_found_is_said(qtbot: QtBot, panel: KeyPanel) -> None:
    """An empty list says why, in ink on its ground."""
    bare = panel.list.viewport().grab().toImage()
    QTest.keyClicks(panel.found, "foxglove")
    assert panel.model.rowCount() == 0
    assert panel.list.viewport().grab().toImage() != bare
    QTest.keyClick(panel.list, Qt.Key.Key_Return)
    QTest.keyClicks(panel.list, "s ")


def test_the_thread_in_hand_stays_in_view_when_words_come_below(panel: KeyPanel) -> None:
    """What is left of it is told under the list, and must not push it out of the list."""
    panel.resize(300, 190)
    panel.set_in_hand(2)
    panel.show_hand("Left of shade 2: 120 in the band, 80 in view, 400 in all, and more words than one line")
    QApplication.processEvents()
    assert panel.list.viewport().rect().contains(spot(panel, 1))


def test_sorting_begins_at_the_top_unless_a_thread_is_in_hand(panel: KeyPanel) -> None:
    """The most left are to be seen at once; the thread in hand is not lost from view."""
    panel.list.setCurrentIndex(panel.model.index(panel.model.rowCount() - 1))
    panel.order.setCurrentIndex(list(Order).index(Order.LEFT))
    assert (panel.list.verticalScrollBar().value(), panel.list.currentIndex().row()) == (0, 0)
    panel.set_in_hand(4)
    panel.order.setCurrentIndex(list(Order).index(Order.NAME))
    assert panel.list.viewport().rect().contains(spot(panel, panel.model.place_of(4)))


def test_the_chooser_sorts(qtbot: QtBot, panel: KeyPanel, small_desk: Desk, mark_thread: MarkThread) -> None:
    """Chosen by keys, the thread with most left stands first, and stays so after marks."""
    panel.order.setFocus()
    QTest.keyClick(panel.order, Qt.Key.Key_Down)
    assert panel.order.currentText() == Order.LEFT.value
    most = panel.model.number_at(0)
    mark_thread(small_desk, most)
    panel.refresh()
    assert panel.model.number_at(0) != most
    assert panel.model.row_at(3).number == most


def test_a_thread_taken_up_elsewhere_comes_into_view(panel: KeyPanel) -> None:
    """Taken from the chart, it is seen in the key too."""
    panel.resize(300, 190)
    panel.set_in_hand(4)
    row = panel.list.visualRect(panel.model.index(3))
    assert panel.list.viewport().rect().contains(row.center())
    assert panel.list.currentIndex().row() == 3


def test_rows_speak_to_screen_readers(panel: KeyPanel) -> None:
    """The words of a row reach whatever reads the screen aloud."""
    panel.set_in_hand(2)
    reader = QAccessible.queryAccessibleInterface(panel.list)
    row = panel.model.row_at(1)
    assert reader.child(1).text(QAccessible.Text.Name) == row.spoken
    assert f"{row.left:,} of {row.stitches:,} left" in row.spoken
    assert "in hand" in row.spoken
    assert reader.text(QAccessible.Text.Name) == "Threads of the key"


def row_picture(panel: KeyPanel, place: int) -> QImage:
    """One row as it is painted."""
    rect = panel.list.visualRect(panel.model.index(place))
    return panel.list.viewport().grab(rect).toImage()


@pytest.mark.parametrize("theme", [Theme.LIGHT, Theme.DARK])
def test_in_hand_and_finished_are_seen_without_colour(
    qtbot: QtBot, qapp: QApplication, panel: KeyPanel, small_desk: Desk, mark_thread: MarkThread, theme: Theme
) -> None:
    """In grey too, the row in hand has its badge and the finished one its tick: ink where none was."""
    apply_theme(qapp, theme)
    panel.found.setFocus()
    grey = QImage.Format.Format_Grayscale8
    plain = row_picture(panel, 1).convertToFormat(grey)
    panel.set_in_hand(2)
    panel.list.setCurrentIndex(panel.model.index(0))
    taken = row_picture(panel, 1).convertToFormat(grey)
    panel.set_in_hand(0)
    panel.list.setCurrentIndex(panel.model.index(0))
    mark_thread(small_desk, 2)
    panel.refresh()
    done = row_picture(panel, 1).convertToFormat(grey)
    for picture in (taken, done):
        changed = sum(
            abs(picture.pixelColor(x, y).red() - plain.pixelColor(x, y).red()) > 60
            for x in range(plain.width())
            for y in range(plain.height())
        )
        assert changed > 60


def test_a_narrow_list_is_short_all_over(panel: KeyPanel) -> None:
    """Where most names do not fit, all of them leave out what they share, and wide they are whole again."""
    panel.resize(600, 500)
    wide = row_picture(panel, 0)
    panel.resize(215, 500)
    narrow = row_picture(panel, 0)
    panel.resize(600, 500)
    assert row_picture(panel, 0) == wide
    assert inked(narrow) < inked(wide)


def inked(picture: QImage) -> int:
    """How many pixels of the first line of words stand out from their ground."""
    ground = picture.pixelColor(picture.width() - 3, 3)
    spots = [(x, y) for x in range(44, picture.width()) for y in range(4, 20)]
    return sum(picture.pixelColor(*spot) != ground for spot in spots)


def test_the_row_under_the_keyboard_has_a_ring(qtbot: QtBot, panel: KeyPanel) -> None:
    """Two pixels in the focus colour all round it, only while the list has the keyboard."""
    focus = QColor(as_qt(shades_of(panel.palette()).focus))
    panel.list.setFocus()
    panel.list.setCurrentIndex(panel.model.index(2))
    qtbot.waitUntil(panel.list.hasFocus)
    picture = row_picture(panel, 2)
    middle = picture.height() // 2
    assert [picture.pixelColor(x, middle) == focus for x in range(3)] == [True, True, False]
    panel.found.setFocus()
    qtbot.waitUntil(panel.found.hasFocus)
    assert row_picture(panel, 2).pixelColor(0, middle) != focus
