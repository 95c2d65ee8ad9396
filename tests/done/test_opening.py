"""Opening a chart finds its layer wherever it lies, and says in a sentence what had to be done."""

import contextlib
from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.chart.stitches import Lines, Parts, Points
from stitchview.done.change import DONE, OPEN, Selection
from stitchview.done.layerfile import OpenedLayer
from stitchview.done.schema import APPLICATION_ID, FACT_PLACE, connect, keep_facts
from stitchview.done.shelf import Finding, Shelf

if TYPE_CHECKING:
    from tests.done.conftest import Evening

SameMarks = Callable[[OpenedLayer, OpenedLayer], bool]
TOP = Area(1, 1, 10, 2)


def done(opened: OpenedLayer) -> int:
    return opened.tally.total().done


def test_a_new_layer_lies_beside_the_chart(evening: "Evening", small_chart: Callable[[], Chart]) -> None:
    """The first opening makes one file beside the chart, and one file it stays."""
    opened = evening.open(small_chart())
    assert opened.notices == ()
    assert opened.layer.keeps
    assert opened.place == {}
    evening.mark(opened, TOP)
    assert sorted(path.name for path in evening.folder.iterdir()) == ["harbour.svdone"]
    evening.close(opened)
    assert sorted(path.name for path in evening.folder.iterdir()) == ["harbour.svdone"]
    assert not evening.elsewhere.exists()


def test_next_week_everything_is_as_it_was(
    evening: "Evening", small_chart: Callable[[], Chart], same_marks: SameMarks
) -> None:
    """Marks, undo, redo and the place are there again."""
    first = evening.open(small_chart())
    evening.mark(first, TOP)
    evening.mark(first, Area(1, 4, 10, 2))
    evening.mark(first, Area(1, 1, 3, 1), OPEN)
    evening.undo(first)
    first.layer.put_place({"zoom": 2.5, "square": [3, 4]})
    first.layer.commit()
    evening.close(first)
    again = evening.open(small_chart())
    assert same_marks(first, again)
    assert again.place == {"zoom": 2.5, "square": [3, 4]}
    assert evening.redo(again) is not None
    assert again.marks.squares[1, 1] == OPEN
    for _ in range(3):
        assert evening.undo(again) is not None
    assert done(again) == 0
    assert evening.undo(again) is None


def test_a_snapshot_changes_nothing_but_the_time(
    evening: "Evening", small_chart: Callable[[], Chart], same_marks: SameMarks
) -> None:
    """With a snapshot, a spoilt one, one of another state or none, the marks are the same."""
    first = evening.open(small_chart())
    evening.mark(first, TOP)
    evening.mark(first, Area(2, 2, 7, 5))
    first.layer.keep_snapshot(first.marks, first.history.live)
    evening.mark(first, Area(1, 1, 4, 4), OPEN)
    evening.undo(first)
    evening.undo(first)
    evening.mark(first, Area(6, 1, 4, 4))
    evening.close(first)
    with contextlib.closing(connect(evening.layer_path)) as connection:
        strokes, states = connection.execute("SELECT strokes, states FROM snapshot").fetchone()
    assert strokes == 2
    for change in (
        "UPDATE snapshot SET strokes = 1",
        "UPDATE snapshot SET strokes = -1",
        "UPDATE snapshot SET states = x'0102'",
        "UPDATE snapshot SET chart = x'00'",
        "UPDATE snapshot SET digest = x'00'",
        "DELETE FROM snapshot",
    ):
        again = evening.open(small_chart())
        assert again.notices == ()
        assert same_marks(first, again)
        evening.close(again)
        with contextlib.closing(connect(evening.layer_path)) as connection:
            connection.execute(change)
    assert states


def test_marks_outlive_corrections_and_added_sheets(
    evening: "Evening", small_chart: Callable[[], Chart]
) -> None:
    """A stitch taken out of the chart and put back has its mark again; added rows move nothing."""
    chart = small_chart()
    first = evening.open(chart)
    evening.mark(first, TOP)
    before = done(first)
    first.layer.keep_snapshot(first.marks, first.history.live)
    evening.close(first)
    squares = chart.squares.copy()
    squares[1, 1:4] = 0
    corrected = evening.open(replace(chart, squares=squares))
    assert done(corrected) == before - 3
    corrected.layer.keep_snapshot(corrected.marks, corrected.history.live)
    restored = evening.open(chart)
    assert done(restored) == before
    evening.close(restored)
    evening.mark(corrected, Area(1, 4, 2, 1))
    evening.close(corrected)
    grown = replace(chart, squares=np.pad(chart.squares, ((4, 0), (2, 0))), origin=(-2, -4))
    grown = replace(grown, parts=Parts(), lines=Lines(), points=Points())
    again = evening.open(grown)
    expected = np.zeros_like(grown.squares, bool)
    expected[5:7, 3:13] = grown.squares[5:7, 3:13] != 0
    expected[8, 3:5] = grown.squares[8, 3:5] != 0
    assert np.array_equal(again.marks.squares == DONE, expected)


def test_a_layer_of_another_chart_is_not_touched(
    evening: "Evening", small_chart: Callable[[], Chart]
) -> None:
    """Two charts of one name, one after the other in one folder, have a layer each."""
    first = evening.open(small_chart())
    evening.mark(first, TOP)
    evening.close(first)
    content = evening.layer_path.read_bytes()
    other = evening.open(replace(small_chart(), identity="another"))
    assert done(other) == 0
    assert other.layer.path == evening.folder / "harbour 2.svdone"
    assert len(other.notices) == 1
    assert "belongs to another chart" in other.notices[0]
    assert "harbour 2.svdone" in other.notices[0]
    evening.mark(other, Area(1, 1, 1, 1))
    evening.close(other)
    assert evening.layer_path.read_bytes() == content
    again = evening.open(replace(small_chart(), identity="another"))
    assert (done(again), again.notices) == (1, ())
    evening.layer_path.unlink()
    assert done(evening.open(replace(small_chart(), identity="another"))) == 1


def test_two_windows_see_one_file(evening: "Evening", small_chart: Callable[[], Chart]) -> None:
    """Two windows on one chart write to the same layer, and nothing of either is lost."""
    one, two = evening.open(small_chart()), evening.open(small_chart())
    evening.mark(one, Area(1, 1, 10, 1))
    evening.mark(two, Area(1, 4, 10, 1))
    evening.mark(one, Area(1, 5, 10, 1))
    again = evening.open(small_chart())
    assert set(one.history.live) | set(two.history.live) == set(again.history.live)
    assert (again.marks.squares[[1, 4, 5]] == DONE).sum() == (small_chart().squares[[1, 4, 5]] != 0).sum()


def test_a_layer_begun_by_another_window_meanwhile_is_used(
    evening: "Evening", small_chart: Callable[[], Chart], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A layer that comes between looking for one and beginning one is taken, not passed by."""
    ahead: list[OpenedLayer] = []
    look = Shelf.look

    def look_then_be_overtaken(shelf: Shelf, identity: str, read_only: bool) -> Finding | None:
        found = look(shelf, identity, read_only)
        if not ahead and shelf.folder == evening.elsewhere:
            monkeypatch.setattr(Shelf, "look", look)
            ahead.append(evening.open(small_chart()))
            evening.mark(ahead[0], TOP)
        return found

    monkeypatch.setattr(Shelf, "look", look_then_be_overtaken)
    behind = evening.open(small_chart())
    assert ahead
    assert behind.notices == ()
    assert behind.layer.path == ahead[0].layer.path
    assert done(behind) == done(ahead[0]) > 0
    assert sorted(path.name for path in evening.folder.iterdir()) == ["harbour.svdone"]


def test_undo_and_redo_after_two_windows(evening: "Evening", small_chart: Callable[[], Chart]) -> None:
    """A stroke redone below a later one of the other window does not go over it."""
    one, two = evening.open(small_chart()), evening.open(small_chart())
    both = np.flatnonzero(small_chart().squares[1:2]) + small_chart().columns
    evening.mark_selected(one, Selection(both))
    evening.mark_selected(one, Selection(both[:4]), OPEN)
    evening.mark_selected(two, Selection(both[2:6]))
    evening.undo(one)  # takes back the unpicking; the later marks of the other window stay
    again = evening.open(small_chart())
    assert again.tally.of_family("squares").done == len(both)
    evening.redo(again)  # unpicked again, but for what the other window marked afterwards
    assert np.flatnonzero(again.marks.squares).tolist() == both[2:].tolist()
    evening.undo(again)  # the latest stroke is the other window's
    assert np.flatnonzero(again.marks.squares).tolist() == both[4:].tolist()
    evening.undo(again)
    assert np.flatnonzero(again.marks.squares).tolist() == both.tolist()


def test_every_commit_waits_for_the_disk(evening: "Evening", small_chart: Callable[[], Chart]) -> None:
    """The file is synced with its folder at every commit, and no second file lies beside it at rest."""
    opened = evening.open(small_chart())
    evening.mark(opened, TOP)
    with contextlib.closing(connect(evening.layer_path)) as connection:
        # SQLite documentation, "PRAGMA synchronous": 3 is EXTRA.
        assert connection.execute("PRAGMA synchronous").fetchone() == (3,)
        assert connection.execute("PRAGMA journal_mode").fetchone() == ("delete",)
        assert connection.execute("PRAGMA application_id").fetchone() == (APPLICATION_ID,)
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    assert evening.layer_path.read_bytes()[68:72] == b"SVD1"


def test_looking_only_touches_nothing(evening: "Evening", small_chart: Callable[[], Chart]) -> None:
    """A command that only counts leaves no file behind and alters none."""
    assert evening.open(small_chart(), look_only=True).notices == ()
    assert list(evening.folder.iterdir()) == []
    opened = evening.open(small_chart())
    opened.layer.put_place({"zoom": 2})
    evening.mark(opened, TOP)
    evening.close(opened)
    content = evening.layer_path.read_bytes()
    looked = evening.open(small_chart(), look_only=True)
    assert done(looked) > 0
    assert not looked.layer.keeps
    assert looked.place == {"zoom": 2}
    evening.mark(looked, Area(1, 4, 10, 3))
    assert evening.layer_path.read_bytes() == content
    damaged = content[:4096] + b"x" * 100
    evening.layer_path.write_bytes(damaged)
    assert "damaged" in evening.open(small_chart(), look_only=True).notices[0]
    assert [path.read_bytes() for path in evening.folder.iterdir()] == [damaged]


@pytest.mark.parametrize(
    "text", ["", "[1, 2]", "null", "{", '{"zoom": ', "[" * 200_000, "nonsense", '"' + "x" * 2_000_000 + '"']
)
def test_a_place_that_makes_no_sense_is_forgotten(
    evening: "Evening", small_chart: Callable[[], Chart], text: str
) -> None:
    """Her marks are there, the chart just opens at its beginning."""
    opened = evening.open(small_chart())
    evening.mark(opened, TOP)
    evening.close(opened)
    with contextlib.closing(connect(evening.layer_path)) as connection:
        keep_facts(connection, {FACT_PLACE: text})
    again = evening.open(small_chart())
    assert again.place == {}
    assert done(again) > 0
