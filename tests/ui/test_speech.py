"""Runs are said aloud only if that is wanted, and a program without a voice works just so."""

import importlib

import pytest
from pytestqt.qtbot import QtBot

from stitchview.ui import speech
from stitchview.ui.preferences import Preferences
from stitchview.ui.settingsdialog import SettingsDialog
from stitchview.ui.speech import MISSING, Speech


class Parrot:
    """Remembers what it was to say."""

    def __init__(self) -> None:
        self.said: list[str] = []

    def say(self, words: str, /) -> None:
        self.said.append(words)

    def stop(self) -> None:
        self.said.append("(hush)")


@pytest.fixture
def no_voice(monkeypatch: pytest.MonkeyPatch) -> None:
    """A computer on which the part of Qt that speaks cannot be imported."""

    def refuse(name: str) -> None:
        raise ImportError(name)

    speech.make_of_engine.cache_clear()
    monkeypatch.setattr(importlib, "import_module", refuse)


def test_it_is_silent_until_it_is_wanted() -> None:
    """Off says nothing and makes no voice; on says each run; off again breaks off."""
    parrot = Parrot()
    aloud = Speech(lambda: parrot)
    aloud.say("3 slate blue")
    assert parrot.said == []
    aloud.want(True)
    aloud.say("7 slate blue")
    aloud.want(False)
    aloud.say("2 slate blue")
    assert parrot.said == ["7 slate blue", "(hush)"]


@pytest.mark.usefixtures("no_voice")
def test_it_works_without_a_voice(qtbot: QtBot) -> None:
    """Nothing is said, nothing fails, and the settings tell how a voice is had."""
    aloud = Speech()
    aloud.want(True)
    aloud.say("7 slate blue")
    taken: list[Preferences] = []
    dialog = SettingsDialog(Preferences(), taken.append)
    qtbot.addWidget(dialog)
    assert not dialog.speaks.isEnabled()
    assert dialog.no_voice.text() == MISSING
    speech.make_of_engine.cache_clear()
