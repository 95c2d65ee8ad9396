"""A thread of her own in an area: noted in the layer, it follows the printed key; the chart never has it."""

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING
from uuid import UUID

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.colour import Colour
from stitchview.chart.fileformat import read_chart, write_chart
from stitchview.chart.model import Chart, OwnEntry
from stitchview.done.asworked import as_worked, on_cloth
from stitchview.done.differences import Added, OtherThread
from stitchview.done.differing import held, recording, taking_back
from stitchview.done.layerfile import OpenedLayer
from stitchview.done.takenthread import taken_threads
from stitchview.done.usedinstead import OwnThread, UsedInstead
from stitchview.done.usedkey import instead_words, used_key
from stitchview.errors import CommandError
from stitchview.plan.threads import bought_threads

if TYPE_CHECKING:
    from tests.done.conftest import Evening

FOG = OwnThread("0a", "Sample silk 9, fog", "9", "silk", Colour(200, 200, 210), "44B", "Sample", 2.0, 5)
MIST = replace(FOG, id="0b", used_name="Sample silk 8, mist", used_number="8", lot="")


def kept(opened: OpenedLayer) -> None:
    """Keep in the file what was recorded."""
    opened.layer.commit()


def record(evening: "Evening", opened: OpenedLayer, new: OtherThread | Added, own: OwnThread) -> OpenedLayer:
    """Record a difference with a thread of her own, close the layer and open it again."""
    printed = opened.marks.chart.printed
    opened.layer.put(opened.history.record(recording(opened.marks, new, own)))
    kept(opened)
    evening.close(opened)
    return evening.open(printed)


def test_it_follows_the_printed_key_with_what_it_stands_for(
    evening: "Evening", small_chart: Callable[[], Chart]
) -> None:
    """Kept and opened again: a line more, after the printed ones, with its own number, lot and colour."""
    chart = small_chart()
    opened = evening.open(chart)
    evening.mark(opened, Area(3, 2, 2, 2))
    before = opened.tally.total()
    opened = record(evening, opened, OtherThread("01", 3, 2, 4, 3, "crosses", "", FOG.id), FOG)
    worked, marks = opened.marks.chart, opened.marks
    assert worked.key[:-1] == chart.key == worked.printed.key
    own = worked.key[-1]
    assert isinstance(own, OwnEntry)
    assert (own.name, own.number, own.kind, own.colour, own.lot) == (
        *("Sample silk 9, fog", "9", "silk"),
        *(FOG.colour, "44B"),
    )
    there = chart.squares[2:5, 3:7]
    assert (worked.squares[2:5, 3:7][there > 0] == len(chart.key) + 1).all()
    parts = chart.parts
    inside = (parts.rows >= 2) & (parts.rows < 5) & (parts.columns >= 3) & (parts.columns < 7)
    gone = sorted({*there[there > 0].tolist(), *parts.keys[inside].tolist()})
    names = [chart.key[number - 1].name for number in gone]
    assert own.instead_of == tuple(names)
    assert instead_words(own) == f"in an area instead of {names[0]}, {names[1]} and {names[2]}, lot 44B"
    assert own.symbol.text not in {each.symbol.text for each in chart.key} | {each.code for each in chart.key}
    total = opened.tally.total()
    assert (total.stitches, total.done) == (before.stitches, before.done)
    assert opened.tally.of_key(len(worked.key)).stitches >= np.count_nonzero(there)
    bought = next(each for each in bought_threads(worked) if each.name == FOG.used_name)
    assert bought.instead_of == own.instead_of
    (taken,) = taken_threads(worked, marks.notes)
    assert (taken.number, taken.lot, taken.skeins) == ("9", "44B", 2.0)


def test_undo_and_taking_back_leave_the_chart_as_printed(
    evening: "Evening", small_chart: Callable[[], Chart]
) -> None:
    """The thread comes and goes with the difference; one that another difference names too stays."""
    chart = small_chart()
    opened = evening.open(chart)
    first = OtherThread("01", 3, 2, 4, 3, "", "", FOG.id)
    opened = record(evening, opened, first, FOG)
    undone = opened.history.undo()
    assert undone is not None
    opened.layer.put(undone.stroke)
    kept(opened)
    evening.close(opened)
    opened = evening.open(chart)
    assert opened.marks.chart.worked is None
    assert opened.marks.chart.key == chart.key
    assert not opened.marks.notes.own_threads
    opened = record(evening, opened, first, FOG)
    opened = record(evening, opened, Added("02", 0, 0, 2, 1, FOG.id), FOG)
    assert instead_words(opened.marks.chart.key[-1]).startswith("in 2 areas instead of")
    for left, each in ((1, held(opened.marks)[0]), (0, held(opened.marks)[1])):
        opened.layer.put(opened.history.record(taking_back(opened.marks, each)))
        kept(opened)
        evening.close(opened)
        opened = evening.open(chart)
        assert len(opened.marks.notes.own_threads) == left
    assert opened.marks.chart.key == chart.key


def test_it_never_gets_into_the_chart_file(evening: "Evening", small_chart: Callable[[], Chart]) -> None:
    """The chart with the thread of her own cannot be written, and the file is as it was."""
    chart = replace(small_chart(), identity=str(UUID(int=7)))
    opened = evening.open(chart)
    write_chart(chart, evening.chart_path)
    before = evening.chart_path.read_bytes()
    opened = record(evening, opened, OtherThread("01", 3, 2, 4, 3, "", "", FOG.id), FOG)
    with pytest.raises(ValueError, match="printed"):
        write_chart(opened.marks.chart, evening.chart_path)
    assert evening.chart_path.read_bytes() == before
    assert read_chart(evening.chart_path).key == chart.key


CODES = st.sampled_from(["a", "b", FOG.id, MIST.id])
CORNERS = st.integers(0, 11), st.integers(0, 8), st.integers(1, 4), st.integers(1, 4)
USES = st.builds(OtherThread, st.just("0"), *CORNERS, st.just("crosses"), st.just(""), CODES)


@given(st.integers(0, 10**6), st.lists(USES, max_size=6))
def test_counts_are_kept_whatever_thread_is_used_where(
    random_chart: Callable[[int, int, int, int], Chart], seed: int, uses: list[OtherThread]
) -> None:
    """Any threads in any areas: a plain loop over squares gives the same chart; printed numbers stay."""
    chart = random_chart(12, 9, 4, seed)
    wanted = [replace(each, id=f"{at:02}") for at, each in enumerate(uses)]
    cloth = on_cloth(chart, wanted, [FOG, MIST])
    names = [entry.code for entry in chart.key]
    told = [[names[n - 1] if n else "" for n in row] for row in chart.squares.tolist()]
    for each in cloth.hold:
        assert isinstance(each, OtherThread)
        for row in range(each.row, each.row + each.rows):
            for column in range(each.column, each.column + each.columns):
                told[row][column] = told[row][column] and each.code
    worked = [entry.code for entry in cloth.chart.key]
    assert [[worked[n - 1] if n else "" for n in row] for row in cloth.chart.squares.tolist()] == told
    assert cloth.chart.key[: len(chart.key)] == chart.key
    used = (each.code for each in cloth.hold if isinstance(each, OtherThread))
    named = list(dict.fromkeys(code for code in used if code in (FOG.id, MIST.id)))
    assert worked[len(chart.key) :] == named
    assert np.count_nonzero(cloth.chart.squares) == np.count_nonzero(chart.squares)
    signs = [entry.symbol.text for entry in cloth.chart.key]
    assert len(set(signs)) == len(signs)
    assert as_worked(cloth.chart, (), [FOG, MIST]) is chart


def test_what_is_used_in_the_whole_piece_leaves_an_area_as_it_is(small_chart: Callable[[], Chart]) -> None:
    """A printed thread is used in an area after all, while another one is used for it everywhere else."""
    chart = small_chart()
    first = chart.key[0]
    own = replace(FOG, used_name=first.name, used_number=first.number)
    worked = as_worked(chart, [OtherThread("01", 3, 2, 4, 3, "", "", FOG.id)], [own])
    key = used_key(worked.key, [UsedInstead(first.name, first.number, "Sample silk 3", "3")])
    assert (key[0].name, key[-1].name) == ("Sample silk 3", first.name)
    assert used_key(key, ()) == worked.key


def test_a_thread_nobody_names_changes_nothing(small_chart: Callable[[], Chart]) -> None:
    """Noted without a difference it is in no key; a difference of a thread not noted is passed over."""
    chart = small_chart()
    assert as_worked(chart, (), [FOG]) is chart
    cloth = on_cloth(chart, [OtherThread("01", 3, 2, 4, 3, "", "", "0c")], [FOG])
    assert cloth.chart is chart
    assert "no thread with the code" in str(cloth.passed_over[0][1])


@pytest.mark.parametrize(
    "altered", [{"used_name": "", "used_number": ""}, {"used_name": "x" * 201}, {"lot": "x" * 61}]
)
def test_what_no_thread_can_be_is_refused_in_a_sentence(altered: dict[str, str]) -> None:
    """A thread of her own needs a name or number, as one in the whole piece does."""
    with pytest.raises(CommandError, match=r"\w+ .*\."):
        replace(FOG, **altered)  # type: ignore[arg-type]


def test_its_id_can_be_no_code_of_a_chart() -> None:
    """Codes of charts have one character, so no correction of the key can ever take its place."""
    with pytest.raises(ValueError, match="key"):
        replace(FOG, id="a")
