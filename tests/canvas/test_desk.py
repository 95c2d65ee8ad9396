"""The chart on the desk: one door for every change, and word of what is kept in the window's own thread."""

import threading
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QObject
from pytestqt.qtbot import QtBot

from stitchview.canvas.desk import Desk, Keeping
from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.change import DONE, OPEN, Change, Selection
from stitchview.done.layerfile import OpenedLayer, open_layer
from stitchview.done.shapes import Takes, rectangle
from stitchview.errors import LayerError


class Listener(QObject):
    """Takes note of what a desk tells, and on which thread."""

    def __init__(self) -> None:
        super().__init__()
        self.changes: list[Change] = []
        self.keepings: list[Keeping] = []
        self.threads: set[threading.Thread] = set()

    def changed(self, change: Change) -> None:
        self.changes.append(change)

    def kept(self, keeping: Keeping) -> None:
        self.keepings.append(keeping)
        self.threads.add(threading.current_thread())


class Room:
    """Desks on one chart in one folder, closed at the end."""

    def __init__(self, chart: Chart, folder: Path) -> None:
        self.chart, self.folder = chart, folder
        self.desks: list[Desk] = []

    def opened(self, look_only: bool = False) -> OpenedLayer:
        path = self.folder / "charts" / "harbour.svchart"
        path.parent.mkdir(exist_ok=True)
        return open_layer(path, self.chart, self.folder / "elsewhere", "sofa", look_only)

    def desk(self, look_only: bool = False) -> Desk:
        self.desks.append(Desk(self.opened(look_only)))
        return self.desks[-1]

    def all_of(self, area: Area) -> Selection:
        return rectangle(self.chart, area, Takes())


@pytest.fixture
def room(qapp: object, small_chart: Callable[[], Chart], tmp_path: Path) -> Iterator[Room]:
    """A room with the small chart."""
    assert qapp
    room = Room(small_chart(), tmp_path)
    yield room
    for desk in room.desks:
        desk.close()
        desk.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def listener_of(desk: Desk) -> Listener:
    """Someone who listens to a desk."""
    listener = Listener()
    desk.tell(listener.changed)
    desk.tell_keeping(listener.kept)
    return listener


def test_a_mark_is_told_once_and_counted(room: Room) -> None:
    """Marking squares tells every listener what has changed, and the counts know it."""
    desk = room.desk()
    listener = listener_of(desk)
    change = desk.mark(room.all_of(Area(1, 1, 4, 2)), DONE)
    assert change is not None
    assert listener.changes == [change]
    assert int(desk.marks.squares.sum()) == np.count_nonzero(room.chart.squares[1:3, 1:5])
    assert desk.latest is change
    assert desk.can_undo
    assert not desk.can_redo


def test_a_mark_that_alters_nothing_is_no_stroke(room: Room) -> None:
    """Marking what is marked, or where nothing is to stitch, leaves nothing to undo."""
    desk = room.desk()
    listener = listener_of(desk)
    assert desk.mark(room.all_of(Area(0, 4, 1, 3)), DONE) is None
    assert desk.mark(Selection(), DONE) is None
    assert desk.mark(room.all_of(Area(1, 1, 4, 2)), OPEN) is None
    assert not listener.changes
    assert not desk.can_undo
    assert desk.latest is None


def test_undo_and_redo_go_back_and_forth(room: Room) -> None:
    """Every stroke can be taken back and made again, and each time listeners are told."""
    desk = room.desk()
    listener = listener_of(desk)
    states = [desk.marks.squares.copy()]
    for column in range(1, 4):
        desk.mark(room.all_of(Area(column, 1, 1, 8)), DONE)
        states.append(desk.marks.squares.copy())
    for state in reversed(states[:-1]):
        assert desk.undo() is not None
        assert np.array_equal(desk.marks.squares, state)
    assert desk.undo() is None
    assert not desk.can_undo
    for state in states[1:]:
        assert desk.redo() is not None
        assert np.array_equal(desk.marks.squares, state)
    assert desk.redo() is None
    assert len(listener.changes) == 9


def test_what_is_shown_as_kept_is_on_disk(room: Room, qtbot: QtBot) -> None:
    """When the desk says that nothing waits any more, another program finds all marks in the file."""
    desk = room.desk()
    listener = listener_of(desk)
    for column in range(1, 6):
        desk.mark(room.all_of(Area(column, 1, 1, 8)), DONE)
    qtbot.waitUntil(lambda: bool(listener.keepings) and listener.keepings[-1] == Keeping(0))
    seen = room.desk(look_only=True)
    assert np.array_equal(seen.marks.squares, desk.marks.squares)


def test_word_of_keeping_comes_in_the_windows_thread(room: Room, qtbot: QtBot) -> None:
    """The disk is another thread's work, but the window is told in its own."""
    desk = room.desk()
    listener = listener_of(desk)
    desk.mark(room.all_of(Area(1, 1, 4, 2)), DONE)
    assert desk.keeping.waiting == 1
    qtbot.waitUntil(lambda: desk.keeping.waiting == 0)
    assert listener.threads == {threading.main_thread()}
    assert any(thread.name == "stitchview keeper" for thread in threading.enumerate())


def test_marks_are_there_when_the_chart_is_opened_again(room: Room) -> None:
    """Closing keeps everything: marks, what can be undone, and the place to resume at."""
    desk = room.desk()
    desk.mark(room.all_of(Area(1, 1, 4, 2)), DONE)
    desk.mark(room.all_of(Area(1, 3, 4, 2)), DONE)
    desk.undo()
    desk.keep_place({"column": 3, "row": 2})
    assert desk.close() is None
    again = room.desk()
    assert np.array_equal(again.marks.squares, desk.marks.squares)
    assert again.place == {"column": 3, "row": 2}
    assert again.can_undo
    assert again.can_redo
    assert again.latest is not None
    assert again.latest.area == desk.latest.area if desk.latest else False


def test_flushing_waits_for_the_disk(room: Room) -> None:
    """After a flush nothing waits to be kept."""
    desk = room.desk()
    desk.mark(room.all_of(Area(1, 1, 4, 2)), DONE)
    assert desk.flush()
    QCoreApplication.processEvents()
    assert desk.keeping == Keeping(0)


def test_trouble_with_the_disk_is_told_in_words(
    room: Room, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    """If the disk is full the desk says so, keeps the marks in hand, and says when it is over."""
    opened = room.opened()
    desk = Desk(opened)
    room.desks.append(desk)
    listener = listener_of(desk)
    commit = opened.layer.commit

    def refuse() -> tuple[bytes, ...]:
        raise LayerError("The disk is full.", "Make room, then go on.")

    monkeypatch.setattr(opened.layer, "commit", refuse)
    desk.mark(room.all_of(Area(1, 1, 4, 2)), DONE)
    qtbot.waitUntil(lambda: desk.keeping.trouble != "")
    assert desk.keeping == Keeping(1, "The disk is full. Make room, then go on.")
    assert not desk.flush()
    assert desk.marks.squares.any()
    monkeypatch.setattr(opened.layer, "commit", commit)
    assert desk.flush()
    qtbot.waitUntil(lambda: desk.keeping == Keeping(0))
    assert listener.threads == {threading.main_thread()}


def test_what_cannot_be_kept_is_said_at_closing(room: Room, monkeypatch: pytest.MonkeyPatch) -> None:
    """If the last strokes cannot be written even at the end, closing says so."""
    opened = room.opened()
    desk = Desk(opened)

    def refuse() -> tuple[bytes, ...]:
        raise LayerError("The disk is full.", "Make room, then go on.")

    monkeypatch.setattr(opened.layer, "commit", refuse)
    desk.mark(room.all_of(Area(1, 1, 4, 2)), DONE)
    told = desk.close()
    assert told is not None
    assert "disk is full" in str(told)
    desk.deleteLater()


def test_marks_in_memory_are_never_called_kept(room: Room) -> None:
    """Where nothing can be written, the desk says that the marks end with the window."""
    desk = room.desk(look_only=True)
    desk.mark(room.all_of(Area(1, 1, 4, 2)), DONE)
    assert desk.keeping.waiting == 0
    assert "memory" in desk.keeping.trouble


def test_a_listener_that_is_gone_is_not_called(room: Room) -> None:
    """A panel that was closed hears nothing more, and nothing goes wrong."""
    desk = room.desk()
    listener = listener_of(desk)
    heard = listener.changes
    listener.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    desk.mark(room.all_of(Area(1, 1, 4, 2)), DONE)
    assert not heard


def test_another_window_is_seen_within_a_second(room: Room, qtbot: QtBot) -> None:
    """Marked on one desk, the other tells its listeners soon, by itself, and can undo it."""
    one, two, listener = room.desk(), room.desk(), Listener()
    two.tell(listener.changed)
    one.mark(room.all_of(Area(1, 1, 10, 1)), DONE)
    qtbot.waitUntil(lambda: bool(listener.changes), timeout=5000)
    assert np.array_equal(one.marks.squares, two.marks.squares)
    assert two.can_undo
    two.undo()
    qtbot.waitUntil(lambda: not one.marks.squares.any(), timeout=5000)
