"""From a landmark and a count on the cloth to the square of the chart, to see if a stitch is in its place."""

from dataclasses import dataclass

import numpy as np

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.errors import StitchviewError


@dataclass(frozen=True, slots=True)
class Landing:
    """The square that a count leads to, and the key entries printed there: the whole stitch's first."""

    column: int
    row: int
    numbers: tuple[int, ...]


def landing(chart: Chart, landmark: tuple[int, int], columns: int, rows: int) -> Landing:
    """The square so many columns to the right of `landmark` and rows below it; below 0 left and above.

    Raises `StitchviewError` when that leads off the chart.
    """
    column, row = landmark[0] + columns, landmark[1] + rows
    if not chart.area.holds(column, row):
        raise StitchviewError(
            f"Counted from that landmark, this is {_beyond(chart.area, column, row)} of the chart.",
            "Count again on the cloth, or choose another landmark.",
        )
    here = (chart.parts.columns == column) & (chart.parts.rows == row)
    told = [int(chart.squares[row, column]), *chart.parts.keys[here].tolist()]
    return Landing(column, row, tuple(dict.fromkeys(number for number in told if number)))


def squares_of_threads(threads: int, over: int) -> int:
    """How many squares a count of cloth threads makes, worked over `over` of them.

    Raises `StitchviewError` when it ends within a square.
    """
    squares, rest = divmod(abs(threads), over)
    if rest:
        raise StitchviewError(
            f"{abs(threads)} threads of the cloth are no whole squares over {over}: "
            f"{squares} squares are {squares * over} threads, {squares + 1} are {(squares + 1) * over}.",
            "Count the threads again.",
        )
    return squares if threads >= 0 else -squares


def squares_of_length(mm: float, square_mm: float) -> tuple[int, float]:
    """The whole squares nearest to a length measured on the cloth, and how many mm are left over.

    `square_mm` is the pitch in that direction. What is left over is below 0 when the squares reach
    further; near half a square the count is not to be trusted.
    """
    squares = round(mm / square_mm)
    return squares, mm - squares * square_mm


def same_thread_near(
    chart: Chart, column: int, row: int, number: int, reach: int = 3
) -> tuple[tuple[int, int], ...]:
    """Where key entry `number` is printed round a square: (columns right, rows down), the nearest first.

    If she sees that thread on the cloth where the chart has another, the first of these is how far
    the stitch is probably off; (0, 0) means that it is where it should be. Looks `reach` squares to
    every side; of places alike far the upper, then left one comes first.
    """
    window = Area(column, row, 1, 1).grown(reach).clipped(chart.area)
    there = chart.squares[window.slices()] == number
    parts = chart.parts
    across = (parts.columns >= window.column) & (parts.columns < window.right)
    here = across & (parts.rows >= window.row) & (parts.rows < window.bottom) & (parts.keys == number)
    there[parts.rows[here] - window.row, parts.columns[here] - window.column] = True
    rows, columns = np.nonzero(there)
    right, down = columns + window.column - column, rows + window.row - row
    order = np.lexsort((right, down, right**2 + down**2))
    return tuple((int(right[at]), int(down[at])) for at in order)


def _beyond(chart: Area, column: int, row: int) -> str:
    off = []
    for before, after, ways in (
        (-column, column - chart.right + 1, ("left", "right")),
        (-row, row - chart.bottom + 1, ("above", "below")),
    ):
        if before > 0:
            off.append(f"{before:,} {ways[0]}")
        elif after > 0:
            off.append(f"{after:,} {ways[1]}")
    return " and ".join(off)
