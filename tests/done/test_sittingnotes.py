"""What she says of her sittings is kept as described, and nothing senseless comes with it."""

import json
import zlib
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import pytest

from stitchview.chart.model import Chart
from stitchview.done import noterows
from stitchview.done.deflated import MalformedStroke
from stitchview.done.marks import noting
from stitchview.done.notebook import Notes, NotesChange, Rewritten
from stitchview.done.noterows import KINDS, kinds_in, packed, unpacked
from stitchview.done.notes import Note, Pin
from stitchview.done.sittingnotes import MOST_MINUTES, ClothPhoto, SittingSeam, SittingWord, TimePin
from stitchview.errors import CommandError

if TYPE_CHECKING:
    from tests.done.conftest import Evening

STROKE, HASH = "0190aabbccdd7eee8fff001122334455", "ab" * 32
EVERY: tuple[Note, ...] = (
    SittingSeam(STROKE, begins=True),
    SittingWord(STROKE, 42.5, True, "with Ann, by lamplight"),
    ClothPhoto("p1", STROKE, "2026-11-25 abababababab.jpg", HASH, 12_345),
    TimePin("m1", "Shown at the meeting", 1_760_000_000_000),
)
TOLD: dict[str, dict[str, Any]] = {
    "sitting seam": {"stroke": STROKE, "begins": True},
    "sitting": {"stroke": STROKE, "minutes": 42.5, "struck": True, "note": "with Ann, by lamplight"},
    "photograph": {
        **{"id": "p1", "stroke": STROKE, "file": "2026-11-25 abababababab.jpg"},
        **{"sha256": HASH, "size": 12_345},
    },
    "pin in time": {"id": "m1", "name": "Shown at the meeting", "time": 1_760_000_000_000},
}


def test_what_the_file_says() -> None:
    """A stranger with zlib and JSON reads each kind as it is described, whatever the chart's origin."""
    blob = packed(NotesChange(tuple(Rewritten(None, each) for each in EVERY)), (-10, 20))
    assert blob is not None
    told = json.loads(zlib.decompress(blob))
    assert {each["about"]: each["new"] for each in told} == TOLD
    assert unpacked(blob, (4, 4)).rewritten == tuple(Rewritten(None, each) for each in EVERY)
    assert kinds_in(blob) == set(TOLD)


def test_minutes_may_be_as_measured() -> None:
    """A note without a word on minutes says null, and comes back so."""
    word = SittingWord(STROKE, None, False, "quiet")
    blob = packed(NotesChange((Rewritten(None, word),)), (0, 0))
    assert blob is not None
    assert json.loads(zlib.decompress(blob))[0]["new"]["minutes"] is None
    assert unpacked(blob, (0, 0)).rewritten[0].new == word


@pytest.mark.parametrize(
    ("about", "wrong"),
    [
        ("sitting seam", {"stroke": STROKE[:-1]}),
        ("sitting seam", {"stroke": STROKE.upper()}),
        ("sitting seam", {"stroke": None}),
        ("sitting seam", {"begins": 1}),
        ("sitting", {"minutes": -1}),
        ("sitting", {"minutes": 1e9}),
        ("sitting", {"minutes": "long"}),
        ("sitting", {"minutes": float("nan")}),
        ("sitting", {"struck": None}),
        ("sitting", {"note": "x" * 2001}),
        ("sitting", {"note": "\ud800"}),
        ("photograph", {"file": "../../etc/passwd"}),
        ("photograph", {"file": ".."}),
        ("photograph", {"file": ""}),
        ("photograph", {"file": "a\\b.jpg"}),
        ("photograph", {"file": "x" * 256}),
        ("photograph", {"sha256": "zz" * 32}),
        ("photograph", {"size": 0}),
        ("photograph", {"size": 1 << 60}),
        ("photograph", {"id": ""}),
        ("pin in time", {"name": "x" * 201}),
        ("pin in time", {"time": 0}),
        ("pin in time", {"time": 1 << 60}),
        ("pin in time", {"time": 1.5}),
    ],
)
def test_senseless_notes_are_refused(about: str, wrong: dict[str, Any]) -> None:
    """What no program can have written raises one kind of error, whatever is wrong with it."""
    told = [{"about": about, "old": None, "new": {**TOLD[about], **wrong}}]
    with pytest.raises(MalformedStroke):
        unpacked(zlib.compress(json.dumps(told).encode()), (0, 0))


def test_a_missing_member_is_refused() -> None:
    """Minutes left out are not minutes as measured."""
    told = {name: value for name, value in TOLD["sitting"].items() if name != "minutes"}
    with pytest.raises(MalformedStroke):
        unpacked(zlib.compress(json.dumps([{"about": "sitting", "old": None, "new": told}]).encode()), (0, 0))


@pytest.mark.parametrize("minutes", [-0.5, MOST_MINUTES + 1, float("nan"), float("inf")])
def test_minutes_one_cannot_sit(minutes: float) -> None:
    """Less than none, more than a day: one sentence, and what to do."""
    with pytest.raises(CommandError, match="minutes") as told:
        SittingWord(STROKE, minutes)
    assert told.value.remedy


def test_an_older_program_passes_sittings_over_and_loses_none(
    evening: "Evening", small_chart: Callable[[], Chart], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A program of last month opens the layer and notes a pin; no word on a sitting is lost."""
    opened = evening.open(small_chart())

    def note(where: Any, notes: NotesChange | None) -> None:
        assert notes is not None
        change = noting(where.marks.chart, notes)
        where.marks.apply(change)
        where.layer.put(where.history.record(change))
        where.layer.commit()

    note(opened, opened.marks.notes.putting(*EVERY))
    evening.close(opened)
    pin = Pin("p", 3, 4, "Mast")
    with monkeypatch.context() as older:
        older.setattr(noterows, "KINDS", {name: KINDS[name] for name in KINDS if name not in TOLD})
        there = evening.open(small_chart())
        assert (there.notices, there.marks.notes) == ((), Notes())
        note(there, there.marks.notes.putting(pin))
        evening.close(there)
    assert evening.open(small_chart()).marks.notes == Notes.of((pin, *EVERY))
