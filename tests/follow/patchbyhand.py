"""Laying a patch on every square by hand, with numpy's sliding windows, to check the quick way by."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.follow.clothpatch import OPEN_SQUARE
from stitchview.follow.finding import Looking

EDGE = 6
Grid = NDArray[np.int32]
Seen = NDArray[np.bool_]
Placed = tuple[Area, int, bool, tuple[int, int] | None]


def seen_on(chart: Chart) -> Seen:
    """Which threads are seen where, bare cloth as number 0, with a rim: (keys + 1, rows, columns)."""
    seen = np.zeros((len(chart.key) + 1, chart.rows + 2 * EDGE, chart.columns + 2 * EDGE), bool)
    inner = seen[:, EDGE:-EDGE, EDGE:-EDGE]
    for number in range(1, len(chart.key) + 1):
        inner[number] = chart.squares == number
    inner[chart.parts.keys, chart.parts.rows, chart.parts.columns] = True
    seen[0] = ~seen[1:].any(axis=0)
    return seen


def laid_by_hand(seen: Seen, squares: Grid, looking: Looking) -> Iterator[Placed]:
    """Every way to lie and every place of numpy's sliding windows, one after the other."""
    known: list[Grid] = []
    for mirrored in (False, True) if looking.mirrored else (False,):
        for turn in range(4) if looking.turned else (0,):
            laid = np.rot90(np.fliplr(squares) if mirrored else squares, -turn)
            if any(np.array_equal(laid, each) for each in known):
                continue
            known.append(laid)
            for area, wrong in fitting_windows(seen, laid, looking.one_wrong):
                yield area, turn, mirrored, wrong


def fitting_windows(seen: Seen, laid: Grid, one_wrong: bool) -> Iterator[tuple[Area, tuple[int, int] | None]]:
    """The windows in which a patch lying one way fits, and the first square that is otherwise."""
    rows, columns = laid.shape
    windows = np.lib.stride_tricks.sliding_window_view(seen, laid.shape, axis=(1, 2))
    wrong = np.zeros((*windows.shape[1:3], rows, columns), bool)
    threads = np.zeros(windows.shape[1:3], bool)
    for (row, column), number in np.ndenumerate(laid):
        if number != OPEN_SQUARE:
            there = windows[number, :, :, row, column] if number < len(seen) else np.zeros_like(threads)
            wrong[:, :, row, column] = ~there
            threads |= there & (number > 0)
    faults = wrong.sum(axis=(2, 3))
    for top, left in zip(*np.nonzero((faults <= int(one_wrong)) & threads), strict=True):
        area = Area(int(left) - EDGE, int(top) - EDGE, columns, rows)
        where = np.argwhere(wrong[top, left])
        yield area, (area.column + int(where[0, 1]), area.row + int(where[0, 0])) if len(where) else None
