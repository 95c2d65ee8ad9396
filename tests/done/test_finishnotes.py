"""What she notes at the end is kept as described, and nothing senseless comes with it."""

import json
import zlib
from typing import Any

import pytest

from stitchview.done.deflated import MalformedStroke, inflate
from stitchview.done.finishnotes import Finished, ThreadTest, ThreadUsed
from stitchview.done.notebook import Notes, NotesChange, Rewritten
from stitchview.done.noterows import packed, unpacked
from stitchview.done.notes import Note
from stitchview.errors import CommandError

EVERY: tuple[Note, ...] = (
    Finished("2026-11-25", 362.5, 541.0),
    ThreadUsed("Sample cotton 17, slate blue", "17", 2.5, 20_000.0),
    ThreadTest("Sample cotton 17, slate blue", "17", "bleeds", "cold water only"),
)
THREAD = {"name": "Sample cotton 17, slate blue", "number": "17"}
TOLD: dict[str, dict[str, Any]] = {
    "finished": {"day": "2026-11-25", "width_mm": 362.5, "height_mm": 541.0},
    "thread used": {**THREAD, "skeins": 2.5, "reckoned_mm": 20_000.0},
    "thread test": {**THREAD, "result": "bleeds", "words": "cold water only"},
}


def blob(kind: str, new: dict[str, Any]) -> bytes:
    """A stroke as another program may have written it."""
    maker = zlib.compressobj(wbits=-15)
    return maker.compress(json.dumps([{"about": kind, "old": None, "new": new}]).encode()) + maker.flush()


def test_the_file_says_what_the_format_says() -> None:
    """The members are those of resources/done-layer.md, whatever the chart's origin."""
    change = Notes().putting(*EVERY)
    assert change is not None
    content = packed(change, (7, 9))
    assert content is not None
    told = json.loads(inflate(content, 1 << 20))
    assert {each["about"]: each["new"] for each in told} == TOLD
    assert unpacked(content, (7, 9)) == change


def test_each_stands_once_and_is_written_over() -> None:
    """A piece is finished once, a thread has one test; undoing gives back what was before."""
    notes = Notes.of(EVERY)
    again = notes.putting(Finished("2026-12-01"), ThreadTest(THREAD["name"], "17", "fast"))
    assert again is not None
    after = notes.after(again)
    assert [each.day for each in after.finished] == ["2026-12-01"]
    assert [each.result for each in after.tests] == ["fast"]
    assert after.after(again.inverse()) == notes


@pytest.mark.parametrize(
    ("kind", "member", "wrong"),
    [
        ("finished", "day", "25.11.2026"),
        ("finished", "day", "20261125"),
        ("finished", "day", "0001-01-01"),
        ("finished", "day", None),
        ("finished", "width_mm", -1),
        ("finished", "width_mm", 0),
        ("finished", "height_mm", 1e9),
        ("finished", "height_mm", 3.0),
        ("finished", "height_mm", "541"),
        ("thread used", "skeins", 0),
        ("thread used", "skeins", 1e6),
        ("thread used", "reckoned_mm", -1),
        ("thread used", "name", 3),
        ("thread used", "name", "x" * 201),
        ("thread test", "result", "perhaps"),
        ("thread test", "words", "x" * 501),
        ("thread test", "words", None),
    ],
)
def test_what_makes_no_sense_is_not_read(kind: str, member: str, wrong: object) -> None:
    """It is damage, and is treated as such."""
    with pytest.raises(MalformedStroke):
        unpacked(blob(kind, {**TOLD[kind], member: wrong}), (0, 0))


@pytest.mark.parametrize(
    ("size", "what"),
    [
        ((300.0, 0.0), "Only one side"),
        ((0.0, 300.0), "Only one side"),
        ((-3.0, 300.0), "No piece measures -0.3 cm"),
        ((300.0, 3.0), "No piece measures 0.3 cm"),
        ((1e6, 300.0), "No piece measures 100000 cm"),
        ((float("inf"), 300.0), "No piece measures inf cm"),
        ((float("nan"), 300.0), "No piece measures nan cm"),
    ],
)
def test_a_size_no_piece_has_is_refused(size: tuple[float, float], what: str) -> None:
    """One sentence says what is wrong, another what can be given."""
    with pytest.raises(CommandError, match=what):
        Finished("2026-11-25", *size)


def test_half_a_letter_is_no_word() -> None:
    """It could not be written."""
    with pytest.raises(CommandError, match="half a letter"):
        ThreadTest("x", "1", "fast", "\ud800")
    with pytest.raises(CommandError, match="skeins"):
        ThreadUsed("x", "1", -2.0)
    with pytest.raises(ValueError, match="no test shows"):
        ThreadTest("x", "1", "maybe")
    assert NotesChange((Rewritten(None, EVERY[0]),)).area.empty
