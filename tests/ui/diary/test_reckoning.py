"""What takes long is done beside the window: only the last asking is told, no rubbish is cleared there."""

import gc
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
    parent, before = QObject(), gc.isenabled()
    gc.enable()
    reckoning = Reckoning(told.fail, parent)
    yield reckoning
    reckoning.stop()
    assert gc.isenabled()
    if not before:
        gc.disable()


def test_only_the_last_of_a_kind_is_told(reckoning: Reckoning, told: Told, qtbot: QtBot) -> None:
    """Asked three times quickly, she hears the last; of another kind that one too."""
    go_on = threading.Event()
    reckoning.ask("first", go_on.wait, told.take)
    for number in range(3):
        reckoning.ask("words", partial(int, number), told.take)
    go_on.set()
    qtbot.waitUntil(lambda: reckoning.rests, timeout=20_000)
    assert told.results == [True, 2]


def test_rubbish_is_left_to_the_window_s_thread(reckoning: Reckoning, told: Told, qtbot: QtBot) -> None:
    """While the thread works nothing is collected, however it ends; afterwards it is as it was."""
    reckoning.ask("fine", gc.isenabled, told.take)
    assert not gc.isenabled()
    qtbot.waitUntil(lambda: reckoning.rests, timeout=20_000)
    assert told.results == [False]
    assert gc.isenabled()

    def refuse() -> None:
        raise StitchviewError("The pen is dry.", "Fill it.")

    reckoning.ask("wrong", refuse, told.take)
    qtbot.waitUntil(lambda: reckoning.rests, timeout=20_000)
    assert told.troubles == ["The pen is dry."]
    assert gc.isenabled()


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
    """The thread goes on alone for a while, still without collecting; then all is as it was."""
    go_on = threading.Event()
    reckoning.ask("long", go_on.wait, told.take)
    reckoning.forget()
    assert reckoning.rests
    assert not gc.isenabled()
    go_on.set()
    qtbot.waitUntil(gc.isenabled, timeout=20_000)
    assert told.results == []


def test_where_nothing_is_collected_it_stays_so(reckoning: Reckoning, told: Told, qtbot: QtBot) -> None:
    """As while the program comes up: the diary does not begin what somebody else put off."""
    gc.disable()
    try:
        reckoning.ask("fine", gc.isenabled, told.take)
        qtbot.waitUntil(lambda: reckoning.rests, timeout=20_000)
        assert not gc.isenabled()
    finally:
        gc.enable()
