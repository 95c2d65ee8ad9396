"""How many stitches of each kind a chart has, in all and for each line of its key."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.model import Chart, Squares
from stitchview.chart.stitches import HALVES, QUARTERS, THREE_QUARTERS, LineKind, Lines, PointKind

Counts = NDArray[np.int64]
Lengths = NDArray[np.float64]

_ROWS_AT_ONCE = 256


@dataclass(frozen=True, eq=False)
class Facts:
    """Counts of a chart; every array has shape (entries of the key,), in the key's order.

    Lines are counted as they are drawn, from end to end; lengths are in squares.
    """

    columns: int
    rows: int
    crosses: Counts
    halves: Counts
    quarters: Counts
    three_quarters: Counts
    back_lines: Counts
    back_length: Lengths
    straight_lines: Counts
    straight_length: Lengths
    knots: Counts
    beads: Counts

    @property
    def squares(self) -> int:
        """How many squares the chart has, stitched or not."""
        return self.columns * self.rows

    @property
    def parts(self) -> Counts:
        """Halves, quarters and three-quarters together, for each key entry."""
        return self.halves + self.quarters + self.three_quarters


def facts(chart: Chart) -> Facts:
    """Count everything in `chart`."""
    entries = len(chart.key)
    parts, lines, points = chart.parts, chart.lines, chart.points
    back, straight = lines.kinds == LineKind.BACK, lines.kinds == LineKind.STRAIGHT
    lengths = line_lengths(lines)
    return Facts(
        columns=chart.columns,
        rows=chart.rows,
        crosses=_crosses(chart.squares, entries),
        halves=_tally(parts.keys[np.isin(parts.shapes, HALVES)], entries),
        quarters=_tally(parts.keys[np.isin(parts.shapes, QUARTERS)], entries),
        three_quarters=_tally(parts.keys[np.isin(parts.shapes, THREE_QUARTERS)], entries),
        back_lines=_tally(lines.keys[back], entries),
        back_length=_sum(lines.keys[back], lengths[back], entries),
        straight_lines=_tally(lines.keys[straight], entries),
        straight_length=_sum(lines.keys[straight], lengths[straight], entries),
        knots=_tally(points.keys[points.kinds == PointKind.KNOT], entries),
        beads=_tally(points.keys[points.kinds == PointKind.BEAD], entries),
    )


def line_lengths(lines: Lines) -> Lengths:
    """The length of each line in squares, shape (n,): ends are given in half squares."""
    across = lines.x2.astype(np.float64) - lines.x1
    down = lines.y2.astype(np.float64) - lines.y1
    lengths: Lengths = np.hypot(across, down) / 2
    return lengths


def _crosses(squares: Squares, entries: int) -> Counts:
    # bincount makes eight bytes of each square, so a huge chart is counted in strips.
    counts = np.zeros(entries + 1, np.int64)
    for row in range(0, squares.shape[0], _ROWS_AT_ONCE):
        counts += np.bincount(squares[row : row + _ROWS_AT_ONCE].ravel(), minlength=entries + 1)
    return counts[1:]


def _tally(keys: NDArray[np.uint16], entries: int) -> Counts:
    return np.bincount(keys, minlength=entries + 1)[1:]


def _sum(keys: NDArray[np.uint16], weights: Lengths, entries: int) -> Lengths:
    sums: Lengths = np.bincount(keys, weights, minlength=entries + 1)[1:].astype(np.float64)
    return sums
