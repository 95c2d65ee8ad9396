"""The way back through corrections goes as far as memory allows, and never less than one step."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from stitchview.chart.model import Chart
from stitchview.sheets.pencil import with_squares
from stitchview.ui.wayback import WayBack


def test_back_and_forth_gives_each_chart_again(random_chart: Callable[[int, int, int, int], Chart]) -> None:
    """Three corrections taken back one by one and made again; a new one ends the way forth."""
    charts = [random_chart(60, 50, 6, 1)]
    way = WayBack()
    for row in range(3):
        charts.append(with_squares(charts[-1], [(3, row)], 1))
        way.remember(charts[-2], charts[-1])
    for at in (2, 1, 0):
        assert way.before is charts[at]
        way.go_back(charts[at + 1])
    assert not way.can_undo
    for at in (1, 2, 3):
        assert way.after is charts[at]
        way.go_forth(charts[at - 1])
    assert not way.can_redo
    way.go_back(charts[3])
    way.remember(charts[2], with_squares(charts[2], [(9, 9)], 2))
    assert not way.can_redo


def test_large_charts_are_forgotten_sooner_than_small_ones(
    random_chart: Callable[[int, int, int, int], Chart],
) -> None:
    """A hundred steps in the memory of ten charts: ten steps back; pictures that all share cost nothing."""
    chart = random_chart(100, 100, 6, 1)
    chart = replace(chart, attachments={"pictures/sheets/1.jpg": bytes(1_000_000)})
    way = WayBack(most_bytes=10 * chart.squares.nbytes + 5_000)
    for _ in range(100):
        after = replace(chart, squares=np.array(chart.squares))
        way.remember(chart, after)
        chart = after
    steps = 0
    while way.can_undo:
        before = way.before
        way.go_back(chart)
        chart, steps = before, steps + 1
    assert steps == 10


def test_the_last_step_is_never_forgotten(random_chart: Callable[[int, int, int, int], Chart]) -> None:
    """However large the chart is."""
    chart = random_chart(60, 50, 6, 1)
    way = WayBack(most_bytes=1)
    for row in range(3):
        after = with_squares(chart, [(3, row)], 1)
        way.remember(chart, after)
        chart = after
    assert way.can_undo
    way.go_back(chart)
    assert not way.can_undo
