"""Middle and gridding threads: every ten squares, by threads of the cloth and by the ruler."""

import pytest

from stitchview.plan.clothcount import ClothCount
from stitchview.plan.clothgrid import Bold, gridding, griddings
from stitchview.plan.clothsize import Margin


def test_gridding_threads_run_every_ten_squares() -> None:
    """95 squares over two: ten threads inside and the two edges, twenty threads of the cloth apart."""
    way = gridding(95, 1.8, 2, Margin(70, 5))
    assert [line.square for line in way.lines] == [0, 10, 20, 30, 40, 50, 60, 70, 80, 90, 95]
    assert [line.threads for line in way.lines[:3]] == [0, 20, 40]
    assert way.lines[1].from_edge_mm == pytest.approx(75 + 18)
    assert way.threads_apart == 20
    assert way.mm_apart == pytest.approx(18)


@pytest.mark.parametrize(
    ("first", "squares"), [(5, [0, 5, 15, 25]), (0, [0, 10, 20, 25]), (10, [0, 10, 20, 25])]
)
def test_gridding_follows_the_numbering_of_the_chart(first: int, squares: list[int]) -> None:
    """Counted from the far side or the middle, the bold lines lie elsewhere."""
    assert [line.square for line in gridding(25, 1, 1, Margin(0), Bold(first)).lines] == squares


def test_the_middle_is_half_the_count() -> None:
    """Between two squares where the count is even, through one where it is odd (checks.md, H2)."""
    across, down = griddings((120, 91), ClothCount(14, 13), Margin(75))
    assert across.middle.between
    assert across.middle.squares == 60
    assert across.middle.from_edge_mm == pytest.approx(75 + 60 * 25.4 / 14)
    assert not down.middle.between
    assert down.middle.threads == 45.5
    assert down.middle.from_edge_mm == pytest.approx(75 + 45.5 * 25.4 / 13)


def test_counted_from_the_middle_of_an_odd_chart_the_middle_square_lies_by_itself() -> None:
    """25 squares: the 13th is the middle; tens run from both its sides."""
    lines = [line.square for line in gridding(25, 1, 1, Margin(0), Bold(2, 12)).lines]
    assert lines == [0, 2, 12, 13, 23, 25]
    before, after = 12 - 2, 23 - 13
    assert before == after == 10
