"""Lists that stay open beside the chart answer to the keys that take back what is done in them."""

from pathlib import Path

from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QDialog

from tests.journeys.effects_of_last_things import all_but_a_few
from tests.journeys.sofa import Sofa


def use(sofa: Sofa, dialog: QDialog | None) -> None:
    """Have the keyboard in a dialog."""
    assert dialog is not None
    sofa.qtbot.waitUntil(dialog.isActiveWindow, timeout=20000)


def test_leaving_out_is_taken_back_in_the_list_itself(sofa: Sofa, harbour: Path) -> None:
    """Ctrl+Z and Ctrl+Shift+Z work while the last things have the keyboard, and Shift+N goes to the next."""
    sofa.sit_down(harbour)
    all_but_a_few(sofa)
    sofa.press("Shift+L")
    dialog = sofa.works.cloth.last.dialog
    assert dialog is not None
    use(sofa, dialog)
    QTest.mouseClick(dialog.all_out, Qt.MouseButton.LeftButton)
    counts = [len(sofa.desk.notes.left_out)]
    for key in ("Ctrl+Z", "Ctrl+Shift+Z", "Ctrl+Z"):
        sofa.press(key)
        counts.append(len(sofa.desk.notes.left_out))
    assert counts == [1, 0, 1, 0]
    found = sofa.works.cloth.last.found().things
    sofa.press("Shift+N", "Shift+N")
    assert sofa.canvas.showing.pointers.cursor == found[1].square
    dialog.close()


def test_the_list_leaves_the_middle_of_the_chart_in_sight(sofa: Sofa, harbour: Path) -> None:
    """What she goes to comes to the middle of the chart, so the last things do not lie there."""
    sofa.sit_down(harbour)
    all_but_a_few(sofa)
    sofa.press("Shift+L")
    dialog = sofa.works.cloth.last.dialog
    assert dialog is not None
    use(sofa, dialog)
    middle = sofa.canvas.mapToGlobal(sofa.canvas.rect().center())
    assert not dialog.frameGeometry().contains(middle + QPoint(40, 0))
    dialog.close()


def test_a_pin_taken_off_in_the_list_comes_back_there(sofa: Sofa, harbour: Path) -> None:
    """Ctrl+Z brings back what was taken off, while the list of pins has the keyboard."""
    sofa.sit_down(harbour)
    sofa.works.cloth.notes.pin((5, 6), "mast", "foot of it")
    sofa.press("Ctrl+L")
    listing = sofa.works.cloth.listing
    assert listing is not None
    use(sofa, listing)
    QTest.mouseClick(listing.off, Qt.MouseButton.LeftButton)
    sofa.qtbot.waitUntil(lambda: listing.list.count() == 0, timeout=20000)
    sofa.press("Ctrl+Z")
    sofa.qtbot.waitUntil(lambda: listing.list.count() == 1, timeout=20000)
    assert [pin.square for pin in sofa.canvas.showing.signs.pins] == [(5, 6)]
    listing.close()
