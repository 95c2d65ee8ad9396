"""The stitch of a thread that is left nearest to a place, to show where that thread goes on."""

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.done.change import DONE
from stitchview.done.marks import Marks

Places = NDArray[np.float64]


def nearest_left(marks: Marks, number: int, area: Area, middle: tuple[float, float]) -> Area | None:
    """The square in `area` nearest to `middle` where something of key entry `number` is left.

    Crosses and part stitches come first, then lines (by their middles), knots and beads. None when
    nothing is left there. O(squares of the area).
    """
    crosses = _near(_crosses(marks, number, area), middle)
    return crosses if crosses is not None else _near(_on_lattice(marks, number, area), middle)


def _crosses(marks: Marks, number: int, area: Area) -> Places:
    chart, here = marks.chart, area.slices()
    rows, columns = np.nonzero((chart.squares[here] == number) & (marks.squares[here] != DONE))
    squares = np.column_stack((columns + area.column, rows + area.row)) + 0.5
    parts = (chart.parts.keys == number) & (marks.parts != DONE)
    spots = np.column_stack((chart.parts.columns[parts], chart.parts.rows[parts])) + 0.5
    return np.concatenate((squares, spots[_inside(spots, area)]))


def _on_lattice(marks: Marks, number: int, area: Area) -> Places:
    lines, points = marks.chart.lines, marks.chart.points
    mine = (lines.keys == number) & (marks.lines != DONE)
    middles = np.column_stack((lines.x1[mine] + lines.x2[mine], lines.y1[mine] + lines.y2[mine])) / 4
    spots = (points.keys == number) & (marks.points != DONE)
    found: Places = np.concatenate((middles, np.column_stack((points.x[spots], points.y[spots])) / 2))
    return found[_inside(found, area)]


def _inside(places: Places, area: Area) -> NDArray[np.bool_]:
    x, y = places[:, 0], places[:, 1]
    inside: NDArray[np.bool_] = (x >= area.column) & (x <= area.right) & (y >= area.row) & (y <= area.bottom)
    return inside


def _near(places: Places, middle: tuple[float, float]) -> Area | None:
    if not len(places):
        return None
    x, y = places[int(np.argmin(((places - np.array(middle)) ** 2).sum(axis=1)))]
    return Area(int(x), int(y), 1, 1)
