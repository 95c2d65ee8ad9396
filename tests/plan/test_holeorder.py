"""Orders of the thread card: each names every thread once."""

from collections.abc import Callable

import pytest

from stitchview.chart.model import Chart
from stitchview.done.marks import Marks
from stitchview.plan.holeorder import HoleOrder, card_of, ordered


@pytest.mark.parametrize("order", list(HoleOrder))
def test_every_thread_has_one_hole(small_chart: Callable[[], Chart], order: HoleOrder) -> None:
    """In any order, also from a place that a smaller chart no longer has."""
    marks = Marks(small_chart())
    card = card_of(marks, order, (10_000, -3))
    assert sorted(hole.number for hole in card.holes) == list(range(1, len(marks.chart.key) + 1))
    assert [hole.place for hole in card.holes] == list(range(1, len(card.holes) + 1))


def test_the_next_block_comes_first(small_chart: Callable[[], Chart]) -> None:
    """The threads of the nearest block stand before those that only others need."""
    marks = Marks(small_chart())
    order = ordered(marks, HoleOrder.BLOCKS, (0, 0))
    squares = marks.chart.squares[:10, :10]
    near = {int(number) for number in squares[squares > 0]}
    assert near
    assert near & set(order[: len(near)])
