"""What the pencil draws and rubs out is noted as decided by hand, and another reading leaves it so."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from stitchview.chart.model import Chart
from stitchview.chart.review import Decided
from stitchview.chart.stitches import PointKind
from stitchview.sheets.pencil import rubbed_out, with_line, with_point, with_squares
from stitchview.sheets.rereading import laid_onto


@pytest.fixture
def chart(small_chart: Callable[[], Chart]) -> Chart:
    """The small chart, all of it on one sheet that could be read again."""
    whole = small_chart()
    return replace(whole, sheets=(replace(whole.sheets[0], area=whole.area),))


def read_again(corrected: Chart, chart: Chart) -> Chart:
    """The corrected chart after the paper was read again just as the first time."""
    return laid_onto(corrected, chart, (0, 0), list(range(1, len(chart.key) + 1)))


def ways(chart: Chart) -> set[tuple[int, ...]]:
    """All lines as (x1, y1, x2, y2)."""
    lines = chart.lines
    return set(zip(lines.x1.tolist(), lines.y1.tolist(), lines.x2.tolist(), lines.y2.tolist(), strict=True))


def test_squares_are_corrected_for_good(chart: Chart) -> None:
    """Pressed or dragged over; what lies beside the chart is passed over."""
    after = with_squares(chart, [(1, 1), (2, 1), (-1, 3), (99, 0)], 3)
    assert np.argwhere(after.squares != chart.squares).tolist() == [
        [1, column] for column in (1, 2) if chart.squares[1, column] != 3
    ]
    assert (after.by_hand.kinds == Decided.SQUARES).sum() == 2
    again = read_again(after, chart)
    assert (again.squares[1, 1:3] == 3).all()
    assert with_squares(chart, [(99, 99)], 1) is chart


def test_a_line_drawn_stays_and_one_rubbed_out_does_not_come_back(chart: Chart) -> None:
    """Each through another reading of the paper that shows the lines as before."""
    drawn = with_line(chart, (4, 6), (10, 6), 2)
    assert ways(drawn) - ways(chart) == {(4, 6, 10, 6)}
    assert ways(read_again(drawn, chart)) >= {(4, 6, 10, 6)}
    x1, y1, x2, y2 = (int(at[2]) for at in (chart.lines.x1, chart.lines.y1, chart.lines.x2, chart.lines.y2))
    gone = rubbed_out(chart, (x1 + x2) / 4, (y1 + y2) / 4)
    assert ways(chart) - ways(gone) == {(x1, y1, x2, y2)}
    assert (x1, y1, x2, y2) not in ways(read_again(gone, chart))
    assert with_line(chart, (4, 6), (4, 6), 2) is chart
    assert with_line(chart, (4, 6), (400, 6), 2) is chart


def test_a_knot_drawn_stays_and_one_rubbed_out_does_not_come_back(chart: Chart) -> None:
    """An entry that is a bead draws beads."""
    drawn = with_point(chart, (7, 3), 1)
    assert (drawn.points.x[-1], drawn.points.y[-1]) == (7, 3)
    assert drawn.points.kinds[-1] == PointKind.KNOT
    again = read_again(drawn, chart)
    assert (7, 3) in set(zip(again.points.x.tolist(), again.points.y.tolist(), strict=True))
    beads = replace(chart, key=(replace(chart.key[0], kind="bead"), *chart.key[1:]))
    assert with_point(beads, (7, 3), 1).points.kinds[-1] == PointKind.BEAD
    place = int(chart.points.x[2]), int(chart.points.y[2])
    gone = rubbed_out(chart, place[0] / 2, place[1] / 2)
    assert len(gone.points) == len(chart.points) - 1
    after = read_again(gone, chart).points
    assert place not in set(zip(after.x.tolist(), after.y.tolist(), strict=True))


def test_where_there_is_neither_the_square_is_emptied(chart: Chart) -> None:
    """An empty square, and what lies beside the chart, stay as they are."""
    rows, columns = np.nonzero(chart.squares)
    for column, row in zip(columns.tolist(), rows.tolist(), strict=True):
        after = rubbed_out(chart, column + 0.5, row + 0.5)
        if len(after.lines) == len(chart.lines) and len(after.points) == len(chart.points):
            assert np.argwhere(after.squares != chart.squares).tolist() == [[row, column]]
            assert rubbed_out(after, column + 0.5, row + 0.5) is after
            break
    else:
        pytest.fail("no plain square in the small chart")
    assert rubbed_out(chart, -3, 2) is chart
