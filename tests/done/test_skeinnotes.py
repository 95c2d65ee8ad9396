"""What she notes of skeins and lots is kept, older layers go on with it, and older programs pass it over."""

import contextlib
import json
import sqlite3
import zlib
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done import noterows
from stitchview.done.deflated import MalformedStroke
from stitchview.done.layerfile import OpenedLayer
from stitchview.done.marks import noting
from stitchview.done.notebook import Notes, NotesChange, Rewritten
from stitchview.done.noterows import KINDS, packed, unpacked
from stitchview.done.notes import Note, Pin
from stitchview.done.skeinnotes import GOT, LotArea, LotTime, SkeinNote, SkeinSize
from stitchview.errors import CommandError

if TYPE_CHECKING:
    from tests.done.conftest import Evening

SKEIN = SkeinNote("s1", "Sample silk 04, dusk", "04", GOT, 2.5, "B 7", 1200.5, 1_760_000_000_000)
SIZE = SkeinSize("Sample silk 04, dusk", "04", 5.0, 12, 4.5)
AREA = LotArea("a1", "Sample silk 04, dusk", "04", "B 7", 2, 3, 4, 5)
TIME = LotTime("t1", "Sample silk 04, dusk", "04", "A", 10, 20)
EVERY: tuple[Note, ...] = (SKEIN, SIZE, AREA, TIME)
PIN = Pin("p1", 3, 4, "Mast")
THREAD: dict[str, Any] = {"name": "Sample silk 04, dusk", "number": "04"}
TOLD: dict[str, dict[str, Any]] = {
    "skeins": {
        **{"id": "s1", **THREAD, "event": "got", "skeins": 2.5, "lot": "B 7"},
        **{"reckoned_mm": 1200.5, "time": 1_760_000_000_000},
    },
    "skein size": {**THREAD, "length_m": 5.0, "strands": 12, "grams": 4.5},
    "lot area": {"id": "a1", **THREAD, "lot": "B 7", "column": -8, "row": 23, "columns": 4, "rows": 5},
    "lot time": {"id": "t1", **THREAD, "lot": "A", "since": 10, "until": 20},
}
OLDER_KINDS = ("pin", "parked", "held back", "needleful")


def note(opened: OpenedLayer, notes: NotesChange | None) -> None:
    assert notes is not None
    change = noting(opened.marks.chart, notes)
    opened.marks.apply(change)
    opened.layer.put(opened.history.record(change))
    opened.layer.commit()


def version_of(opened: OpenedLayer) -> int:
    assert opened.layer.path is not None
    with contextlib.closing(sqlite3.connect(opened.layer.path)) as connection:
        (version,) = connection.execute("PRAGMA user_version").fetchone()
    return int(version)


def test_a_layer_of_the_first_format_goes_on_with_skeins(
    evening: "Evening", small_chart: Callable[[], Chart]
) -> None:
    """A layer without notes keeps its marks when the first skein is noted, and all is there next week."""
    opened = evening.open(small_chart())
    evening.mark(opened, Area(1, 1, 4, 2))
    assert version_of(opened) == 1
    before = [states.copy() for states in opened.marks.families]
    note(opened, opened.marks.notes.putting(*EVERY))
    assert version_of(opened) == 2
    evening.close(opened)
    again = evening.open(small_chart())
    assert again.notices == ()
    assert again.marks.notes == Notes.of(EVERY)
    for mine, theirs in zip(before, again.marks.families, strict=True):
        assert np.array_equal(mine, theirs)
    assert evening.undo(again) is not None
    assert again.marks.notes == Notes()


def test_a_layer_with_older_notes_goes_on_with_skeins(
    evening: "Evening", small_chart: Callable[[], Chart]
) -> None:
    """A layer of the second format with a pin in it keeps the pin, and its format, when skeins are noted."""
    opened = evening.open(small_chart())
    note(opened, opened.marks.notes.putting(PIN))
    evening.close(opened)
    again = evening.open(small_chart())
    note(again, again.marks.notes.putting(*EVERY))
    assert version_of(again) == 2
    evening.close(again)
    last = evening.open(small_chart())
    assert last.marks.notes == Notes.of((PIN, *EVERY))


def test_an_older_program_passes_skeins_over_and_loses_none(
    evening: "Evening", small_chart: Callable[[], Chart], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A program that knows only older kinds opens the layer and notes a pin; no skein is lost."""
    opened = evening.open(small_chart())
    note(opened, opened.marks.notes.putting(*EVERY))
    evening.close(opened)
    with monkeypatch.context() as older:
        older.setattr(noterows, "KINDS", {name: KINDS[name] for name in OLDER_KINDS})
        there = evening.open(small_chart())
        assert there.notices == ()
        assert there.marks.notes == Notes()
        note(there, there.marks.notes.putting(PIN))
        evening.close(there)
    assert evening.open(small_chart()).marks.notes == Notes.of((PIN, *EVERY))


def test_what_the_file_says() -> None:
    """A stranger with zlib and JSON reads each kind as it is described, squares as addresses."""
    blob = packed(NotesChange(tuple(Rewritten(None, each) for each in EVERY)), (-10, 20))
    assert blob is not None
    told = json.loads(zlib.decompress(blob))
    assert {each["about"]: each["new"] for each in told} == TOLD
    assert unpacked(blob, (-10, 20)).rewritten == tuple(Rewritten(None, each) for each in EVERY)


@pytest.mark.parametrize(
    ("about", "wrong"),
    [
        ("skeins", {"event": "eaten"}),
        ("skeins", {"skeins": -1}),
        ("skeins", {"skeins": 1e9}),
        ("skeins", {"skeins": "two"}),
        ("skeins", {"lot": "x" * 61}),
        ("skeins", {"lot": "\ud800"}),
        ("skeins", {"name": None}),
        ("skeins", {"time": -5}),
        ("skeins", {"time": 1 << 60}),
        ("skeins", {"reckoned_mm": float("nan")}),
        ("skein size", {"length_m": 0}),
        ("skein size", {"strands": 0}),
        ("skein size", {"grams": -1}),
        ("lot area", {"columns": 0}),
        ("lot area", {"rows": 1 << 20}),
        ("lot area", {"column": 1.5}),
        ("lot time", {"since": 30}),
    ],
)
def test_senseless_notes_are_refused(about: str, wrong: dict[str, Any]) -> None:
    """What no program can have written raises one kind of error, whatever is wrong with it."""
    told = [{"about": about, "old": None, "new": {**TOLD[about], **wrong}}]
    with pytest.raises(MalformedStroke):
        unpacked(zlib.compress(json.dumps(told).encode()), (0, 0))


@pytest.mark.parametrize("skeins", [-1.0, -0.25, 1e7, float("inf")])
def test_skeins_one_cannot_have(skeins: float) -> None:
    """Fewer skeins than none, and more than anybody has, are told in one sentence."""
    with pytest.raises(CommandError, match="skeins") as told:
        SkeinNote("s", "Sample silk 04", "04", GOT, skeins)
    assert told.value.remedy


def test_areas_of_lots_reach_to_their_far_corner() -> None:
    """A change that notes an area of a lot names all its squares."""
    put = Notes().putting(AREA)
    assert put is not None
    assert put.area == Area(2, 3, 4, 5)
