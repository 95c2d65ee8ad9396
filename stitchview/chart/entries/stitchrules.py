"""Rules no single stitch can break: what shares a square with what, and nothing twice in one place."""

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.entries.stitchcolumns import Columns
from stitchview.chart.limits import MOST_PARTS_IN_SQUARE
from stitchview.chart.model import Squares

Wholes = NDArray[np.int64]


def check_parts(rows: Columns, places: Wholes, shapes: Wholes, squares: Squares) -> None:
    """Part stitches at `places` (n, 2): not on a full cross, at most four a square, no shape twice."""
    if not len(rows.items):
        return
    for index in np.flatnonzero(squares[places[:, 1], places[:, 0]]).tolist():
        rows.complain(index, f"lies in {_square(rows, index)}, which has a full cross in squares.txt")
    flat = places[:, 1] * squares.shape[1] + places[:, 0]
    _check_twice(rows, np.column_stack((flat, shapes)), "has the square and shape of")
    _, first, counts = np.unique(flat, return_index=True, return_counts=True)
    for index in first[counts > MOST_PARTS_IN_SQUARE]:
        rows.complain(
            int(index), f"lies in {_square(rows, index)}, which has more than {MOST_PARTS_IN_SQUARE}"
        )


def check_lines(rows: Columns, ends: Wholes, kinds: Wholes, keys: Wholes) -> None:
    """Lines with `ends` (n, 4): each has a length, and none is there twice, whichever way it runs."""
    if not len(rows.items):
        return
    for index in np.flatnonzero((ends[:, :2] == ends[:, 2:]).all(axis=1)):
        rows.complain(int(index), "ends where it begins")
    swap = (ends[:, 0] > ends[:, 2]) | ((ends[:, 0] == ends[:, 2]) & (ends[:, 1] > ends[:, 3]))
    ordered = np.where(swap[:, None], ends[:, [2, 3, 0, 1]], ends)
    _check_twice(rows, np.column_stack((ordered, kinds, keys)), "is the same as")


def check_points(rows: Columns, places: Wholes, kinds: Wholes, keys: Wholes) -> None:
    """Knots and beads at `places` (n, 2): none is there twice."""
    if len(rows.items):
        _check_twice(rows, np.column_stack((places, kinds, keys)), "is the same as")


def check_doubts(rows: Columns, places: Wholes) -> None:
    """Doubts about squares at `places` (n, 2): none is there twice."""
    if len(rows.items):
        _check_twice(rows, places, "is about the square of")


def _check_twice(rows: Columns, marks: Wholes, what: str) -> None:
    order = np.lexsort(marks.T[::-1])
    same = (np.diff(marks[order], axis=0) == 0).all(axis=1)
    for position in np.flatnonzero(same):
        earlier, later = order[position], order[position + 1]
        rows.complain(int(later), f"{what} {rows.noun} {earlier + 1}")


def _square(rows: Columns, index: int) -> str:
    column, row = rows.items[index]["at"]
    return f"square [{column:g}, {row:g}]"
