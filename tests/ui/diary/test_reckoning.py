"""What takes long is done beside the window: only the last asking is told, and every task is done."""

import threading
from collections.abc import Iterator
from functools import partial

import pytest
from PySide6.QtCore import QObject
from pytestqt.qtbot import QtBot

from stitchview.errors import StitchviewError
from stitchview.ui.diary.reckoning import Reckoning


class Told:
    """What was told, and what failed."""

    def __init__(self) -> None:
        self.results: list[object] = []
        self.troubles: list[str] = []

    def take(self, result: object) -> None:
        self.results.append(result)

    def fail(self, error: StitchviewError) -> None:
        self.troubles.append(error.what)


@pytest.fixture
def told() -> Told:
    """Nothing yet."""
    return Told()


@pytest.fixture
def reckoning(qtbot: QtBot, told: Told) -> Iterator[Reckoning]:
    """A thread to reckon in, gone at the end."""
    parent = QObject()
    reckoning = Reckoning(told.fail, parent)
    yield reckoning
    reckoning.stop()


def test_only_the_last_of_a_kind_is_told(reckoning: Reckoning, told: Told, qtbot: QtBot) -> None:
    """Asked three times quickly, she hears the last; of another kind that one too."""
    go_on = threading.Event()
    reckoning.ask("first", go_on.wait, told.take)
    for number in range(3):
        reckoning.ask("words", partial(int, number), told.take)
    go_on.set()
    qtbot.waitUntil(lambda: reckoning.rests, timeout=20_000)
    assert told.results == [True, 2]


def test_every_task_is_done(reckoning: Reckoning, told: Told, qtbot: QtBot) -> None:
    """Two files saved one after the other are both written, even if the diary is closed at once."""
    go_on = threading.Event()
    reckoning.ask("long", go_on.wait, told.take)
    for number in range(2):
        reckoning.see_to(partial(int, number), told.take)
    reckoning.forget()
    go_on.set()
    qtbot.waitUntil(lambda: reckoning.rests, timeout=20_000)
    assert told.results == [0, 1]


def test_what_nobody_foresaw_comes_to_light(reckoning: Reckoning, told: Told, qtbot: QtBot) -> None:
    """Raised in the window's thread, where it is written down and said, and nobody waits for ever."""
    with qtbot.captureExceptions() as faults:
        reckoning.ask("wrong", partial(int, "a needle"), told.take)
        qtbot.waitUntil(lambda: reckoning.rests, timeout=20_000)
    assert [kind for kind, _, _ in faults] == [ValueError]
    assert (told.results, told.troubles) == ([], [])


def test_what_is_forgotten_is_not_told(reckoning: Reckoning, told: Told, qtbot: QtBot) -> None:
    """The thread goes on alone for a while; what is asked afterwards is told as ever."""
    go_on = threading.Event()
    reckoning.ask("long", go_on.wait, told.take)
    reckoning.forget()
    assert reckoning.rests
    go_on.set()
    reckoning.ask("words", partial(int, 7), told.take)
    qtbot.waitUntil(lambda: reckoning.rests, timeout=20_000)
    assert told.results == [7]


def test_files_that_wait_are_written_before_the_chart_closes(reckoning: Reckoning, told: Told) -> None:
    """Stopped while one is being written and one waits, both are done and told, and what failed is said."""

    def refuse() -> None:
        raise StitchviewError("The pen is dry.", "Fill it.")

    for number in range(2):
        reckoning.see_to(partial(int, number), told.take)
    reckoning.see_to(refuse, told.take)
    reckoning.ask("words", partial(int, 7), told.take)
    reckoning.stop()
    assert told.results == [0, 1]
    assert told.troubles == ["The pen is dry."]
    assert reckoning.rests
