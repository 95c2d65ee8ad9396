"""The program comes up whole, whatever was wished for on the evening before."""

from pathlib import Path

import pytest
from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from stitchview.ui.preferences import Preferences, keep_preferences
from stitchview.ui.program import Program
from stitchview.ui.theme import Theme


@pytest.mark.parametrize("theme", list(Theme))
def test_it_starts_in_the_theme_kept(qtbot: QtBot, qapp: QApplication, tmp_path: Path, theme: Theme) -> None:
    """A program that was left dark comes up dark, and one left light comes up light."""
    settings = QSettings(str(tmp_path / "settings.ini"), QSettings.Format.IniFormat)
    keep_preferences(settings, Preferences(theme=theme))
    program = Program(qapp, settings)
    qtbot.addWidget(program.window)
    assert program.wishes.preferences.theme is theme
    if theme is not Theme.SYSTEM:
        assert program.wishes.night is (theme is Theme.DARK)
    assert program.may_close()
