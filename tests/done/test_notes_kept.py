"""What was noted is there next week, whatever became of the chart and of the file meanwhile."""

import contextlib
import sqlite3
from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.layerfile import OpenedLayer
from stitchview.done.marks import noting
from stitchview.done.notebook import Notes, NotesChange
from stitchview.done.notes import HeldBack, NeedlefulEnd, Parked, Pin
from stitchview.done.shelf import shelves_of
from stitchview.errors import LayerError

if TYPE_CHECKING:
    from tests.done.conftest import Evening

MAST = Pin("p1", 3, 4, "Mast", "count again here")
NOTED = (
    MAST,
    Parked("a", 1, 1),
    HeldBack("b", True),
    NeedlefulEnd("n1", "a", 40, 2, 2, True, 370.25, 380.5),
)


def note(opened: OpenedLayer, notes: NotesChange | None) -> None:
    assert notes is not None
    change = noting(opened.marks.chart, notes)
    opened.marks.apply(change)
    opened.layer.put(opened.history.record(change))
    opened.layer.commit()


def refuse_the_second_format(action: int, name: str | None, value: str | None, *_: str | None) -> int:
    is_it = action == sqlite3.SQLITE_PRAGMA and (name, value) == ("user_version", "2")
    return sqlite3.SQLITE_DENY if is_it else sqlite3.SQLITE_OK


def version_of(opened: OpenedLayer) -> int:
    assert opened.layer.path is not None
    with contextlib.closing(sqlite3.connect(opened.layer.path)) as connection:
        (version,) = connection.execute("PRAGMA user_version").fetchone()
    return int(version)


def test_notes_are_there_next_week(evening: "Evening", small_chart: Callable[[], Chart]) -> None:
    """Closed and opened again, every kind of note is as it was, and can be taken back."""
    opened = evening.open(small_chart())
    note(opened, opened.marks.notes.putting(*NOTED))
    evening.close(opened)
    again = evening.open(small_chart())
    assert again.notices == ()
    assert again.marks.notes == Notes.of(NOTED)
    assert evening.undo(again) is not None
    assert again.marks.notes == Notes()
    evening.close(again)
    back = evening.open(small_chart())
    assert back.marks.notes == Notes()
    step = evening.redo(back)
    assert step is not None
    assert step.area == Area(1, 1, 3, 4)
    assert back.marks.notes == Notes.of(NOTED)


def test_one_undo_takes_back_the_last_thing_she_did(
    evening: "Evening", small_chart: Callable[[], Chart]
) -> None:
    """Marks and notes are taken back in the order in which they were made, across a restart."""
    opened = evening.open(small_chart())
    evening.mark(opened, Area(1, 1, 3, 1))
    note(opened, opened.marks.notes.putting(MAST))
    evening.mark(opened, Area(1, 2, 3, 1))
    note(opened, opened.marks.notes.putting(HeldBack("b", True)))
    evening.close(opened)
    again = evening.open(small_chart())
    seen = []
    for _ in range(4):
        seen.append((again.tally.total().done, len(list(again.marks.notes))))
        evening.undo(again)
    two_rows, one_row = seen[0][0], seen[2][0]
    assert two_rows > one_row > 0
    assert seen == [(two_rows, 2), (two_rows, 1), (one_row, 1), (one_row, 0)]
    assert evening.undo(again) is None


def test_where_she_stopped_is_a_mark(evening: "Evening", small_chart: Callable[[], Chart]) -> None:
    """A pin put in after the last mark is not what she stitched last, today or next week."""
    opened = evening.open(small_chart())
    note(opened, opened.marks.notes.putting(MAST))
    assert opened.history.latest() is None
    change = evening.mark(opened, Area(5, 1, 2, 1))
    assert change is not None
    note(opened, opened.marks.notes.removing(MAST))
    assert opened.history.latest() is change
    evening.close(opened)
    latest = evening.open(small_chart()).history.latest()
    assert latest is not None
    assert latest.area == change.area


def test_a_chart_that_grew_has_its_notes_where_they_were(
    evening: "Evening", small_chart: Callable[[], Chart]
) -> None:
    """With a sheet added at the left and the top, the pin is at the same stitch of the cloth."""
    chart = small_chart()
    opened = evening.open(chart)
    note(opened, opened.marks.notes.putting(*NOTED))
    evening.close(opened)
    squares = np.pad(chart.squares, ((7, 0), (4, 0)))
    plain = Chart(squares, chart.key, identity=chart.identity, origin=(-4, -7))
    grown = evening.open(plain)
    assert grown.marks.notes.pins == (replace(MAST, column=7, row=11),)
    assert grown.marks.notes.parked == (Parked("a", 5, 8),)
    moved = grown.marks.notes.putting(replace(MAST, column=0, row=0))
    note(grown, moved)
    evening.close(grown)
    assert evening.open(chart).marks.notes.pins == (replace(MAST, column=-4, row=-7),)


def test_a_file_without_notes_stays_as_older_programs_know_it(
    evening: "Evening", small_chart: Callable[[], Chart]
) -> None:
    """Opening, marking and undoing leave the first format; the first note begins the second."""
    opened = evening.open(small_chart())
    evening.mark(opened, Area(1, 1, 3, 1))
    evening.undo(opened)
    evening.close(opened)
    again = evening.open(small_chart())
    evening.mark(again, Area(1, 2, 3, 1))
    assert version_of(again) == 1
    note(again, again.marks.notes.putting(MAST))
    assert version_of(again) == 2
    evening.mark(again, Area(1, 3, 3, 1))
    evening.close(again)
    last = evening.open(small_chart())
    assert last.notices == ()
    assert last.marks.notes == Notes.of([MAST])
    assert last.tally.total().done > 0


def test_the_first_note_is_all_or_nothing(evening: "Evening", small_chart: Callable[[], Chart]) -> None:
    """When the disk fails while the file is made ready for notes, it is as it was, and the note waits."""
    opened = evening.open(small_chart())
    evening.mark(opened, Area(1, 1, 3, 1))
    connection = opened.layer._connection
    connection.set_authorizer(refuse_the_second_format)
    notes = opened.marks.notes.putting(MAST)
    assert notes is not None
    change = noting(opened.marks.chart, notes)
    opened.marks.apply(change)
    opened.layer.put(opened.history.record(change))
    with pytest.raises(LayerError):
        opened.layer.commit()
    assert version_of(opened) == 1
    assert opened.layer.waiting == 1
    connection.set_authorizer(None)
    assert len(opened.layer.commit()) == 1
    evening.close(opened)
    assert evening.open(small_chart()).marks.notes == Notes.of([MAST])


def test_looking_only_alters_nothing(evening: "Evening", small_chart: Callable[[], Chart]) -> None:
    """Notes are seen, and new ones stay in memory, when only looking."""
    opened = evening.open(small_chart())
    evening.mark(opened, Area(1, 1, 3, 1))
    evening.close(opened)
    content = evening.layer_path.read_bytes()
    looking = evening.open(small_chart(), look_only=True)
    note(looking, looking.marks.notes.putting(MAST))
    assert looking.marks.notes == Notes.of([MAST])
    assert evening.layer_path.read_bytes() == content


def test_two_windows_note_at_once(evening: "Evening", small_chart: Callable[[], Chart]) -> None:
    """Notes of both windows are kept though one of them did not know the second format had begun."""
    one, other = evening.open(small_chart()), evening.open(small_chart())
    note(one, one.marks.notes.putting(MAST))
    evening.mark(other, Area(1, 1, 3, 1))
    note(other, other.marks.notes.putting(Parked("a", 1, 1)))
    evening.close(one)
    evening.close(other)
    joined = evening.open(small_chart())
    assert joined.marks.notes == Notes.of([MAST, Parked("a", 1, 1)])
    # Their strokes did not know of one another, so undo must settle what holds without the last.
    evening.undo(joined)
    assert joined.marks.notes == Notes.of([MAST])
    evening.undo(joined)
    assert joined.tally.total().done == 0
    note(joined, joined.marks.notes.putting(HeldBack("a", True)))
    evening.undo(joined)
    evening.undo(joined)
    assert joined.marks.notes == Notes()
    evening.redo(joined)
    assert joined.marks.notes == Notes.of([MAST])


def test_notes_of_two_places_are_joined(evening: "Evening", small_chart: Callable[[], Chart]) -> None:
    """Notes that lie in the other folder come into the layer beside the chart, which had none so far."""
    chart = small_chart()
    elsewhere = evening.open(chart)
    note(elsewhere, elsewhere.marks.notes.putting(MAST, Parked("a", 1, 1)))
    note(elsewhere, elsewhere.marks.notes.removing(Parked("a", 1, 1)))
    evening.close(elsewhere)
    place = shelves_of(evening.chart_path, chart, evening.elsewhere)[1].free_place()
    place.parent.mkdir()
    evening.layer_path.replace(place)
    fallback, evening.elsewhere = evening.elsewhere, evening.folder / "nowhere"
    beside = evening.open(chart)
    evening.mark(beside, Area(1, 1, 3, 1))
    assert beside.marks.notes == Notes()
    assert version_of(beside) == 1
    evening.close(beside)
    evening.elsewhere = fallback
    joined = evening.open(chart)
    assert joined.layer.path == evening.layer_path
    assert "in two places" in joined.notices[0]
    assert joined.marks.notes == Notes.of([MAST])
    assert joined.tally.total().done > 0
    assert version_of(joined) == 2
