"""Dated copies are kept sparsely at closing, and any can be brought back without losing what is there."""

import contextlib
import sqlite3
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done import ids, keptcopies
from stitchview.done.addresses import Addresses
from stitchview.done.joining import Piece
from stitchview.done.keeper import Keeper
from stitchview.done.keptcopies import KeptCopy, copies_folder, keep_copy, kept_copies
from stitchview.done.looking import look_into
from stitchview.done.marks import change_to
from stitchview.done.news import news_for
from stitchview.done.placing import create_layer
from stitchview.done.restoring import copies_kept_of, lost_marks, restore
from stitchview.done.schema import connect
from stitchview.done.shapes import Takes, rectangle
from stitchview.done.strokes import MARK, Stroke, row_of
from stitchview.done.thinning import Dated, Measure, worth_keeping
from stitchview.errors import LayerError

if TYPE_CHECKING:
    from tests.done.conftest import Evening

HOUR_MS = 3_600_000


@given(st.lists(st.tuples(st.integers(0, 900), st.integers(1, 40)), max_size=60), st.integers(1, 400))
def test_copies_are_bounded_and_the_newest_is_always_kept(days: list[tuple[int, int]], most: int) -> None:
    """Whatever days the clock gave: at most so many, at most so many bytes unless a single one has more."""
    start, measure = date(2024, 12, 20), Measure(bytes=most)
    copies = [Dated(at, start + timedelta(day), size) for at, (day, size) in enumerate(days)]
    kept = worth_keeping(copies, measure)
    assert len(kept) <= measure.most
    if copies:
        assert copies[-1].number in kept
    assert len(kept) <= 1 or sum(copies[number].bytes for number in kept) <= most
    assert worth_keeping([copies[number] for number in sorted(kept)], measure) <= kept


def test_the_last_ones_then_one_a_day_a_week_a_month() -> None:
    """A copy every day for two years: what is left, told by hand from the calendar."""
    copies = [Dated(at, date(2025, 1, 1) + timedelta(at), 1) for at in range(730)]
    kept = worth_keeping(copies, Measure(last=2, days=2, weeks=3, months=3))
    days = [copies[number].day.isoformat() for number in sorted(kept, reverse=True)]
    # The last is Thursday 2026-12-31. ISO 8601 weeks end on Sundays: 2026-12-27, 2026-12-20.
    last_and_days = ["2026-12-31", "2026-12-30", "2026-12-29", "2026-12-28"]
    assert days == [*last_and_days, "2026-12-27", "2026-12-20", "2026-11-30", "2026-10-31"]


class Clock:
    """A clock that is set by hand, in milliseconds since 1970."""

    def __init__(self) -> None:
        self.ms = 1_790_000_000_000

    def __call__(self) -> int:
        return self.ms


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    clock = Clock()
    monkeypatch.setattr(keptcopies, "now_ms", clock)
    return clock


def layer_with(path: Path, clock: Clock, known: list[bytes]) -> None:
    """A layer anew with the strokes of the ids known, and one more made now."""
    known.append(ids.Ids(known[-1] if known else None, clock).next())
    addresses = Addresses(Chart(np.ones((1, 1), np.uint16), ()))
    path.unlink(missing_ok=True)
    create_layer(path, {}, [row_of(Stroke(each, None, 0, "sofa", MARK), addresses) for each in known])


def test_one_copy_a_sitting(tmp_path: Path, clock: Clock) -> None:
    """Closing twice within a sitting leaves one copy, the later; without a stroke there is none."""
    layer, folder, known = tmp_path / "harbour.svdone", tmp_path / "copies", list[bytes]()
    for pause in (0, 600_000, 600_000, 5 * HOUR_MS, 600_000):
        clock.ms += pause
        layer_with(layer, clock, known)
        assert keep_copy(layer, folder) is not None
        assert keep_copy(layer, folder) is None
    assert [copy.strokes for copy in kept_copies(folder)] == [5, 3]
    assert not [path for path in folder.iterdir() if path.suffix != ".svdone"]


def test_a_clock_set_back_costs_no_copy(tmp_path: Path, clock: Clock) -> None:
    """The copies come in the order they were made in, and the last is the one with all strokes."""
    layer, folder, known = tmp_path / "harbour.svdone", tmp_path / "copies", list[bytes]()
    for hours in (0, 5, -24 * 900, 5, 24 * 400):
        clock.ms += hours * HOUR_MS
        layer_with(layer, clock, known)
        keep_copy(layer, folder)
        assert look_into(kept_copies(folder)[0].path).ids == set(known)
    numbers = [copy.number for copy in kept_copies(folder)]
    assert numbers == sorted(numbers, reverse=True)


def test_the_only_copy_of_a_stroke_is_never_thinned_out(tmp_path: Path, clock: Clock) -> None:
    """The layer was lost and begun anew: copies of the old one stay, whatever their age."""
    layer, folder, old = tmp_path / "harbour.svdone", tmp_path / "copies", list[bytes]()
    layer_with(layer, clock, old)
    keep_copy(layer, folder)
    known: list[bytes] = []
    for _ in range(60):
        clock.ms += 5 * HOUR_MS
        layer_with(layer, clock, known)
        keep_copy(layer, folder)
    copies = kept_copies(folder)
    assert len(copies) < 25
    assert look_into(copies[-1].path).ids == set(old)


def evening_of(evening: "Evening", chart: Chart, area: Area) -> None:
    opened = evening.open(chart)
    keeper = Keeper(opened, lambda _: None, lambda _: None)
    change = change_to(opened.marks, rectangle(chart, area, Takes()), 1)
    assert change is not None
    opened.marks.apply(change)
    keeper.put(opened.history.record(change))
    assert keeper.close() is None
    evening.open_now.remove(opened)


@pytest.fixture
def kept(evening: "Evening", small_chart: Callable[[], Chart], monkeypatch: pytest.MonkeyPatch) -> Piece:
    """A harbour of two evenings that count as two sittings, each closed by its keeper."""
    monkeypatch.setattr(keptcopies, "_same_sitting", lambda copy, ids: False)
    chart = small_chart()
    for area in (Area(0, 0, 3, 3), Area(4, 4, 5, 5)):
        evening_of(evening, chart, area)
    return Piece(evening.chart_path, chart, evening.elsewhere)


def numbers_of(copies: tuple[KeptCopy, ...]) -> list[tuple[int, int]]:
    return [(copy.number, copy.strokes) for copy in copies]


def test_closing_keeps_a_copy(evening: "Evening", kept: Piece) -> None:
    """One for each evening; looking without marking keeps none."""
    assert numbers_of(copies_kept_of(kept)) == [(2, 2), (1, 1)]
    opened = evening.open(kept.chart)
    assert Keeper(opened, lambda _: None, lambda _: None).close() is None
    assert len(copies_kept_of(kept)) == 2


def test_a_copy_is_brought_back_and_a_window_sees_it(evening: "Evening", kept: Piece) -> None:
    """The older marks are there again in the open window; the newer ones can be brought back as well."""
    opened = evening.open(kept.chart)
    both = opened.tally.total().done
    evening.mark(opened, Area(0, 8, 9, 1))
    more = opened.tally.total().done
    restored = restore(kept, 1)
    assert (restored.strokes, restored.kept and restored.kept.strokes) == (1, 3)
    change = news_for(opened)
    assert change is not None
    opened.marks.apply(change)
    assert 0 < opened.tally.total().done < both < more
    assert restored.kept is not None
    restore(kept, restored.kept.number)
    assert evening.open(kept.chart, look_only=True).tally.total().done == more


def test_a_layer_that_was_deleted_is_brought_back(evening: "Evening", kept: Piece) -> None:
    """The file is gone: the copies are not."""
    ids_before = look_into(evening.layer_path).ids
    assert lost_marks(kept) is None
    evening.layer_path.unlink()
    lost = lost_marks(kept)
    assert lost is not None
    assert lost.number == 2
    restored = restore(kept, lost.number)
    assert (restored.kept, restored.aside) == (None, None)
    assert look_into(evening.layer_path).ids == ids_before
    assert evening.open(kept.chart).notices == ()


def test_a_damaged_layer_is_set_aside_when_a_copy_is_brought_back(evening: "Evening", kept: Piece) -> None:
    """Its bytes are kept under another name."""
    content = b"not the header" + evening.layer_path.read_bytes()[14:]
    evening.layer_path.write_bytes(content)
    restored = restore(kept, 1)
    assert restored.aside is not None
    assert restored.aside.read_bytes() == content
    assert len(look_into(evening.layer_path).rows) == 1


def test_of_a_damaged_copy_what_can_be_read_comes_back(evening: "Evening", kept: Piece) -> None:
    """A copy without its header gives its strokes; one of nothing is refused and nothing altered."""
    older, newer = reversed(copies_kept_of(kept))
    older.path.write_bytes(b"not the header" + older.path.read_bytes()[14:])
    newer.path.write_bytes(b"moths")
    content = evening.layer_path.read_bytes()
    for number in (newer.number, 77):
        with pytest.raises(LayerError):
            restore(kept, number)
    assert evening.layer_path.read_bytes() == content
    assert restore(kept, older.number).strokes == 1


@pytest.mark.parametrize("number", range(1, 9))
def test_a_disk_that_fails_while_restoring_loses_nothing(
    evening: "Evening", kept: Piece, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    """Whichever step fails, the layer is as it was before or as it should be, and all copies are there."""
    before = {path.name for path in copies_folder(evening.layer_path, kept.chart.identity).iterdir()}
    present, wanted = look_into(evening.layer_path).ids, look_into(copies_kept_of(kept)[1].path).ids
    calls = 0

    class Failing(sqlite3.Connection):
        def execute(self, *given: object) -> sqlite3.Cursor:
            nonlocal calls
            if str(given[0]).startswith(("BEGIN", "DELETE", "INSERT", "COMMIT")):
                calls += 1
                if calls == number:
                    error = sqlite3.OperationalError("database or disk is full")
                    error.sqlite_errorname = "SQLITE_FULL"
                    raise error
            return super().execute(*given)  # type: ignore[arg-type]

    real = sqlite3.connect
    with monkeypatch.context() as patch:
        patch.setattr(sqlite3, "connect", lambda *given, **named: real(*given, factory=Failing, **named))
        with contextlib.suppress(LayerError):
            restore(kept, 1)
    assert look_into(evening.layer_path).ids in (present, wanted)
    assert before <= {copy.path.name for copy in copies_kept_of(kept)}
    with contextlib.closing(connect(evening.layer_path)) as connection:
        assert connection.execute("PRAGMA quick_check").fetchone() == ("ok",)
