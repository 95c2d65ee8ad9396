"""The settings dialog under real hands: seen at once, and taken back whole by Cancel."""

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialogButtonBox, QWidget
from pytestqt.qtbot import QtBot

from stitchview.done.sittings import Pauses
from stitchview.follow.numbering import Numbering
from stitchview.ui.cautions import CAUTIONS, SHORT, cautions_text
from stitchview.ui.preferences import Preferences
from stitchview.ui.settingsdialog import SettingsDialog
from stitchview.ui.theme import Theme

BEFORE = Preferences(theme=Theme.LIGHT, dim=0.5, steps_on=True)
KINDS = QDialogButtonBox.StandardButton


class Seen:
    """Notes each look the chart behind the dialog was given."""

    def __init__(self) -> None:
        self.all: list[Preferences] = []

    def __call__(self, preferences: Preferences) -> None:
        """Take another."""
        self.all.append(preferences)


@pytest.fixture
def seen() -> Seen:
    """What was shown live."""
    return Seen()


@pytest.fixture
def dialog(qtbot: QtBot, seen: Seen) -> SettingsDialog:
    """The dialog, open."""
    dialog = SettingsDialog(BEFORE, seen)
    qtbot.addWidget(dialog)
    dialog.open()
    dialog.activateWindow()
    qtbot.waitUntil(dialog.isActiveWindow)
    return dialog


def test_it_shows_what_is_preferred_and_changes_nothing_by_itself(dialog: SettingsDialog, seen: Seen) -> None:
    """Opened and closed, nothing has happened."""
    assert dialog.theme.currentText() == "light"
    assert dialog.dim.share == 0.5
    assert dialog.steps_on.isChecked()
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    assert not dialog.isVisible()
    assert seen.all == []


def test_each_change_is_seen_at_once_and_ok_keeps_it(dialog: SettingsDialog, seen: Seen) -> None:
    """By keys alone: a slider, a chooser, a switch, and Enter."""
    dialog.dim.slider.setFocus()
    QTest.keyClick(dialog.dim.slider, Qt.Key.Key_Right)
    assert seen.all == [replace(BEFORE, dim=0.51)]
    dialog.numbering.setFocus()
    QTest.keyClick(dialog.numbering, Qt.Key.Key_Down)
    dialog.snaps.setFocus()
    QTest.keyClick(dialog.snaps, Qt.Key.Key_Space)
    dialog.single_keys.setFocus()
    QTest.keyClick(dialog.single_keys, Qt.Key.Key_Space)
    wanted = replace(BEFORE, dim=0.51, numbering=Numbering.TOP_RIGHT, snaps_to_tens=True, single_keys=False)
    assert seen.all[-1] == wanted
    QTest.keyClick(dialog, Qt.Key.Key_Return)
    assert not dialog.isVisible()
    assert dialog.preferences == seen.all[-1] == wanted


@pytest.mark.parametrize("way", ["button", "escape", "close"])
def test_cancel_takes_everything_back(dialog: SettingsDialog, seen: Seen, way: str) -> None:
    """However it is left, the chart looks as before."""
    dialog.symbol_size.slider.setFocus()
    for _ in range(3):
        QTest.keyClick(dialog.symbol_size.slider, Qt.Key.Key_PageUp)
    assert seen.all[-1] != BEFORE
    if way == "button":
        QTest.mouseClick(dialog.buttons.button(KINDS.Cancel), Qt.MouseButton.LeftButton)
    elif way == "escape":
        QTest.keyClick(dialog, Qt.Key.Key_Escape)
    else:
        dialog.close()
    assert not dialog.isVisible()
    assert seen.all[-1] == dialog.preferences == BEFORE


def test_as_usual_is_seen_too_and_can_be_taken_back(dialog: SettingsDialog, seen: Seen) -> None:
    """The way back to how the program was when it was new."""
    QTest.mouseClick(dialog.buttons.button(KINDS.RestoreDefaults), Qt.MouseButton.LeftButton)
    assert seen.all[-1] == Preferences()
    QTest.mouseClick(dialog.buttons.button(KINDS.Cancel), Qt.MouseButton.LeftButton)
    assert seen.all[-1] == BEFORE


def test_every_control_is_reached_by_tab_and_has_a_name(dialog: SettingsDialog) -> None:
    """Tab goes through all of them, none without words for a screen reader, and comes round."""
    met: list[QWidget] = []
    dialog.theme.setFocus()
    for _ in range(20):
        focus = QApplication.focusWidget()
        if focus is None or focus in met:
            break
        met.append(focus)
        QTest.keyClick(focus, Qt.Key.Key_Tab)
    controls = {dialog.theme, dialog.numbering, dialog.snaps, dialog.steps_on, dialog.single_keys}
    controls |= {each.slider for each in (dialog.dim, dialog.symbol_size, dialog.line_weight)}
    controls |= set(dialog.buttons.buttons())
    assert controls <= set(met)


def test_letters_twice_as_large_are_still_all_there(qtbot: QtBot, qapp: QApplication, seen: Seen) -> None:
    """On a small screen the settings scroll, and the buttons stay in sight (WCAG 2.2, 1.4.4)."""
    font = QFont(qapp.font())
    font.setPointSizeF(font.pointSizeF() * 2)
    qapp.setFont(font)
    dialog = SettingsDialog(BEFORE, seen)
    qtbot.addWidget(dialog)
    dialog.show()
    dialog.resize(dialog.minimumSizeHint().width(), 300)
    for control in (dialog.theme, dialog.numbering, dialog.dim, dialog.steps_on):
        right = control.mapTo(dialog, control.rect().topRight()).x()
        assert control.width() >= control.minimumSizeHint().width()
        assert right < dialog.width()
    assert dialog.rect().contains(dialog.buttons.geometry())


def test_the_cautions_are_short_and_say_who_goes_first() -> None:
    """Magnets, needles, eyes; makers and doctors before us, in the long and in the short words."""
    for words in (SHORT, cautions_text()):
        for needed in ("pacemaker", "implant", "needles", "eyes", "makers", "doctor", "goes first"):
            assert needed in words, needed
    assert len(SHORT) < 200
    assert all(caution.endswith(".") and len(caution) < 110 for caution in CAUTIONS)
    assert cautions_text().count("\n") == len(CAUTIONS) - 1


def test_readme_has_the_same_cautions(repository: Path) -> None:
    """Whoever only reads README is warned of the same things."""
    told = (repository / "README.md").read_text(encoding="utf-8").split("<!-- cautions -->\n", 1)[1]
    assert told.split("\n<!-- /cautions -->", 1)[0] == cautions_text()


def test_minutes_of_quiet_are_taken_together(dialog: SettingsDialog, seen: Seen) -> None:
    """A pause that would begin after the end of the sitting begins with it."""
    assert (dialog.gap.value(), dialog.idle.value()) == (45, 5)
    dialog.gap.setValue(20)
    dialog.idle.setValue(60)
    assert seen.all[0].pauses == Pauses(20, 5)
    assert seen.all[-1].pauses == Pauses(20, 20)
