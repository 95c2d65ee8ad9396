"""What finished pieces teach the next one: kept in one place, told with their names, and refused at will."""

import json
import os
import statistics
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.colour import Colour
from stitchview.errors import StitchviewError
from stitchview.plan.clothcount import ClothCount
from stitchview.plan.finishedpieces import FILE, FinishedPiece, FinishedPieces, UsedThread
from stitchview.plan.lessons import Lessons, from_words
from stitchview.plan.lessonwords import lines_about, rate_words, taught_by
from stitchview.plan.threads import BoughtThread
from stitchview.plan.usage import Stretch, usage_of

AIDA, LINEN = ClothCount(14, 14), ClothCount(28, 28, over=2)
THREAD = UsedThread("Sample cotton 17, slate blue", "17", "cotton", 10_000, 12_000)
HARBOUR = FinishedPiece("h", "Harbour at dusk", "2026-11-25", AIDA, (0.99, 1.01), (THREAD,), 12_000, 60)
COVE = FinishedPiece("c", "Cove", "2026-10-03", AIDA, (0.97, 0.99), (), 3_000, 30)
MILL = FinishedPiece("m", "Mill", "2026-12-01", LINEN, (1.2, 1.2), (THREAD,), 500, 5)


def test_a_lesson_names_the_piece_it_comes_from() -> None:
    """“from “Harbour at dusk”, 14 threads to the inch, over 1, finished 25 November 2026”."""
    told = from_words((HARBOUR,))
    assert told == "from “Harbour at dusk”, 14 threads to the inch, over 1, finished 25 November 2026"
    assert from_words((HARBOUR, COVE)).endswith("2026 and one more")
    assert from_words(()) == ""


def test_only_pieces_on_such_cloth_tell_how_it_comes_out() -> None:
    """The geometric mean by `statistics`; linen over two says nothing of cloth worked over one."""
    lesson = Lessons((HARBOUR, COVE, MILL)).size(AIDA)
    assert lesson is not None
    assert lesson.ratios == pytest.approx(
        (statistics.geometric_mean([0.99, 0.97]), statistics.geometric_mean([1.01, 0.99]))
    )
    assert lesson.pieces == (HARBOUR, COVE)
    assert Lessons((HARBOUR,)).size(LINEN) is None


def test_a_piece_learns_neither_from_itself_nor_from_one_refused() -> None:
    """Its own notes count already, and what she refuses is never reckoned with."""
    pieces = (HARBOUR, replace(COVE, taken=False))
    assert Lessons.for_piece(pieces, "h").pieces == ()
    assert Lessons.for_piece(pieces, "new").pieces == (HARBOUR,)
    assert "(refused)" in lines_about(replace(COVE, taken=False), 2)[0]


def test_her_use_of_thread_moves_towards_what_she_used() -> None:
    """A piece that took 1.2 of geometry raises the factor above the usual; on like cloth more so."""
    told = Lessons((HARBOUR,))
    bought = BoughtThread("Other", "3", "cotton", Colour(1, 2, 3), ())
    usual = usage_of(bought.identity, "cotton", ())
    near = usage_of(bought.identity, "cotton", told.stretches(AIDA))
    far = usage_of(bought.identity, "cotton", told.stretches(LINEN))
    assert usual.factor < far.factor < near.factor < 1.2
    assert near.spread < far.spread < usual.spread
    plain = usage_of(bought.identity, "cotton", [Stretch(("x", "1"), "cotton", 10_000, 12_000)])
    assert near.factor < plain.factor


def test_the_rate_is_all_stitches_by_all_hours() -> None:
    """Not the mean of rates: long pieces count for more. On like cloth first, else on any."""
    lesson = Lessons((HARBOUR, COVE, MILL)).rate(AIDA)
    assert lesson is not None
    assert lesson.rate == pytest.approx(15_000 / 90)
    other = Lessons((HARBOUR,)).rate(LINEN)
    assert other is not None
    assert other.rate == 200
    assert Lessons((replace(HARBOUR, hours=0.0),)).rate(AIDA) is None
    assert rate_words(5_000, AIDA, Lessons((HARBOUR,))).startswith(
        "What is left takes about 25 hours at 200 stitches an hour, from “Harbour at dusk”"
    )
    assert rate_words(0, AIDA, Lessons((HARBOUR,))) == ""


def test_what_one_piece_teaches_is_told_by_kind() -> None:
    """Size, thread and rate, each if it is known."""
    assert taught_by(HARBOUR) == [
        "Came out 1.0 % smaller across and 1.0 % larger down.",
        "Thread, cotton: 1.20 of geometry.",
        "200 stitches an hour.",
    ]
    assert "teaches nothing" in taught_by(FinishedPiece("x", "", "2026-01-01", AIDA))[0]


NAMES = st.text(max_size=4)
PIECES = st.builds(
    FinishedPiece,
    st.text(max_size=3),
    NAMES,
    st.dates().map(lambda day: day.isoformat()),
    st.sampled_from([AIDA, LINEN, ClothCount(55, 54, per_100_mm=True)]),
    st.none() | st.tuples(st.floats(0.8, 1.25), st.floats(0.8, 1.25)),
    st.lists(st.builds(UsedThread, NAMES, NAMES, NAMES, st.floats(0, 1e9), st.floats(0, 1e9))).map(tuple),
    st.floats(0, 1e6),
    st.floats(0, 1e4),
    st.booleans(),
)


@given(st.lists(PIECES, max_size=4, unique_by=lambda each: each.identity))
def test_what_is_kept_comes_back_as_it_was(
    tmp_path_factory: pytest.TempPathFactory, pieces: list[FinishedPiece]
) -> None:
    """Every member of every piece, but for half letters, which no text file holds."""
    kept = FinishedPieces(tmp_path_factory.mktemp("kept"))
    whole = [each for each in pieces if _is_text(each)]
    for each in whole:
        kept.put(each)
    assert {each.identity: each for each in kept.pieces()} == {each.identity: each for each in whole}


def _is_text(piece: FinishedPiece) -> bool:
    try:
        repr(piece).encode()
        names = [piece.identity, piece.title, *(n for t in piece.threads for n in (t.name, t.number, t.kind))]
        "".join(names).encode()
    except UnicodeEncodeError:
        return False
    return True


def test_refusing_holds_and_forgetting_is_forgetting(tmp_path: Path) -> None:
    """A piece that is finished again, with another size, stays refused."""
    kept = FinishedPieces(tmp_path)
    kept.put(HARBOUR)
    kept.take("h", taken=False)
    kept.put(replace(HARBOUR, hours=61))
    assert [(each.hours, each.taken) for each in kept.pieces()] == [(61, False)]
    kept.take("h", taken=True)
    kept.take("nobody", taken=True)
    assert kept.pieces()[0].taken
    kept.take_out("h")
    assert kept.pieces() == ()


DAMAGED = [
    b"",
    b"{",
    b"[]",
    b'{"pieces": 3}',
    b'{"pieces": [1, null, {}]}',
    b"\xff" * 40,
    json.dumps({"pieces": [{"identity": "x", "title": "y", "day": "yesterday"}]}).encode(),
    json.dumps(
        {"pieces": [{"identity": "x", "title": "y", "day": "2026-01-01", "count": {"across": 1e300}}]}
    ).encode(),
]


@pytest.mark.parametrize("content", DAMAGED)
def test_a_damaged_file_teaches_nothing_and_is_put_aside(tmp_path: Path, content: bytes) -> None:
    """Nothing in it is believed, nothing of it is lost, and the next finished piece is kept."""
    (tmp_path / FILE).write_bytes(content)
    kept = FinishedPieces(tmp_path)
    assert kept.pieces() == ()
    kept.put(HARBOUR)
    assert kept.pieces() == (HARBOUR,)
    assert (tmp_path / FILE).with_suffix(".unreadable.json").read_bytes() == content


def test_nothing_put_aside_is_written_over(tmp_path: Path) -> None:
    """An emptied list is no damage, one piece among others that makes no sense is, and each file stays."""
    kept, path = FinishedPieces(tmp_path), tmp_path / FILE
    path.write_bytes(b"{")
    kept.put(HARBOUR)
    kept.take_out("h")
    kept.put(COVE)
    assert path.with_suffix(".unreadable.json").read_bytes() == b"{"
    assert len(list(tmp_path.iterdir())) == 2
    record = json.loads(path.read_bytes())
    partly = json.dumps({**record, "pieces": [*record["pieces"], {"of": "a newer kind"}]}).encode()
    path.write_bytes(partly)
    kept.put(MILL)
    assert kept.pieces() == (MILL, COVE)
    assert path.with_suffix(".unreadable1.json").read_bytes() == partly
    assert path.with_suffix(".unreadable.json").read_bytes() == b"{"


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write everywhere")
def test_a_folder_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    """One sentence."""
    tmp_path.chmod(0o500)
    with pytest.raises(StitchviewError):
        FinishedPieces(tmp_path / "kept").put(HARBOUR)


def test_a_file_in_the_folders_place_is_told(tmp_path: Path) -> None:
    """What stands in the way is named."""
    (tmp_path / "kept").write_text("not a folder")
    with pytest.raises(StitchviewError, match="cannot be kept"):
        FinishedPieces(tmp_path / "kept").put(HARBOUR)
