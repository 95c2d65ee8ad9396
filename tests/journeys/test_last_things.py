"""The way through the last things leads to each of them, wherever they lie."""

from pathlib import Path

import numpy as np

from stitchview.done.change import DONE, OPEN, Selection
from stitchview.done.shapes import Takes, rectangle
from tests.journeys.sofa import Sofa


def test_all_of_one_step_are_gone_to_before_any_again(sofa: Sofa, harbour: Path) -> None:
    """Nearest first, and not to and fro between the two that lie nearest to one another."""
    sofa.sit_down(harbour)
    desk = sofa.desk
    desk.mark(rectangle(desk.chart, desk.chart.area, Takes()), DONE)
    edge = np.flatnonzero(desk.chart.squares[0])
    columns = edge[[0, len(edge) // 4, len(edge) // 2, -1]].tolist()
    desk.mark(Selection(np.array(columns)), OPEN)
    sofa.put_pointer((columns[0], 0))
    seen = [sofa.canvas.showing.pointers.cursor]
    for _ in columns[1:]:
        sofa.press("Shift+N")
        seen.append(sofa.canvas.showing.pointers.cursor)
    assert seen == [(column, 0) for column in columns]
    sofa.press("Shift+N")
    assert sofa.canvas.showing.pointers.cursor in seen[:-1]
