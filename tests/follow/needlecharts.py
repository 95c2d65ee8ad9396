"""Small charts for needlefuls, and what holds for every needleful."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.model import Chart, KeyEntry, Symbol
from stitchview.done.change import DONE
from stitchview.done.marks import Marks, change_to
from stitchview.follow.length import Working
from stitchview.follow.needleful import Needleful, Wish
from stitchview.follow.proposing import next_needleful
from stitchview.follow.route import measured, simple_order
from stitchview.follow.threadwork import ThreadWork
from stitchview.follow.treebound import back_bound_mm


def chart_of(squares: NDArray[Any], threads: int = 1) -> Chart:
    """A chart of key numbers, of so many threads a, b, ..."""
    key = tuple(KeyEntry(code, Symbol(code), f"Sample cotton {code}") for code in "abcdefgh"[:threads])
    return Chart(squares.astype(np.uint16), key)


def drawn(*rows: str) -> Chart:
    """A chart of thread a where an `a` stands, b likewise, bare cloth at a full stop."""
    return chart_of(np.array([[".ab".index(code) for code in row] for row in rows]), 2)


def work_on(chart: Chart) -> ThreadWork:
    """A chart on which nothing is done."""
    return ThreadWork(Marks(chart))


def finish(work: ThreadWork, path: Needleful) -> None:
    """Mark all of a needleful as done."""
    change = change_to(work.marks, path.selection(work.chart.columns), DONE)
    assert change is not None
    assert change.count == len(path), "a needleful holds only open stitches, each once"
    work.marks.apply(change)


def proposed(work: ThreadWork, wish: Wish) -> Needleful:
    """The next needleful, which there must be."""
    path = next_needleful(work, wish)
    assert path is not None
    return path


def squares_of(path: Needleful) -> list[tuple[int, int]]:
    """The squares of a needleful (column, row), in its order."""
    return list(zip(path.stitches.columns.tolist(), path.stitches.rows.tolist(), strict=True))


def check(work: ThreadWork, path: Needleful) -> None:
    """What holds for every needleful: the thread reaches, no carry is too long, and journeys are rows."""
    wish, stitches = path.wish, path.stitches
    assert path.left_mm >= -1e-6
    assert [number for each in path.journeys for number in each] == list(range(len(path)))
    for journey in path.journeys:
        along = stitches.taken(journey)
        steps = {
            abs(int(x)) + abs(int(y))
            for x, y in zip(np.diff(along.columns), np.diff(along.rows), strict=True)
        }
        assert steps <= {1}
        assert len(journey) == 1 or wish.needle.working is Working.ROWS
        assert len(set(along.columns.tolist())) == 1 or len(set(along.rows.tolist())) == 1
    for carry in path.carries:
        assert carry.mm <= wish.carrying.longest_mm + 1e-6
    assert path.back_mm >= back_bound_mm(stitches, wish.needle) - 1e-6
    rows = measured(stitches, simple_order(stitches, wish.needle), wish.needle)
    if (rows.between_mm <= wish.carrying.longest_mm).all() and not wish.carrying.under_stitches:
        assert path.back_mm <= rows.back_mm + 1e-6
