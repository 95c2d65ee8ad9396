"""The window by itself: how large it is on the first evening."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings, QSize
from PySide6.QtWidgets import QApplication

from stitchview.ui.program import Program
from stitchview.ui.window import USUAL_SIZE, Window


@pytest.fixture
def window(qapp: QApplication, tmp_path: Path) -> Iterator[Window]:
    """A window nobody has used yet."""
    program = Program(qapp, QSettings(str(tmp_path / "kept.ini"), QSettings.Format.IniFormat))
    yield program.window
    program.window.deleteLater()


def test_it_keeps_its_usual_size_on_a_large_screen(window: Window) -> None:
    """On a large screen the window is as large as it likes."""
    window.stay_within(QSize(1920, 1080))
    assert window.size() == QSize(*USUAL_SIZE)


def test_the_place_line_is_on_a_laptop_screen(window: Window) -> None:
    """On a laptop with 1366 x 768 pixels the line under the chart can be seen on the first evening."""
    window.stay_within(QSize(1366, 768))
    assert window.width() == USUAL_SIZE[0]
    assert window.height() < 768


def test_a_size_of_her_own_stays(window: Window) -> None:
    """A window she made larger or smaller is left alone."""
    window.resize(700, 900)
    window.stay_within(QSize(1366, 768))
    assert window.size() == QSize(700, 900)
