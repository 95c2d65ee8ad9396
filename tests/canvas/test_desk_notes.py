"""Notes go through the desk's one door: told by their own type, undone with the marks, kept on disk."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QObject
from pytestqt.qtbot import QtBot

from stitchview.canvas.desk import Desk, Keeping
from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.change import DONE, OPEN, Change, Selection
from stitchview.done.layerfile import open_layer
from stitchview.done.notebook import Notes, NotesChange
from stitchview.done.notes import HeldBack, Parked, Pin
from stitchview.done.shapes import Takes, rectangle
from stitchview.follow.parking import parking

MAST = Pin("p1", 3, 4, "Mast")


class Listener(QObject):
    """Takes note of what a desk tells, in order."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.told: list[Change | NotesChange] = []
        desk.tell(self.changed)
        desk.tell_notes(self.noted)

    def changed(self, change: Change) -> None:
        self.told.append(change)

    def noted(self, notes: NotesChange) -> None:
        self.told.append(notes)


@pytest.fixture
def desk_of(qapp: object, tmp_path: Path) -> Iterator[Callable[[Chart], Desk]]:
    """Gives desks on charts that all lie in one folder; closed at the end."""
    assert qapp
    desks: list[Desk] = []

    def built(chart: Chart) -> Desk:
        desks.append(Desk(open_layer(tmp_path / "harbour.svchart", chart, tmp_path / "elsewhere", "sofa")))
        return desks[-1]

    yield built
    for desk in desks:
        desk.close()
        desk.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def squares_in(chart: Chart, area: Area) -> Selection:
    return rectangle(chart, area, Takes(lines=False))


def test_a_note_is_told_by_its_own_type(
    desk_of: Callable[[Chart], Desk], small_chart: Callable[[], Chart]
) -> None:
    """Those who listen for notes hear of a pin; those who draw marks do not."""
    desk = desk_of(small_chart())
    listener = Listener(desk)
    change = desk.note(desk.notes.putting(MAST))
    assert change is not None
    assert listener.told == [change.notes]
    assert change.area == Area(3, 4, 1, 1)
    assert desk.notes == Notes.of([MAST])
    assert desk.note(desk.notes.putting(MAST)) is None
    assert desk.note(None) is None
    assert len(listener.told) == 1
    assert desk.latest is None


def test_undo_takes_back_whichever_came_last(
    desk_of: Callable[[Chart], Desk], small_chart: Callable[[], Chart]
) -> None:
    """Pin, marks, choice: taken back one after the other, and made again, each told to its listeners."""
    desk = desk_of(small_chart())
    desk.note(desk.notes.putting(MAST))
    marked = desk.mark(squares_in(desk.chart, Area(1, 1, 4, 2)), DONE)
    desk.note(desk.notes.putting(HeldBack("a", True)))
    listener = Listener(desk)
    while desk.can_undo:
        assert desk.undo() is not None
    while desk.can_redo:
        assert desk.redo() is not None
    kinds = [type(told) for told in listener.told]
    assert kinds == [NotesChange, Change, NotesChange, NotesChange, Change, NotesChange]
    assert desk.notes == Notes.of([MAST, HeldBack("a", True)])
    assert desk.latest is marked


def test_stitching_on_takes_a_parked_thread_up(
    desk_of: Callable[[Chart], Desk], small_chart: Callable[[], Chart]
) -> None:
    """One stroke marks and unparks, and one undo takes out the stitches and hangs the thread again."""
    desk = desk_of(small_chart())
    desk.note(parking(desk.chart, desk.notes, 1, 1, 1))
    hanging = desk.notes
    assert hanging.parked == (Parked("a", 1, 1),)
    listener = Listener(desk)
    assert desk.mark(squares_in(desk.chart, Area(9, 1, 2, 2)), DONE) is not None
    assert desk.notes == hanging
    assert desk.mark(squares_in(desk.chart, Area(1, 1, 1, 1)), DONE) is not None
    assert desk.notes == Notes()
    assert [type(told) for told in listener.told] == [Change, Change, NotesChange]
    desk.undo()
    assert desk.notes == hanging
    assert desk.marks.squares[1, 1] == OPEN
    desk.redo()
    assert desk.notes == Notes()


def test_a_mark_and_its_note_are_one_stroke(
    desk_of: Callable[[Chart], Desk], small_chart: Callable[[], Chart]
) -> None:
    """What is noted with a mark comes and goes with it; alone it is noted though nothing was left to mark."""
    desk = desk_of(small_chart())
    selection = squares_in(desk.chart, Area(1, 1, 4, 2))
    desk.note(parking(desk.chart, desk.notes, 1, 1, 1))
    both = desk.mark(selection, DONE, desk.notes.putting(MAST, HeldBack("b", True)))
    assert both is not None
    assert both.count > 0
    assert desk.notes == Notes.of([MAST, HeldBack("b", True)])
    desk.undo()
    assert desk.notes == Notes.of([Parked("a", 1, 1)])
    desk.redo()
    alone = desk.mark(selection, DONE, desk.notes.removing(MAST))
    assert alone is not None
    assert alone.count == 0
    assert desk.notes == Notes.of([HeldBack("b", True)])
    assert desk.mark(selection, DONE) is None


def test_parking_again_in_the_square_just_marked(
    desk_of: Callable[[Chart], Desk], small_chart: Callable[[], Chart]
) -> None:
    """A thread that is taken up and parked anew with one stroke hangs where she parked it."""
    desk = desk_of(small_chart())
    desk.note(parking(desk.chart, desk.notes, 1, 1, 1))
    anew = desk.notes.putting(Parked("a", 9, 1))
    desk.mark(squares_in(desk.chart, Area(1, 1, 1, 1)), DONE, anew)
    assert desk.notes.parked == (Parked("a", 9, 1),)


def test_notes_are_kept_and_found_again(
    desk_of: Callable[[Chart], Desk], small_chart: Callable[[], Chart], qtbot: QtBot
) -> None:
    """A note waits for the disk as a mark does, and is there when the chart is opened again."""
    desk = desk_of(small_chart())
    desk.note(desk.notes.putting(MAST))
    assert desk.keeping.waiting == 1
    qtbot.waitUntil(lambda: desk.keeping == Keeping(0))
    assert desk.close() is None
    again = desk_of(small_chart())
    assert again.notes == Notes.of([MAST])
    assert again.undo() is not None
    assert again.notes == Notes()
