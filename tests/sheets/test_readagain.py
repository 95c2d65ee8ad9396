"""A second reading laid on the first keeps names, corrections and addresses, and refuses another chart."""

from dataclasses import replace

import numpy as np
import pytest

from stitchview.chart.model import Chart
from stitchview.sheets.charting import Reading, chart_of
from stitchview.sheets.correcting import answered, named
from stitchview.sheets.joining import join_sheets
from stitchview.sheets.papererror import PaperError
from stitchview.sheets.readagain import laid_again
from stitchview.sheets.sheetreading import SheetReading
from tests.paper.printing import Paper, printed_sheets
from tests.sheets.truthreading import true_sheets


@pytest.fixture(scope="module")
def sheets() -> list[SheetReading]:
    """Two sheets beside each other, as a perfect reader reads them, but for one square it is not sure of."""
    left, right = true_sheets(printed_sheets(40, 30, 8, 2, Paper(across=2, overlap=5)))
    shown = np.zeros_like(left.shown)
    shown[3, 4] = True
    return [replace(left, shown=shown), right]


def chart_of_these(sheets: list[SheetReading]) -> Chart:
    """The chart they make."""
    return chart_of(Reading(tuple(sheets), join_sheets(sheets), title="Quay"))


def test_names_and_answers_outlive_another_reading(sheets: list[SheetReading]) -> None:
    """Read again, the named pile has its name still and the answered square its answer."""
    first = chart_of_these(sheets)
    known = named(first, 1, replace(first.key[0], name="Sample cotton 17, slate blue", number="17"))
    other = 2 if first.squares[3, 4] == 1 else 1
    known = answered(known, [0], other)
    again = laid_again(known, chart_of_these(sheets))
    assert (again.squares == known.squares).all()
    assert again.key == known.key
    assert again.identity == first.identity
    assert not len(again.doubts)


def test_a_sheet_added_at_the_left_keeps_addresses(sheets: list[SheetReading]) -> None:
    """First only the right sheet, then both: each square of the right one has the address it had."""
    first = chart_of_these(sheets[1:])
    again = laid_again(first, chart_of_these(sheets))
    assert again.origin == (first.columns - again.columns, 0)
    assert (again.squares.shape) == chart_of_these(sheets).squares.shape
    moved = -again.origin[0]
    names = np.array(["", *(entry.name for entry in again.key)])
    before = np.array(["", *(entry.name for entry in first.key)])
    assert (names[again.squares[:, moved:]] == before[first.squares]).all()


def test_unread_sheets_leave_nothing_behind_when_they_are_read(sheets: list[SheetReading]) -> None:
    """Followed on the picture first, then read: the chart is as if it had been read at once."""
    first = chart_of_these([replace(sheet, read=False) for sheet in sheets])
    again, fresh = laid_again(first, chart_of_these(sheets)), chart_of_these(sheets)
    called, wanted = (np.array(["", *(entry.name for entry in chart.key)]) for chart in (again, fresh))
    assert sorted(called) == sorted(wanted)
    assert (called[again.squares] == wanted[fresh.squares]).all()
    assert len(again.lines) == len(fresh.lines)


def test_another_chart_is_refused(sheets: list[SheetReading]) -> None:
    """Sheets of other names are not laid over a chart that happens to lie there."""
    first = chart_of_these(sheets)
    strangers = [replace(sheet, name=f"other {sheet.name}") for sheet in sheets]
    with pytest.raises(PaperError, match="None of these sheets"):
        laid_again(first, chart_of_these(strangers))
