"""Rubbish of the window is cleared in the window's thread and in no other."""

import gc
import threading
import weakref
from collections.abc import Iterator

import pytest
from PySide6.QtCore import QObject
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from stitchview.ui.rubbish import NEW_THINGS, Rubbish


class Ring:
    """Something that holds itself, and notes in which thread it was taken apart."""

    ends: list[int]

    def __init__(self, ends: list[int]) -> None:
        self.me, self.ends = self, ends

    def __del__(self) -> None:
        self.ends.append(threading.get_ident())


@pytest.fixture
def rubbish(qapp: QApplication) -> Iterator[Rubbish]:
    """The collector on its timer."""
    assert qapp
    parent, before = QObject(), gc.isenabled()
    rubbish = Rubbish(parent)
    yield rubbish
    rubbish.stop()
    if not before:
        gc.disable()


def test_a_busy_thread_clears_nothing(rubbish: Rubbish, qtbot: QtBot) -> None:
    """However much a thread beside the window makes, rings are taken apart in the window's thread."""
    assert rubbish
    ends: list[int] = []
    ring = weakref.ref(Ring(ends))

    def make_much() -> None:
        kept = [[number] for number in range(50 * NEW_THINGS)]
        assert kept

    busy = threading.Thread(target=make_much)
    busy.start()
    busy.join()
    assert ends == []

    def gone() -> bool:
        # New things are what makes it look.
        held.append([[] for _ in range(NEW_THINGS)])
        return ring() is None

    held: list[list[list[int]]] = []
    qtbot.waitUntil(gone, timeout=20_000)
    assert ends == [threading.get_ident()]


def test_without_new_things_it_rests(rubbish: Rubbish) -> None:
    """What was just cleared is not looked through again."""
    gc.collect()
    before = gc.get_stats()
    rubbish.clear()
    assert [each["collections"] for each in gc.get_stats()] == [each["collections"] for each in before]


def test_in_the_end_python_collects_by_itself(rubbish: Rubbish) -> None:
    """Put away, it leaves everything as it was before."""
    assert not gc.isenabled()
    rubbish.stop()
    assert gc.isenabled()
