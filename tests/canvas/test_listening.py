"""What another window writes is heard of: at once where the system tells, and else soon."""

import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QFileSystemWatcher, QObject
from pytestqt.qtbot import QtBot

from stitchview.canvas import listening
from stitchview.canvas.listening import Listening

NEVER_MS = 10_000_000
tells = pytest.mark.skipif(
    not sys.platform.startswith("linux"), reason="tried where the system tells of files"
)


class Ear(QObject):
    """Counts what it hears."""

    def __init__(self) -> None:
        super().__init__()
        self.heard = 0

    def hear(self) -> None:
        """Hear something."""
        self.heard += 1


@pytest.fixture
def ear(qtbot: QtBot) -> Iterator[Ear]:
    """An ear whose listening ends with the test."""
    ear = Ear()
    yield ear
    for each in ear.findChildren(Listening):
        each.stop()


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A file that others write into."""
    path = tmp_path / "harbour.svdone"
    path.write_bytes(b"one")
    return path


@tells
def test_what_is_written_is_heard_of_without_waiting(
    ear: Ear, file: Path, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Were the file only looked at now and then, this test would not end; also once it was replaced."""
    monkeypatch.setattr(listening, "LISTEN_MS", NEVER_MS)
    Listening(file, ear.hear, ear)
    file.write_bytes(b"two")
    qtbot.waitUntil(lambda: ear.heard > 0, timeout=20_000)
    other = file.with_name("other")
    other.write_bytes(b"three")
    before = ear.heard
    other.replace(file)
    qtbot.waitUntil(lambda: ear.heard > before, timeout=20_000)
    before = ear.heard
    file.write_bytes(b"four")
    qtbot.waitUntil(lambda: ear.heard > before, timeout=20_000)


def test_where_the_system_tells_nothing_it_is_looked_at_soon(
    ear: Ear, file: Path, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A drive of a network says nothing of what others write."""
    monkeypatch.setattr(QFileSystemWatcher, "addPath", lambda *_: False)
    Listening(file, ear.hear, ear)
    qtbot.waitUntil(lambda: ear.heard > 1, timeout=20_000)


def test_marks_in_memory_are_nobody_elses(ear: Ear, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without a file there is nothing to listen to."""
    monkeypatch.setattr(listening, "LISTEN_MS", 1)
    Listening(None, ear.hear, ear)
    qtbot.wait(50)
    assert ear.heard == 0
