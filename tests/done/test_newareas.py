"""What is new is counted where it lies: by the blocks of ten, and by the sheets of paper."""

from collections.abc import Callable

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.model import Chart
from stitchview.done.change import Selection
from stitchview.done.newareas import by_block, by_sheet, homes_of
from tests.done.evenings import COLUMNS, everything, first_chart


@given(st.integers(0, 60), st.integers(1, 12), st.data())
def test_blocks_agree_with_a_plain_loop(seed: int, side: int, data: st.DataObject) -> None:
    """Every stitch lies in one block, and the blocks hold just those, the most first."""
    chart = first_chart(seed)
    every = everything(chart)
    shares = data.draw(st.lists(st.sampled_from([0.0, 0.3, 1.0]), min_size=4, max_size=4))
    random = np.random.default_rng(seed)
    chosen = Selection(
        *(each[random.random(len(each)) < share] for each, share in zip(every.families, shares, strict=True))
    )
    expected: dict[tuple[int, int], int] = {}
    for flat in chosen.squares.tolist():
        place = flat % COLUMNS // side, flat // COLUMNS // side
        expected[place] = expected.get(place, 0) + 1
    found = by_block(chart, Selection(chosen.squares), side)
    assert {(each.area.column // side, each.area.row // side): each.stitches for each in found} == expected
    assert [each.stitches for each in found] == sorted((each.stitches for each in found), reverse=True)
    assert sum(each.stitches for each in by_block(chart, chosen, side)) == chosen.count
    columns, rows = homes_of(chart, chosen)
    for column, row in zip(columns.tolist(), rows.tolist(), strict=True):
        assert chart.area.holds(column, row)


def test_sheets_are_counted_in_their_order(small_chart: Callable[[], Chart]) -> None:
    """Counted with numpy from the sheet's own squares; an empty sheet is not told."""
    chart = small_chart()
    chosen = Selection(np.flatnonzero(chart.squares.ravel()))
    for each in by_sheet(chart, chosen):
        rows = slice(each.area.row, each.area.bottom)
        assert each.stitches == np.count_nonzero(chart.squares[rows, each.area.column : each.area.right])
    assert [each.name for each in by_sheet(chart, chosen)] == [sheet.name for sheet in chart.sheets]
    assert by_sheet(chart, Selection()) == ()
