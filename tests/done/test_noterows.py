"""Notes come back from the file as they went in, and nothing senseless comes with them."""

import json
import zlib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.done.deflated import MalformedStroke
from stitchview.done.notebook import NO_NOTES, Notes, NotesChange, Rewritten
from stitchview.done.noterows import notes_after, packed, unpacked
from stitchview.done.notes import HeldBack, NeedlefulEnd, Note, Parked, Pin
from tests.done.evenings import DIFFERENCES, NOTES

ANY_NOTES = st.lists(NOTES | DIFFERENCES)

PIN: dict[str, Any] = {"id": "p", "column": 1, "row": 2, "name": "Mast", "note": ""}
PARKED: dict[str, Any] = {"code": "a", "column": 1, "row": 2}
SPOT: dict[str, Any] = {"id": "d", "column": 1, "row": 2, "columns": 1, "rows": 1}
END: dict[str, Any] = {
    **{"id": "n", "code": "a", "stitches": 4, "column": 1, "row": 2},
    **{"used_up": True, "reckoned_mm": 370.5, "used_mm": 400},
}


def blob_of(value: object) -> bytes:
    return zlib.compress(json.dumps(value).encode())


def told(about: str, old: object = None, new: object = None) -> dict[str, object]:
    return {"about": about, "old": old, "new": new}


@given(ANY_NOTES, ANY_NOTES, st.tuples(*[st.integers(-(2**28), 2**28)] * 2))
def test_notes_come_back(some: list[Note], others: list[Note], origin: tuple[int, int]) -> None:
    """Any change of the notes comes back the same, on the same chart and on one that has grown."""
    change = Notes.of(some).towards(Notes.of(others))
    blob = packed(change, origin)
    assert unpacked(blob, origin) == change
    grown = unpacked(blob, (origin[0] - 3, origin[1] - 5))
    assert unpacked(packed(grown, (origin[0] - 3, origin[1] - 5)), origin) == change
    for mine, theirs in zip(change.rewritten, grown.rewritten, strict=True):
        if isinstance(mine.note, Pin) and isinstance(theirs.note, Pin):
            assert theirs.note.column - mine.note.column == 3
            assert theirs.note.row - mine.note.row == 5


def test_nothing_noted_takes_no_room() -> None:
    """A stroke that noted nothing has no notes in the file."""
    assert packed(NO_NOTES, (0, 0)) is None
    assert unpacked(None, (0, 0)) == NO_NOTES


def test_what_the_file_says() -> None:
    """A stranger with zlib and JSON reads each kind of note with its squares as addresses."""
    notes: list[Note] = [
        Pin("p", 1, 2, "Mast", "hier zählen"),
        Parked("a", 1, 2),
        HeldBack("m", False),
        NeedlefulEnd("n", "a", 4, 1, 2, True, 370.5, 400.0),
    ]
    blob = packed(NotesChange(tuple(Rewritten(None, note) for note in notes)), (-10, 20))
    assert blob is not None
    spot = {"column": -9, "row": 22}
    assert json.loads(zlib.decompress(blob)) == [
        told("pin", new={**PIN, **spot, "note": "hier zählen"}),
        told("parked", new={**PARKED, **spot}),
        told("held back", new={"code": "m", "held": False}),
        told("needleful", new={**END, **spot}),
    ]


def test_what_a_newer_program_wrote_is_passed_over_or_kept() -> None:
    """Kinds not known are passed over; what a pin has besides is written again when it is renamed."""
    newer = {**PIN, "colour": "#102030", "seen": [1, {"by": "her"}]}
    change = unpacked(blob_of([told("tape", new={"length": 3}), told("pin", new=newer)]), (0, 0))
    assert len(change.rewritten) == 1
    pin = change.rewritten[0].new
    assert isinstance(pin, Pin)
    renamed = Notes.of([pin]).putting(Pin(pin.id, pin.column, pin.row, "Main mast", "", pin.extra))
    assert renamed is not None
    again = packed(renamed, (0, 0))
    assert again is not None
    assert json.loads(zlib.decompress(again)) == [told("pin", newer, {**newer, "name": "Main mast"})]


@pytest.mark.parametrize(
    "value",
    [
        {},
        "text",
        [1],
        [{}],
        [told("pin")],
        [told("pin", new=7)],
        [told("pin", old=PIN, new={**PIN, "id": "q"})],
        [told("pin", new=PIN), told("pin", new={**PIN, "name": "twice"})],
        [told("pin", new={**PIN, "id": ""})],
        [told("pin", new={**PIN, "id": "x" * 65})],
        [told("pin", new={**PIN, "column": 1.5})],
        [told("pin", new={**PIN, "column": True})],
        [told("pin", new={**PIN, "row": 2**31})],
        [told("pin", new={**PIN, "name": "x" * 201})],
        [told("pin", new={**PIN, "name": "\ud800"})],
        [told("pin", new={**PIN, "more": "\ud800"})],
        [told("pin", new={**PIN, "more": 10**40})],
        [told("pin", new={key: PIN[key] for key in ("id", "column", "row", "name")})],
        [told("parked", new={**PARKED, "code": None})],
        [told("parked", new={**PARKED, "code": "\udc00"})],
        [told("added", new={**SPOT, "code": "\ud800"})],
        [told("other thread", new={**SPOT, "sort": "", "was": "\ud800", "code": "a"})],
        [told("not worked", new={**SPOT, "id": "\ud800", "sort": "", "code": ""})],
        [told("unpicked", new={**SPOT, "name": "x", "number": "\udc00", "stitches": 1, "lost_mm": 1})],
        [told("held back", new={"code": "a", "held": 1})],
        [told("needleful", new={**END, "stitches": -1})],
        [told("needleful", new={**END, "used_mm": "far"})],
        [told("needleful", new={**END, "reckoned_mm": float("nan")})],
        [told("needleful", new={**END, "reckoned_mm": 1e300})],
    ],
)
def test_senseless_notes_are_refused(value: object) -> None:
    """What no program can have written raises one kind of error, whatever is wrong with it."""
    with pytest.raises(MalformedStroke):
        unpacked(blob_of(value), (0, 0))


@pytest.mark.parametrize(
    "blob",
    [
        b"",
        b"no zlib at all",
        zlib.compress(b"\xff\xfe"),
        zlib.compress(b"[1, 2"),
        zlib.compress(b"[" * 100_000),
        zlib.compress(b'[{"about": "tape", "new": ' + b"9" * 5000 + b"}]"),
        zlib.compress(b"[]")[:-2],
        zlib.compress(bytes(100_000_000), 9),
    ],
    ids=["empty", "no zlib", "no text", "cut off", "deep", "endless number", "no end", "bomb"],
)
def test_contents_that_cannot_be_read_are_refused(blob: bytes) -> None:
    """Damaged, hostile and swelling contents raise the same kind of error."""
    with pytest.raises(MalformedStroke):
        unpacked(blob, (0, 0))


def test_the_last_word_on_a_note_wins() -> None:
    """Going through strokes in order, the last that names a note says what it is."""
    put, moved = told("pin", new=PIN), told("pin", PIN, {**PIN, "row": 9})
    parked, gone = told("parked", new=PARKED), told("parked", PARKED, None)
    notes = notes_after([blob_of([put, parked]), blob_of([moved]), blob_of([gone])], (1, 1))
    assert notes == Notes.of([Pin("p", 0, 8, "Mast")])
