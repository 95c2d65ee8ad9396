"""First legs, what is left for later and mistakes are there next week, whatever became of the file."""

import contextlib
import itertools
import sqlite3
import zlib
from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.addresses import Addresses
from stitchview.done.change import DONE, FIRST_LEG, KEPT, LATER, MISTAKE, OPEN, STATES
from stitchview.done.ids import compose
from stitchview.done.joining import Piece, join_seen, joined_rows, seen_of
from stitchview.done.layerfile import OpenedLayer
from stitchview.done.marks import Marks, change_to
from stitchview.done.shapes import Takes, rectangle
from stitchview.done.strokes import MARK, Stroke, StrokeRow, names_later_states, row_of
from stitchview.done.timeline import Replay, timeline_of
from stitchview.errors import LayerError

if TYPE_CHECKING:
    from tests.done.conftest import Evening

FIRST_ROW = Area(1, 1, 8, 1)
AREAS = st.builds(Area, st.integers(0, 11), st.integers(0, 9), st.integers(1, 6), st.integers(1, 4))
WORDS = st.lists(st.tuples(AREAS, st.integers(0, STATES - 1)), max_size=5)


def version_of(opened: OpenedLayer) -> int:
    assert opened.layer.path is not None
    with contextlib.closing(sqlite3.connect(opened.layer.path)) as connection:
        (version,) = connection.execute("PRAGMA user_version").fetchone()
    return int(version)


def refuse_the_third_format(action: int, name: str | None, value: str | None, *_: str | None) -> int:
    is_it = action == sqlite3.SQLITE_PRAGMA and (name, value) == ("user_version", "3")
    return sqlite3.SQLITE_DENY if is_it else sqlite3.SQLITE_OK


def test_every_state_is_there_next_week_and_undo_leads_back_through_all(
    evening: "Evening", small_chart: Callable[[], Chart]
) -> None:
    """Each stroke is taken back exactly, after closing and opening in between."""
    opened = evening.open(small_chart())
    seen = [[each.copy() for each in opened.marks.families]]
    for state in (LATER, FIRST_LEG, MISTAKE, DONE, MISTAKE, OPEN):
        evening.mark(opened, Area(state, 0, 6, 12), state)
        seen.append([each.copy() for each in opened.marks.families])
    evening.close(opened)
    for expected in reversed(seen[:-1]):
        again = evening.open(small_chart())
        evening.undo(again)
        assert all(np.array_equal(a, b) for a, b in zip(expected, again.marks.families, strict=True))
        evening.close(again)
    for expected in seen[1:]:
        again = evening.open(small_chart())
        evening.redo(again)
        assert all(np.array_equal(a, b) for a, b in zip(expected, again.marks.families, strict=True))
        evening.close(again)


@pytest.mark.parametrize("state", [FIRST_LEG, LATER, MISTAKE])
def test_only_the_first_such_stroke_begins_the_third_format(
    evening: "Evening", small_chart: Callable[[], Chart], state: int
) -> None:
    """Marking and unpicking leave a file to older programs; so does opening one in which nothing else is."""
    opened = evening.open(small_chart())
    evening.mark(opened, FIRST_ROW)
    evening.mark(opened, FIRST_ROW, OPEN)
    assert version_of(opened) == 1
    evening.close(opened)
    opened = evening.open(small_chart())
    assert version_of(opened) == 1
    evening.mark(opened, Area(1, 3, 8, 1), state)
    assert version_of(opened) == 3
    evening.undo(opened)
    evening.close(opened)
    again = evening.open(small_chart())
    assert again.notices == ()
    assert again.history.can_redo
    assert version_of(again) == 3


def test_the_first_such_stroke_is_all_or_nothing(
    evening: "Evening", small_chart: Callable[[], Chart]
) -> None:
    """When the disk fails while the file goes on to the third format, it is as it was; the stroke waits."""
    opened = evening.open(small_chart())
    evening.mark(opened, FIRST_ROW)
    connection = opened.layer._connection
    connection.set_authorizer(refuse_the_third_format)
    with pytest.raises(LayerError):
        evening.mark(opened, Area(1, 3, 8, 1), FIRST_LEG)
    assert version_of(opened) == 1
    assert opened.layer.waiting == 1
    connection.set_authorizer(None)
    assert len(opened.layer.commit()) == 1
    states = opened.marks.squares.copy()
    evening.close(opened)
    assert np.array_equal(evening.open(small_chart()).marks.squares, states)


def rows_of(chart: Chart, words: list[tuple[Area, int]], place: int) -> list[StrokeRow]:
    """The strokes that a hand makes of some words, at times of its own."""
    marks, rows, after = Marks(chart), list[StrokeRow](), None
    for number, (area, state) in enumerate(words):
        change = change_to(marks, rectangle(chart, area, Takes()), state)
        if change is not None:
            marks.apply(change)
            stroke_id = compose(1000 + 10 * number + place, place)
            stroke = Stroke(stroke_id, after, 0, "sofa", MARK, change=change)
            rows.append(row_of(stroke, Addresses(chart)))
            after = stroke_id
    return rows


@given(WORDS, WORDS, WORDS)
@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_joined_in_any_order_the_last_word_on_each_square_wins(
    small_chart: Callable[[], Chart],
    one: list[tuple[Area, int]],
    two: list[tuple[Area, int]],
    three: list[tuple[Area, int]],
) -> None:
    """Three layers with all states: commutative, associative, idempotent, and as a plain loop says."""
    chart = small_chart()
    layers = [rows_of(chart, words, place) for place, words in enumerate((one, two, three))]
    joined = joined_rows(*layers)
    assert all(joined_rows(*order) == joined for order in itertools.permutations(layers))
    assert joined_rows(joined_rows(layers[0], layers[1]), layers[2]) == joined
    assert joined_rows(joined, layers[1]) == joined
    replay, expected = Replay(chart, Addresses(chart)), np.zeros_like(chart.squares, np.uint8)
    for row in joined:
        assert row.id in timeline_of(joined).live
        replay.add(row)
        change = Addresses(chart).change_of(_numbers(row))
        for at, new in zip(change.squares.indices.tolist(), change.squares.new.tolist(), strict=True):
            expected[divmod(at, chart.columns)] = new
    assert np.array_equal(replay.finish()[0], expected)


def _numbers(row: StrokeRow) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    widths = zip(row.families, (4, 5, 7, 5), strict=True)
    squares, parts, lines, points = (
        np.frombuffer(b"" if blob is None else zlib.decompress(blob), "<i4").reshape(-1, width)
        for blob, width in widths
    )
    return squares, parts, lines, points


def test_a_file_joined_to_one_of_the_first_format_takes_it_to_the_third(
    evening: "Evening", small_chart: Callable[[], Chart]
) -> None:
    """Also where only the way back from a first leg came over, which names it as what was there before."""
    chart = small_chart()
    mine = evening.open(chart)
    evening.mark(mine, FIRST_ROW)
    other_folder = evening.folder.parent / "tablet"
    other_folder.mkdir()
    theirs = evening.open(chart, other_folder / "harbour.svchart")
    evening.mark(theirs, Area(0, 0, 12, 3), FIRST_LEG)
    change = evening.mark(theirs, Area(0, 0, 12, 3), OPEN)
    assert change is not None
    with contextlib.closing(sqlite3.connect(other_folder / "harbour.svdone")) as connection:
        rows = [StrokeRow(*each) for each in connection.execute("SELECT * FROM strokes ORDER BY id")]
    assert [names_later_states(row) for row in rows] == [True, True]
    assert version_of(mine) == 1
    piece = Piece(evening.chart_path, chart, evening.elsewhere)
    joined = join_seen(piece, seen_of(piece, [other_folder / "harbour.svdone"]))
    assert joined.new == 2
    assert version_of(mine) == 3


def test_a_hand_that_keeps_states_never_loses_one(small_chart: Callable[[], Chart]) -> None:
    """What a hand leaves as it is, it leaves in the stroke too: undo has nothing to bring back."""
    chart = small_chart()
    marks = Marks(chart)
    for state, kept in KEPT.items():
        for each in kept:
            marks = Marks(chart)
            made = change_to(marks, rectangle(chart, chart.area, Takes()), each)
            assert made is not None
            marks.apply(made)
            change = change_to(marks, rectangle(chart, chart.area, Takes()), state)
            assert change is None or not any((family.old == each).any() for family in change.families)


def test_a_snapshot_with_a_first_leg_of_a_bead_is_not_believed(
    evening: "Evening", small_chart: Callable[[], Chart]
) -> None:
    """Only squares have first legs; the strokes are asked then."""
    opened = evening.open(small_chart())
    evening.mark(opened, FIRST_ROW, FIRST_LEG)
    opened.layer.keep_snapshot(opened.marks, opened.history.live)
    families = [each.copy() for each in opened.marks.families]
    evening.close(opened)
    content = bytearray(b"".join(each.tobytes() for each in families))
    content[-1] = FIRST_LEG
    with contextlib.closing(sqlite3.connect(evening.layer_path, isolation_level=None)) as connection:
        connection.execute("UPDATE snapshot SET states = ?", (zlib.compress(bytes(content)),))
    again = evening.open(small_chart())
    assert all(np.array_equal(a, b) for a, b in zip(families, again.marks.families, strict=True))
