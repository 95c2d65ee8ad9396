"""Windows beside the board are wholly on her screen, whatever it is."""

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QSize
from PySide6.QtGui import QScreen
from PySide6.QtWidgets import QApplication, QDialog, QWidget

from stitchview.ui.screenroom import FRAME, open_at

USUAL = QSize(980, 560)


@pytest.fixture
def under(qapp: QApplication) -> Iterator[QWidget]:
    """A small window that another stands over."""
    widget = QWidget()
    widget.resize(400, 300)
    yield widget
    widget.deleteLater()


def _opened(under: QWidget, screen: QSize, monkeypatch: pytest.MonkeyPatch) -> QSize:
    monkeypatch.setattr(QScreen, "availableSize", lambda _: screen)
    window = QDialog(under)
    open_at(window, USUAL)
    return window.size()


def test_its_buttons_are_on_a_small_screen(under: QWidget, monkeypatch: pytest.MonkeyPatch) -> None:
    """On a laptop whose letters are set large, no button of a window lies below the edge of the screen."""
    assert _opened(under, QSize(910, 512), monkeypatch) == QSize(910, 512) - FRAME


def test_it_is_as_large_as_usual_on_a_large_screen(under: QWidget, monkeypatch: pytest.MonkeyPatch) -> None:
    """On a large screen a window is as large as it was made."""
    assert _opened(under, QSize(1920, 1080), monkeypatch) == USUAL


def test_it_is_as_large_as_the_board(under: QWidget, monkeypatch: pytest.MonkeyPatch) -> None:
    """Over a board larger than the screen, as the tour without a screen has it, nothing is made smaller."""
    under.resize(1280, 800)
    assert _opened(under, QSize(800, 800), monkeypatch) == USUAL
