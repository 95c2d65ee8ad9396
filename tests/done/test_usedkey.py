"""Another thread in the whole piece: the key shows both, chart files get the printed one."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from uuid import UUID

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.colour import Colour
from stitchview.chart.fileformat import read_chart, write_chart
from stitchview.chart.model import THREAD_KINDS, Chart, KeyEntry, Symbol, Thread, UsedEntry, printed_entry
from stitchview.done.layerfile import open_layer
from stitchview.done.marks import Marks, noting
from stitchview.done.notebook import Notes
from stitchview.done.usedinstead import UsedInstead
from stitchview.done.usedkey import instead_words, printed_chart, used_chart, used_key
from stitchview.errors import CommandError

SLATE = KeyEntry("a", Symbol("a"), "Sample cotton 17, slate blue", "17", colour=Colour(90, 110, 130))
ROSE = KeyEntry("b", Symbol("b"), "Sample cotton 4, dusk rose", "4", colour=Colour(190, 120, 130))
BLEND = KeyEntry(
    "c",
    Symbol("c"),
    "Sample blend",
    colour=Colour(140, 115, 130),
    blend=(
        Thread("sample  cotton 17, Slate Blue", "17", colour=SLATE.colour, strands=2),
        Thread("Sample silk 9, fog", "9", "silk", Colour(200, 200, 210)),
    ),
)
KEY = (SLATE, ROSE, BLEND)
FOR_SLATE = UsedInstead(
    SLATE.name, "17", "Sample cotton 18, dusk blue", "18", "silk", Colour(80, 100, 140), "44B", "Sample", 1.5
)


def test_the_key_has_the_used_thread_and_remembers_the_printed_one() -> None:
    """Name, number, kind, colour and lot of the thread used; what is printed is told beside."""
    slate, rose, _ = used_key(KEY, [FOR_SLATE])
    assert rose is ROSE
    assert (slate.name, slate.number, slate.kind) == ("Sample cotton 18, dusk blue", "18", "silk")
    assert (slate.colour, slate.code, slate.symbol) == (Colour(80, 100, 140), "a", SLATE.symbol)
    assert printed_entry(slate) is SLATE
    assert instead_words(slate) == "instead of Sample cotton 17, slate blue, lot 44B"
    assert instead_words(rose) == ""


def test_in_a_blend_only_the_thread_meant_is_another() -> None:
    """It is found whatever its capitals and spaces; the blend's colour is its threads' by their strands."""
    blend = used_key(KEY, [FOR_SLATE])[2]
    assert [each.name for each in blend.blend] == ["Sample cotton 18, dusk blue", "Sample silk 9, fog"]
    assert [each.strands for each in blend.blend] == [2, 1]
    mean = np.average([(80, 100, 140), (200, 200, 210)], axis=0, weights=[2, 1])
    assert np.abs(np.array([blend.colour.red, blend.colour.green, blend.colour.blue]) - mean).max() <= 1
    told = instead_words(blend)
    assert told.startswith("Sample cotton 18, dusk blue instead of sample  cotton 17, Slate Blue")


NOTES = st.lists(
    st.builds(
        UsedInstead,
        st.sampled_from([SLATE.name, ROSE.name, *(each.name for each in BLEND.blend)]),
        st.sampled_from(["17", "4", "9"]),
        st.sampled_from(["Sample silk 3", "Sample cotton 4, dusk rose"]),
        st.just("3"),
        st.sampled_from(THREAD_KINDS),
        st.builds(Colour, *[st.integers(0, 255)] * 3),
    ),
    max_size=4,
)


@given(NOTES, NOTES)
def test_one_note_after_another_leads_where_the_last_alone_leads(
    some: list[UsedInstead], others: list[UsedInstead]
) -> None:
    """Whatever was used before, the key is as the notes say now; without notes it is the printed one."""
    worked = used_key(used_key(KEY, some), others)
    assert worked == used_key(KEY, others)
    assert tuple(map(printed_entry, worked)) == KEY
    assert used_key(worked, ()) == KEY
    assert used_key(worked, others) is worked


def test_marks_follow_and_undo_gives_the_printed_thread_back() -> None:
    """The chart of the marks has the used thread from the note on, and the printed one once it is undone."""
    marks = Marks(Chart(np.ones((2, 3), np.uint16), KEY))
    notes = marks.notes.putting(FOR_SLATE)
    assert notes is not None
    marks.apply(noting(marks.chart, notes))
    assert marks.chart.key[0].name == FOR_SLATE.used_name
    assert marks.tally.total().stitches == 6
    marks.apply(noting(marks.chart, notes.inverse()))
    assert marks.chart.key == KEY


def test_it_is_there_next_evening_and_never_gets_into_the_chart(
    tmp_path: Path, small_chart: Callable[[], Chart]
) -> None:
    """The layer keeps it; written from the worked chart, the chart file has the printed key still."""
    path, elsewhere = tmp_path / "small.svchart", tmp_path / "own"
    printed = replace(small_chart(), identity=str(UUID(int=7)))
    write_chart(printed, path)
    first = printed.key[0]
    opened = open_layer(path, read_chart(path), elsewhere)
    notes = opened.marks.notes.putting(UsedInstead(first.name, first.number, "Sample silk 3", "3", "silk"))
    assert notes is not None
    opened.layer.put(opened.history.record(noting(opened.marks.chart, notes)))
    opened.layer.commit()
    opened.layer.close()
    again = open_layer(path, read_chart(path), elsewhere)
    worked = again.marks.chart
    again.layer.close()
    assert isinstance(worked.key[0], UsedEntry)
    assert worked.key[0].name == "Sample silk 3"
    assert printed_chart(worked).key == printed.key
    write_chart(worked, path)
    assert read_chart(path).key == printed.key


def test_a_chart_without_such_notes_is_the_very_same() -> None:
    """Nothing is copied where nothing is used instead."""
    chart = Chart(np.ones((1, 1), np.uint16), KEY)
    assert used_chart(chart, Notes()) is chart
    assert used_chart(chart, Notes.of([replace(FOR_SLATE, name="nothing printed")])) is chart


@pytest.mark.parametrize(
    "altered",
    [
        {"used_name": "", "used_number": ""},
        {"used_name": "x" * 201},
        {"lot": "x" * 61},
        {"skeins": -1.0},
        {"skeins": float("nan")},
        {"used_name": "\ud800"},
    ],
)
def test_what_no_thread_can_be_is_refused_in_a_sentence(altered: dict[str, object]) -> None:
    """A thread needs a name or number that can be written, and skeins that one can have."""
    with pytest.raises(CommandError, match=r"\w+ .*\."):
        replace(FOR_SLATE, **altered)  # type: ignore[arg-type]
