"""Sittings corrected by hand: joined, split, minutes told, struck out; each one stroke that can be undone."""

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.model import Chart, KeyEntry, Symbol
from stitchview.done.addresses import Addresses
from stitchview.done.change import Altered, Change
from stitchview.done.diary import Diary
from stitchview.done.handwork import worked
from stitchview.done.ids import compose
from stitchview.done.joining import joined_rows
from stitchview.done.marks import noting
from stitchview.done.notebook import Notes, NotesChange
from stitchview.done.noterows import notes_after
from stitchview.done.notes import HeldBack, Note, Parked, Pin
from stitchview.done.sittingnotes import ClothPhoto, SittingSeam, SittingWord, TimePin
from stitchview.done.sittings import MINUTE_MS, Pauses, Sitting
from stitchview.done.sittingwords import SittingDesk, photos_of, sittings_told, split_places
from stitchview.done.skeinnotes import GOT, SkeinNote
from stitchview.done.strokes import MARK, UNDO, Stroke, StrokeRow, row_of
from stitchview.done.timeline import timeline_of
from stitchview.errors import CommandError

EVENING = int(datetime(2026, 11, 20, 20, 0, tzinfo=UTC).timestamp() * 1000)
CHART = Chart(np.ones((4, 40), np.uint16), (KeyEntry("a", Symbol("a"), "a"),))
ADDRESSES = Addresses(CHART)
# Three sittings of 6, 4 and 2 minutes, two hours apart.
MINUTES = (0, 2, 6, 120, 124, 240, 241, 242)


def at(minute: float, tail: int = 0) -> bytes:
    return compose(EVENING + round(minute * MINUTE_MS), tail)


IDS = [at(each, number) for number, each in enumerate(MINUTES)]


def told(notes: Notes, ids: list[bytes] = IDS) -> tuple[Sitting, ...]:
    return sittings_told(ids, notes, Pauses())


def after(notes: Notes, change: NotesChange | None) -> Notes:
    """The notes when a correction was made; the way back must lead back (undo)."""
    assert change
    new = notes.after(change)
    assert new.after(change.inverse()) == notes
    return new


def test_two_sittings_become_one_and_two_again() -> None:
    """Joined, the pause between does not count as work; undone, all is as it was."""
    first, second, _ = told(Notes())
    joined = after(Notes(), SittingDesk(Notes()).joining(first, second))
    found = told(joined)
    assert [each.strokes for each in found] == [5, 3]
    assert [each.minutes for each in found] == [10, 2]
    assert told(joined.after(SittingDesk(Notes()).joining(first, second).inverse())) == told(Notes())  # type: ignore[union-attr]


def test_a_sitting_is_split_where_she_says() -> None:
    """The telephone rang for two minutes: one sitting becomes two; joined again it is one."""
    first = told(Notes())[0]
    assert split_places(IDS, first) == IDS[1:3]
    split = after(Notes(), SittingDesk(Notes()).splitting(first, IDS[2]))
    assert [each.strokes for each in told(split)] == [2, 1, 2, 3]
    one, two, *_ = told(split)
    assert [each.strokes for each in told(after(split, SittingDesk(split).joining(one, two)))] == [3, 2, 3]
    with pytest.raises(CommandError):
        SittingDesk(Notes()).splitting(first, IDS[0])
    with pytest.raises(CommandError):
        SittingDesk(Notes()).splitting(first, IDS[4])


def test_minutes_and_words_are_hers() -> None:
    """What she tells goes before what was measured, and is taken back by telling nothing."""
    first = told(Notes())[0]
    said = after(Notes(), SittingDesk(Notes()).saying(first, 95.0, False, "  before the lamp broke \n"))
    found = told(said)[0]
    assert (found.minutes, found.measured, found.note) == (95, 6, "before the lamp broke")
    again = after(said, SittingDesk(said).saying(found, None, False, ""))
    assert again == Notes()
    assert SittingDesk(said).saying(found, 95.0, False, "before the lamp broke") is None
    with pytest.raises(CommandError):
        SittingDesk(Notes()).saying(first, -3, False, "")


def test_told_minutes_are_added_when_sittings_are_joined_and_gone_when_one_is_split() -> None:
    """90 minutes told and 4 measured make 94; of two halves nobody told minutes. Notes stay."""
    first, second, _ = told(Notes())
    notes = after(Notes(), SittingDesk(Notes()).saying(first, 90.0, False, "sky"))
    first = told(notes)[0]
    notes = after(notes, SittingDesk(notes).joining(first, second))
    joined = told(notes)[0]
    assert (joined.minutes, joined.note, joined.strokes) == (94, "sky", 5)
    assert len(notes.sitting_words) == 1
    halves = told(after(notes, SittingDesk(notes).splitting(joined, IDS[3])))[:2]
    assert [(each.minutes_told, each.note) for each in halves] == [(None, "sky"), (None, "")]


def test_a_sitting_struck_out_counts_no_time_and_loses_no_stitch() -> None:
    """What had long been done was marked in one go: no sitting, but the stitches are done all the same."""
    rows = [mark(stroke, number) for number, stroke in enumerate(IDS)]
    first = Diary(CHART, rows).sittings[0]
    notes = after(Notes(), SittingDesk(Notes()).saying(first, None, True, "done before I had the program"))
    diary = Diary(CHART, rows, notes)
    since = diary.since(bytes(16))
    assert [each.struck for each in diary.sittings] == [True, False, False]
    assert len(since.sittings) == 2
    assert since.gains.stitches == len(IDS)
    last = diary.sittings[-1]
    gone = after(notes, SittingDesk(notes).saying(last, None, True, ""))
    assert Diary(CHART, rows, gone).before_last_sitting() < diary.sittings[1].first


def test_a_word_stays_with_its_sitting_when_the_tablet_comes_in() -> None:
    """Strokes from another place begin the same sitting earlier: the minutes she told still hold."""
    second = told(Notes())[1]
    notes = after(Notes(), SittingDesk(Notes()).saying(second, 33.0, False, ""))
    more = sorted([*IDS, at(100, 50), at(130, 51)])
    found = told(notes, more)[1]
    assert (found.strokes, found.minutes) == (4, 33)
    seam = after(Notes(), SittingDesk(Notes()).joining(*told(Notes())[:2]))
    assert [each.strokes for each in told(seam, more)] == [3, 4, 3]


@given(st.lists(st.tuples(st.integers(0, 7), st.booleans()), max_size=8), st.randoms())
def test_any_seams_still_part_all_strokes(seams: list[tuple[int, bool]], random: object) -> None:
    """Whatever is joined and split: each stroke in one sitting, in order, the seams obeyed."""
    notes = Notes.of(SittingSeam(IDS[at].hex(), begins) for at, begins in seams)
    found = told(notes)
    assert sum(each.strokes for each in found) == len(IDS)
    firsts = {each.first for each in found}
    for each in notes.seams:
        assert (bytes.fromhex(each.stroke) in firsts) is (each.begins or each.stroke == IDS[0].hex())


WORDS = st.builds(
    SittingWord,
    st.sampled_from([each.hex() for each in IDS]),
    st.sampled_from([None, 1.0, 2.5]),
    st.booleans(),
    st.sampled_from(["", "a", "b"]),
)


@given(st.lists(WORDS, max_size=8))
def test_several_words_on_one_sitting_agree_in_any_order(words: list[SittingWord]) -> None:
    """Minutes are added, notes follow the strokes, struck out only where every word says so."""
    notes = Notes.of(words)
    for sitting in told(notes):
        mine = [
            each for each in notes.sitting_words if sitting.first.hex() <= each.stroke <= sitting.last.hex()
        ]
        minutes = [each.minutes for each in mine if each.minutes is not None]
        assert sitting.minutes_told == (min(sum(minutes), 24 * 60) if minutes else None)
        assert sitting.struck is (bool(mine) and all(each.struck for each in mine))
        assert sitting.note == "\n".join(each.note for each in mine if each.note)


def mark(stroke_id: bytes, column: int, *notes: Note) -> StrokeRow:
    """A stroke that marks a square of the first row, and notes something with it."""
    squares = Altered(np.array([column]), np.zeros(1, np.uint8), np.ones(1, np.uint8))
    change = noting(CHART, Notes().putting(*notes) or NotesChange(), Change(Area(column, 0, 1, 1), squares))
    return row_of(Stroke(stroke_id, None, 0, "sofa", MARK, change=change), ADDRESSES)


def jot(stroke_id: bytes, *notes: Note) -> StrokeRow:
    """A stroke that only notes something."""
    change = noting(CHART, Notes().putting(*notes) or NotesChange())
    return row_of(Stroke(stroke_id, None, 0, "sofa", MARK, change=change), ADDRESSES)


def test_correcting_the_diary_is_no_sitting() -> None:
    """Nor is buying thread; a pin, a parked thread, a mark with any note are. Undoing follows its stroke."""
    word = SittingWord(IDS[0].hex(), 5.0)
    photo = ClothPhoto("p", IDS[0].hex(), "a.jpg", "ab" * 32, 5)
    beside = [
        jot(at(1), word),
        jot(at(2), SkeinNote("s", "Sample cotton 17", "17", GOT)),
        jot(at(3), photo, TimePin("t", "Show", 5)),
        row_of(Stroke(at(4), None, 0, "sofa", UNDO, target=at(1)), ADDRESSES),
    ]
    over = [
        jot(at(5), Pin("p", 1, 1, "Mast")),
        jot(at(6), Parked("a", 1, 1), word),
        jot(at(7), HeldBack("a", True)),
        mark(at(8), 3, word),
        row_of(Stroke(at(9), None, 0, "sofa", UNDO, target=at(8)), ADDRESSES),
    ]
    assert list(worked([*beside, *over])) == [each.id for each in over]


def test_photographs_lie_with_their_sitting() -> None:
    """A photograph belongs to whatever sitting holds its stroke, also after joining."""
    photo = ClothPhoto("p", IDS[3].hex(), "a.jpg", "ab" * 32, 5)
    notes = Notes.of([photo])
    assert [len(photos_of(each, notes)) for each in told(notes)] == [0, 1, 0]
    notes = after(notes, SittingDesk(notes).joining(*told(notes)[:2]))
    assert [len(photos_of(each, notes)) for each in told(notes)] == [1, 0]


NOTED = st.one_of(
    WORDS,
    st.builds(SittingSeam, st.sampled_from([each.hex() for each in IDS]), st.booleans()),
    st.builds(TimePin, st.sampled_from("tu"), st.sampled_from(["", "x"]), st.integers(1, 3)),
    st.builds(
        ClothPhoto,
        st.sampled_from("pq"),
        st.just(IDS[2].hex()),
        st.just("a.jpg"),
        st.just("ab" * 32),
        st.integers(1, 3),
    ),
)
ROWS = st.lists(
    st.builds(lambda ms, tail, notes: jot(compose(ms, tail), *notes), st.integers(1, 4), st.integers(0, 2),
              st.lists(NOTED, min_size=1, max_size=3)),
    max_size=6,
)  # fmt: skip


@given(ROWS, ROWS, ROWS)
def test_corrections_of_several_places_are_joined_in_any_order(
    one: list[StrokeRow], two: list[StrokeRow], three: list[StrokeRow]
) -> None:
    """Commutative, associative, idempotent: rows, notes and the sittings told from them are the same."""
    joined = joined_rows(joined_rows(one, two), three)
    assert joined_rows(one, joined_rows(two, three)) == joined
    assert joined_rows(joined_rows(three, two), one) == joined
    assert joined_rows(joined, joined) == joined
    assert joined_rows(joined, two) == joined
    notes = notes_after(timeline_of(joined).notes, (0, 0))
    others = notes_after(timeline_of(joined_rows(two, joined_rows(three, one))).notes, (0, 0))
    assert notes == others
    assert told(notes) == told(others)
    assert replace(notes) == notes
