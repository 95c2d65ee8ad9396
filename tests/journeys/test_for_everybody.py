"""Without a mouse, without eyes for the screen, with large letters: everything is reached and has a name."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QFont
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from stitchview.ui.placeline import PlaceLine
from tests.journeys.sofa import Sofa


def test_tab_goes_through_the_window_and_comes_back_to_the_chart(sofa: Sofa, harbour: Path) -> None:
    """Chart, key and overview are all stops on the way round, and each has a name."""
    sofa.sit_down(harbour)
    met: list[QWidget] = []
    for _ in range(20):
        focus = QApplication.focusWidget()
        assert focus is not None
        if focus in met:
            break
        met.append(focus)
        QTest.keyClick(focus, Qt.Key.Key_Tab)
    keys, overview = sofa.window.panels.keys, sofa.sitting.board.overview
    assert {sofa.canvas, keys.found, keys.order, keys.list, overview} <= set(met)
    assert QApplication.focusWidget() is met[0]


def test_everything_to_be_seen_has_a_name_for_a_screen_reader(sofa: Sofa, harbour: Path) -> None:
    """Whatever takes the keyboard or can be pressed says what it is."""
    sofa.sit_down(harbour)
    nameless = []
    for widget in sofa.window.findChildren(QWidget):
        told = QAccessible.queryAccessibleInterface(widget)
        focused = widget.focusPolicy() != Qt.FocusPolicy.NoFocus
        pressed = widget.metaObject().className() in ("QToolButton", "QPushButton")
        if widget.isVisible() and (focused or pressed) and not told.text(QAccessible.Text.Name):
            nameless.append(f"{widget.metaObject().className()} {widget.objectName()}")
    assert [each for each in nameless if not each.startswith("QMenuBar")] == []


def test_the_place_is_told_to_a_screen_reader(sofa: Sofa, harbour: Path) -> None:
    """The chart's description follows the keyboard pointer, square by square."""
    sofa.sit_down(harbour)
    sofa.put_pointer((7, 3))
    told = QAccessible.queryAccessibleInterface(sofa.canvas)
    assert told.text(QAccessible.Text.Name) == "Chart"
    assert told.text(QAccessible.Text.Description).startswith("Column 8 (block 1, place 8), row 4 ")
    sofa.press("Shift+Down")
    assert " row 5 " in told.text(QAccessible.Text.Description)


def test_a_place_is_always_told(sofa: Sofa, harbour: Path) -> None:
    """Under the mouse, else under the keyboard, else in the middle: the line always knows a place."""
    sofa.sit_down(harbour)
    line: PlaceLine = sofa.window.panels.line
    assert "Column 31, row 26" in line.where.text
    sofa.put_pointer((10, 12))
    assert "Column 11, row 13" in line.where.text
    sofa.point_at((40, 30))
    assert "Column 41, row 31" in line.where.text
    sofa.point_away()
    assert "Column 11, row 13" in line.where.text


@pytest.mark.parametrize("size", [(1024, 600), (480, 360)])
def test_large_letters_on_a_small_screen_leave_room_for_the_chart(
    sofa: Sofa, harbour: Path, size: tuple[int, int]
) -> None:
    """With letters half as large again the chart is still there, and nothing reaches out of the window."""
    font = QFont(sofa.app.font())
    before = QFont(font)
    font.setPointSizeF(font.pointSizeF() * 1.5)
    sofa.app.setFont(font)
    sofa.sit_down(harbour)
    sofa.window.resize(*size)
    sofa.app.processEvents()
    assert sofa.window.width() <= size[0]
    assert sofa.window.height() <= size[1]
    assert sofa.canvas.width() >= size[0] // 4
    assert sofa.canvas.height() >= size[1] // 5
    sofa.app.setFont(before)


def test_keys_of_one_letter_leave_fields_alone(sofa: Sofa, harbour: Path) -> None:
    """While she types what thread to find, letters are letters."""
    sofa.sit_down(harbour)
    found = sofa.window.panels.keys.found
    found.setFocus()
    QTest.keyClicks(found, "bmu5")
    assert found.text() == "bmu5"
    assert sofa.works.band.band is None
    assert sofa.works.holding.tool == "look"
    assert sofa.desk.tally.total().done == 0
