"""The diary reads only what is new, and says in one sentence what it cannot read."""

from collections.abc import Callable
from typing import TYPE_CHECKING

import pytest

from stitchview.chart.area import Area
from stitchview.done.change import DONE
from stitchview.done.ledger import Ledger
from stitchview.done.shapes import Takes, rectangle
from stitchview.done.sittings import Pauses
from stitchview.done.strokes import StrokeRow
from stitchview.errors import LayerError
from stitchview.ui.diary import diaryreader
from stitchview.ui.diary.diaryreader import DiaryReader

if TYPE_CHECKING:
    from tests.ui.diary.conftest import Evenings


def test_no_stroke_is_gone_through_twice(
    evenings: Callable[[int], "Evenings"], monkeypatch: pytest.MonkeyPatch
) -> None:
    """However many strokes there are, a new one is all that a new look at the diary goes through."""
    taken, take = list[bytes](), Ledger._take

    def noted(ledger: Ledger, row: StrokeRow) -> None:
        taken.append(row.id)
        take(ledger, row)

    monkeypatch.setattr(diaryreader, "ROWS_AT_ONCE", 2)
    monkeypatch.setattr(Ledger, "_take", noted)
    made = evenings(4)
    assert len(taken) == len(made.desk.strokes())
    made.desk.mark(rectangle(made.chart, Area(0, 0, 3, 1), Takes()), DONE)
    made.diary.refresh()
    made.settle()
    assert taken == [row.id for row in made.desk.strokes()]


def test_a_stroke_without_sense_is_one_sentence(
    evenings: Callable[[int], "Evenings"], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Such a stroke is no fault of the diary, and the diary never goes on reckoning for ever."""
    made = evenings(2)
    *first, last = made.desk.strokes()
    damaged = [*first, last._replace(squares=b"no stitches")]
    reader = DiaryReader(made.desk, made.diary._reader._piece)
    monkeypatch.setattr(made.desk, "strokes", lambda: damaged)
    with pytest.raises(LayerError, match="makes no sense"):
        reader.book(made.desk.notes, made.desk.tally.total(), Pauses())
