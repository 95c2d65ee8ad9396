"""The welcome: over the sample, out of the way, and by keys as well as by hand."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QWidget
from pytestqt.qtbot import QtBot

from stitchview.errors import StitchviewError
from stitchview.ui import welcome
from stitchview.ui.theme import Theme, apply_theme
from stitchview.ui.welcome import TRIES, WelcomePanel, sample_words, shipped_samples

SAMPLES = (Path("/ships/big-harbour.svchart"), Path("/ships/small_jetty"))


class Host:
    """Notes what was asked for."""

    def __init__(self) -> None:
        self.said: list[object] = []

    def chart_asked(self) -> None:
        """A chart is to be opened."""
        self.said.append("open")

    def sample_asked(self, path: Path) -> None:
        """A sample is to be opened."""
        self.said.append(path)

    def welcome_closed(self) -> None:
        """She has read it."""
        self.said.append("closed")


@pytest.fixture
def host() -> Host:
    """Who listens."""
    return Host()


@pytest.fixture
def panel(qtbot: QtBot, host: Host, monkeypatch: pytest.MonkeyPatch) -> WelcomePanel:
    """The welcome over a window, with two samples."""
    monkeypatch.setattr(welcome, "shipped_samples", lambda: SAMPLES)
    window = QWidget()
    qtbot.addWidget(window)
    window.resize(900, 600)
    panel = WelcomePanel(host, window)
    window.show()
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    return panel


def test_it_tells_three_things_to_try(panel: WelcomePanel) -> None:
    """The band, marking, and coming back."""
    told = " ".join(label.text() for label in panel.findChildren(QLabel))
    assert len(TRIES) == 3
    for first, rest in TRIES:
        assert first in told
        assert rest in told


@pytest.mark.parametrize("key", [Qt.Key.Key_Return, Qt.Key.Key_Space])
def test_each_button_is_pressed_by_keys(panel: WelcomePanel, host: Host, key: Qt.Key) -> None:
    """Tab goes to it, Enter or Space presses it, and the welcome is gone."""
    panel.setFocus()
    assert panel.close_button.hasFocus()
    QTest.keyClick(panel.close_button, Qt.Key.Key_Tab)
    assert panel.samples_button.hasFocus()
    QTest.keyClick(panel.samples_button, Qt.Key.Key_Tab)
    assert panel.open_button.hasFocus()
    QTest.keyClick(panel.open_button, key)
    assert host.said == ["closed", "open"]
    assert panel.isHidden()


def test_a_sample_is_chosen_from_its_list(panel: WelcomePanel, host: Host) -> None:
    """The list names what comes with the program."""
    menu = panel.samples_button.menu()
    actions = menu.actions()
    assert [action.text() for action in actions] == ["Big harbour", "Small jetty"]
    actions[1].trigger()
    assert host.said == ["closed", SAMPLES[1]]


@pytest.mark.parametrize("way", ["button", "escape"])
def test_it_goes_away_when_she_has_read_it(panel: WelcomePanel, host: Host, way: str) -> None:
    """By its button or by Escape, and says so once."""
    if way == "button":
        QTest.mouseClick(panel.close_button, Qt.MouseButton.LeftButton)
    else:
        panel.setFocus()
        QTest.keyClick(panel.close_button, Qt.Key.Key_Escape)
    assert host.said == ["closed"]
    assert panel.isHidden()


@pytest.mark.parametrize("size", [(1600, 1000), (700, 400), (360, 320)])
@pytest.mark.parametrize("letters", [1.0, 2.0])
def test_it_stays_in_the_middle_with_its_buttons_in_sight(
    panel: WelcomePanel, qapp: QApplication, qtbot: QtBot, size: tuple[int, int], letters: float
) -> None:
    """However large the window and the letters, the ways to go on can be seen."""
    apply_theme(qapp, Theme.LIGHT)
    font = QFont(qapp.font())
    font.setPointSizeF(font.pointSizeF() * letters)
    qapp.setFont(font)
    window = panel.window()
    window.resize(*size)
    qtbot.waitUntil(lambda: (window.width(), window.height()) == size)
    QApplication.processEvents()
    assert window.rect().contains(panel.geometry())
    assert abs(panel.geometry().center().x() - window.rect().center().x()) <= 1
    for button in (panel.close_button, panel.samples_button, panel.open_button):
        corner = button.mapTo(panel, button.rect().bottomRight())
        assert panel.rect().contains(corner)
        assert button.height() >= 24


def test_what_lies_beside_it_can_still_be_used(panel: WelcomePanel, qtbot: QtBot) -> None:
    """It is no dialog: the chart behind it takes clicks."""
    window = panel.window()
    assert not panel.isWindow()
    assert window.childAt(3, 3) is None
    assert not window.isModal()


def test_without_samples_nothing_is_offered(
    qtbot: QtBot, host: Host, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A program installed by halves offers only what it has."""

    def missing(name: str) -> Path:
        raise StitchviewError(f"{name} is missing.")

    monkeypatch.setattr(welcome, "shipped", missing)
    assert shipped_samples() == ()
    window = QWidget()
    qtbot.addWidget(window)
    panel = WelcomePanel(host, window)
    window.show()
    assert panel.samples_button.isHidden()
    assert panel.open_button.isVisible()


def test_samples_are_files_and_folders_of_charts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What else lies in the folder is no sample."""
    (tmp_path / "big.svchart").write_bytes(b"")
    (tmp_path / "typed").mkdir()
    (tmp_path / "typed" / "chart.json").write_text("{}")
    (tmp_path / "notes.txt").write_text("")
    (tmp_path / "empty").mkdir()
    monkeypatch.setattr(welcome, "shipped", lambda _: tmp_path)
    assert [path.name for path in shipped_samples()] == ["big.svchart", "typed"]
    assert sample_words(Path("harbour_at-dusk.svchart")) == "Harbour at dusk"
