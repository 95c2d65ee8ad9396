"""What every key entry takes of thread in the needle, done and left told apart, for crosses and lines."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.model import Chart
from stitchview.chart.stitches import PointKind
from stitchview.done.change import DONE, FIRST_LEG, MISTAKE
from stitchview.done.marks import Marks
from stitchview.follow.clothpitch import Pitch
from stitchview.plan.linework import lines_taken, points_taken
from stitchview.plan.manner import Manner
from stitchview.plan.patches import Taken, squares_taken

LEFT_AT, DONE_AT = 0, 1
LEGS_AT = 2
"""Where first legs are reckoned until they are shared out, half as done and half as left."""

Table = NDArray[np.float64]
Counts = NDArray[np.int64]


@dataclass(frozen=True, eq=False, slots=True)
class Reckoned:
    """What is reckoned by geometry, all arrays (states, key entries + 1), row n of a key for `key[n - 1]`.

    States are `LEFT_AT` and `DONE_AT`. The lengths are millimetres in the needle: `cross_mm` for whole
    and part stitches, knots and beads, `line_mm` for lines, both with carries and tails;
    `carried_mm` and `tails_mm` tell what of both these are, `starts` how often a thread begins.
    """

    cross_mm: Table
    line_mm: Table
    carried_mm: Table
    tails_mm: Table
    starts: Table
    stitches: Counts
    beads: Counts


def reckoned(chart: Chart, marks: Marks | None, pitch: Pitch, manner: Manner) -> Reckoned:
    """Reckon a chart as it is marked; what is done and what is left are each reckoned by themselves.

    So that both together are all, and a patch that is half done begins anew. First legs have taken half
    of what their crosses take, and count among the stitches left.
    """
    entries = len(chart.key) + 1
    needle = manner.needle(pitch, 2)
    keys = chart.squares, chart.parts.keys, chart.lines.keys, chart.points.keys
    squares, parts, lines, points = (
        _told_apart(each, None if marks is None else marks.families[family], entries)
        for family, each in enumerate(keys)
    )
    values = 3 * entries
    crosses = squares_taken(chart, squares, parts, values, needle, manner)
    crosses = crosses.plus(points_taken(chart, points.astype(np.int64), values, needle, manner))
    worked = lines_taken(chart, lines.astype(np.int64), values, needle, manner)
    both: Taken = crosses.plus(worked)
    beads = points[chart.points.kinds == PointKind.BEAD]
    stitches = sum(_counted(each, values) for each in (squares.reshape(-1), parts, lines, points))
    counts = np.asarray(stitches).reshape(3, entries)
    return Reckoned(
        _shared_out(crosses.total_mm),
        _shared_out(worked.total_mm),
        _shared_out(both.carried_mm),
        _shared_out(both.tails_mm),
        _shared_out(both.starts),
        counts[:2] + counts[2:] * np.array([[1], [0]]),
        _counted(beads, values).reshape(3, entries)[:2],
    )


def _shared_out(sums: Table) -> Table:
    """Sums of what is left, done, and first legs as (2, entries): a first leg has taken half its thread."""
    left, done, legs = sums.reshape(3, -1)
    shared: Table = np.stack((left + legs / 2, done + legs / 2))
    return shared


def _told_apart(
    keys: NDArray[np.uint16], states: NDArray[np.uint8] | None, entries: int
) -> NDArray[np.uint16]:
    """The key numbers, of stitches done raised by so many `entries`, of first legs by twice; 0 stays 0."""
    if states is None or not states.any():
        return keys
    raised = np.zeros(MISTAKE + 1, np.uint16)
    raised[[DONE, FIRST_LEG]] = DONE_AT * entries, LEGS_AT * entries
    return np.where(keys != 0, keys + raised[states], keys).astype(np.uint16)


def _counted(values_of: NDArray[np.uint16], values: int) -> Counts:
    counts = np.bincount(values_of, minlength=values)
    counts[0] = 0
    return counts
