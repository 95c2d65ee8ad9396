"""A cloth that differs from its chart at many places, with stitches in all states, to measure."""

import sys
import time

import numpy as np

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.asworked import as_worked, on_cloth
from stitchview.done.change import DONE, FIRST_LEG, LATER, MISTAKE, OPEN
from stitchview.done.differences import Difference, NotWorked, OtherThread, Shifted
from stitchview.done.marks import Marks, open_states
from stitchview.done.notebook import Notes

BLOCK = 12
"""Squares along the side of each area that differs."""


def differing(chart: Chart, count: int) -> tuple[Difference, ...]:
    """So many differences of three kinds, most of them near the middle, where frames are measured."""
    room, found = BLOCK + 4, list[Difference]()
    across = max(1, round(count**0.5))
    for at in range(count):
        # Not in the very middle, where single marks are measured.
        column = chart.columns // 2 + (at % across - across // 2) * room + 2
        row = chart.rows // 2 + (at // across - across // 2) * room + 2
        area = Area(column, row, BLOCK, BLOCK)
        if area.grown(2).clipped(chart.area) != area.grown(2):
            continue
        placed = (f"{at:04}", area.column, area.row, area.columns, area.rows)
        kinds = (
            Shifted(*placed, 1, -1),
            OtherThread(*placed, "", "", chart.key[at % len(chart.key)].code),
            NotWorked(*placed, "crosses", ""),
        )
        found.append(kinds[at % 3])
    return on_cloth(chart, found).hold


def marks_in_all_states(chart: Chart, differences: tuple[Difference, ...]) -> Marks:
    """Marks on the chart as it stands on the cloth: upper half done, and every state all over it."""
    worked = on_cloth(chart, differences).chart
    states = open_states(worked)
    random = np.random.default_rng(1)
    kinds = np.array([OPEN, DONE, FIRST_LEG, LATER, MISTAKE], np.uint8)
    states[0][:] = random.choice(kinds, states[0].shape, p=(0.8, 0.05, 0.05, 0.05, 0.05))
    states[0][: chart.rows // 2] = DONE
    states[0][worked.squares == 0] = OPEN
    for each in states[1:]:
        each[:] = random.choice(kinds[[0, 1, 3, 4]], each.shape)
    return Marks(worked, states, Notes.of(differences))


def marks_that_differ(chart: Chart, count: int) -> Marks:
    """Give marks in all states on a cloth that differs at so many places; tells how long it took."""
    found = differing(chart, count)
    begin = time.process_time()
    as_worked(chart, found)
    taken = time.process_time() - begin
    begin = time.process_time()
    chart.squares.copy()
    floor = time.process_time() - begin
    sys.stdout.write(
        f"\n{len(found)} differences worked into {chart.columns} x {chart.rows} squares:"
        f" {taken * 1000:.1f} ms, {taken / max(floor, 1e-9):.1f} times a copy of the squares\n"
    )
    return marks_in_all_states(chart, found)
