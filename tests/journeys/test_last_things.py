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


def pointed_at(sofa: Sofa) -> str:
    """Where the keyboard pointer is, in words."""
    pointer = sofa.canvas.showing.pointers.cursor
    assert pointer is not None
    return f"column {pointer[0] + 1}, row {pointer[1] + 1}"


def test_the_list_follows_the_way_to_the_next(sofa: Sofa, harbour: Path) -> None:
    """With the list open beside the chart, the key chooses the line of the thing it went to."""
    sofa.sit_down(harbour)
    desk = sofa.desk
    desk.mark(rectangle(desk.chart, desk.chart.area, Takes()), DONE)
    edge = np.flatnonzero(desk.chart.squares[0])
    columns = edge[[0, len(edge) // 4, len(edge) // 2, -1]].tolist()
    desk.mark(Selection(np.array(columns)), OPEN)
    sofa.put_pointer((columns[0], 0))
    sofa.press("Shift+L")
    dialog = sofa.works.cloth.last.dialog
    assert dialog is not None
    for _ in columns:
        sofa.press("Shift+N")
        assert pointed_at(sofa) in dialog.list.currentItem().text().lower()
    dialog.refresh()
    assert pointed_at(sofa) in dialog.list.currentItem().text().lower()
    dialog.close()
