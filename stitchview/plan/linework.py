"""The thread that lines, knots and beads take, in the order of bands of ten squares."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.counting import line_lengths
from stitchview.chart.model import Chart
from stitchview.chart.stitches import LineKind, Lines, PointKind, Points
from stitchview.follow.clothpitch import Pitch
from stitchview.follow.length import (
    Needle,
    back_lines_mm,
    bead_mm,
    double_running_mm,
    knot_mm,
    straight_mm,
)
from stitchview.plan.chains import chains_of
from stitchview.plan.manner import Manner
from stitchview.plan.patches import Taken, nothing_taken, starts_of, summed, tails_mm
from stitchview.plan.tracks import Lengths, Whole

BAND_HALVES = 20
"""Lines, knots and beads are worked band by band of ten squares, to and fro."""

Values = NDArray[np.int64]


@dataclass(frozen=True, eq=False, slots=True)
class _Stops:
    """n stitches in any order: value, where each is begun and ended (half squares), what it takes."""

    values: Values
    begins: NDArray[np.int64]
    ends: NDArray[np.int64]
    lengths: Lengths


def lines_taken(chart: Chart, values_of: Values, values: int, needle: Needle, manner: Manner) -> Taken:
    """What lines take whose value is not 0, as in `patches.squares_taken`."""
    counted = np.flatnonzero(values_of)
    if not len(counted):
        return nothing_taken(values)
    lines = _chosen(chart.lines, counted)
    mine = values_of[counted]
    chains = chains_of(lines, mine)
    steps = _steps(lines)
    lengths = _line_mm(lines, steps, chains, needle, manner)
    begins = np.column_stack((lines.x1, lines.y1)).astype(np.int64)
    ends = np.column_stack((lines.x2, lines.y2)).astype(np.int64)
    order = np.lexsort((np.arange(len(mine)), chains, *_reading(lines.x1[chains], lines.y1[chains]), mine))
    stops = _Stops(mine[order], begins[order], ends[order], lengths[order])
    follows = np.append(False, chains[order][1:] == chains[order][:-1])
    return _in_order(stops, follows, values, needle, manner)


def points_taken(chart: Chart, values_of: Values, values: int, needle: Needle, manner: Manner) -> Taken:
    """What knots and beads take whose value is not 0, as in `patches.squares_taken`."""
    counted = np.flatnonzero(values_of)
    if not len(counted):
        return nothing_taken(values)
    points: Points = chart.points
    x, y = points.x[counted].astype(np.int64), points.y[counted].astype(np.int64)
    mine = values_of[counted]
    knot, bead = knot_mm(needle, manner.knot_turns), bead_mm(needle, manner.bead_cross)
    lengths = np.where(points.kinds[counted] == PointKind.KNOT, knot, bead)
    order = np.lexsort((*_reading(x, y), mine))
    places = np.column_stack((x, y))[order]
    stops = _Stops(mine[order], places, places, lengths[order])
    return _in_order(stops, np.zeros(len(mine), bool), values, needle, manner)


def _steps(lines: Lines) -> Lengths:
    """In how many stitches each line is worked: one a square for back stitch, one for straight stitch."""
    squares = np.maximum(np.abs(lines.x2 - lines.x1), np.abs(lines.y2 - lines.y1)) / 2
    return np.where(lines.kinds == LineKind.STRAIGHT, 1.0, np.maximum(1.0, np.round(squares)))


def _line_mm(lines: Lines, steps: Lengths, chains: Whole, needle: Needle, manner: Manner) -> Lengths:
    """What each line takes; of the back stitches of a chain only the first line has an end."""
    long = _millimetres(lines, needle.pitch)
    ends = np.where(chains == np.arange(len(chains)), long / steps, 0.0)
    # All of it is linear, so that one stitch of each sort says it for all of them.
    a_step = straight_mm(needle, 0.0)
    straight = long * straight_mm(needle, 1.0, 0) + a_step
    if manner.double_running:
        stepped = long * double_running_mm(needle, 1.0, 0)
    else:
        a_mm = back_lines_mm(needle, 1.0, 0, 0.0)
        stepped = long * a_mm - ends * (a_mm - back_lines_mm(needle, 1.0, 0, 1.0))
    return np.where(lines.kinds == LineKind.STRAIGHT, straight, stepped + steps * a_step)


def _millimetres(lines: Lines, pitch: Pitch) -> Lengths:
    if pitch.across_mm == pitch.down_mm:
        return line_lengths(lines) * pitch.across_mm
    across, down = (lines.x2 - lines.x1) / 2, (lines.y2 - lines.y1) / 2
    lengths: Lengths = np.hypot(across * pitch.across_mm, down * pitch.down_mm)
    return lengths


def _reading(x: NDArray[np.integer], y: NDArray[np.integer]) -> tuple[Whole, Whole, Whole]:
    """Keys to sort by, the last first: band by band, to and fro."""
    bands = y.astype(np.int64) // BAND_HALVES
    along = np.where(bands % 2 == 0, x, -x.astype(np.int64))
    return y.astype(np.int64), along, bands


def _in_order(
    stops: _Stops, follows: NDArray[np.bool_], values: int, needle: Needle, manner: Manner
) -> Taken:
    """What the stops take one after the other; `follows` tells which go on where the one before ended."""
    half = needle.pitch.across_mm / 2, needle.pitch.down_mm / 2
    steps = stops.begins[1:] - stops.ends[:-1]
    ways = np.append(0.0, np.hypot(steps[:, 0] * half[0], steps[:, 1] * half[1]))
    same = np.append(False, stops.values[1:] == stops.values[:-1])
    ways[follows] = 0.0
    goes_on = same & (follows | (ways <= manner.carry_mm))
    carried = np.where(goes_on, ways, 0.0) * needle.factor
    patch = np.cumsum(~goes_on) - 1
    patches = summed(patch, stops.lengths + carried, int(patch[-1]) + 1)
    starts = summed(stops.values[~goes_on], starts_of(patches, needle), values)
    return Taken(
        summed(stops.values, stops.lengths, values),
        summed(stops.values, carried, values),
        starts * tails_mm(needle),
        starts,
    )


def _chosen(lines: Lines, which: Whole) -> Lines:
    return Lines(
        lines.x1[which],
        lines.y1[which],
        lines.x2[which],
        lines.y2[which],
        lines.kinds[which],
        lines.keys[which],
    )
