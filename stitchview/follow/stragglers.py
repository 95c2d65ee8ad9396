"""Stragglers: lone squares left of a thread, farther than a carry from the next of it (confetti)."""

import math

import numpy as np

from stitchview.chart.joined import Indices, Mask
from stitchview.follow.carrying import LONGEST_CARRY_MM
from stitchview.follow.clothpitch import Pitch
from stitchview.follow.spots import ALIKE
from stitchview.follow.threadwork import ThreadWork


def stragglers(work: ThreadWork, number: int, pitch: Pitch, carry_mm: float = LONGEST_CARRY_MM) -> Indices:
    """The squares left of key entry `number` with no other left within `carry_mm`, from middle to middle.

    Whole and part stitches count alike. Flat squares (row * columns + column), sorted; O(chart).
    Raises `ValueError` for a carry that is no length.
    """
    if not 0 <= carry_mm < math.inf:
        raise ValueError("a carry is a length of 0 mm or more")
    squares = work.all_squares_left(number)
    columns, rows = max(1, work.chart.columns), work.chart.rows
    reach = min(carry_mm * ALIKE, pitch.apart(columns, rows))
    rows_down = min(int(reach / pitch.down_mm), rows)
    lone = squares
    # The row itself and its neighbours first, since they leave hardly any squares to look further for.
    for down in sorted(range(-rows_down, rows_down + 1), key=abs):
        if not len(lone):
            break
        across = math.sqrt(max(0.0, reach**2 - (down * pitch.down_mm) ** 2)) / pitch.across_mm
        lone = lone[_alone(squares, lone, (int(across), down), columns)]
    return lone


def _alone(squares: Indices, lone: Indices, reach: tuple[int, int], columns: int) -> Mask:
    """Which of `lone` have none of `squares` but themselves `reach[1]` rows below, `reach[0]` off at most."""
    across, down = reach
    rows, column = np.divmod(lone, columns)
    starts = (rows + down) * columns
    first = np.searchsorted(squares, starts + np.maximum(column - across, 0))
    last = np.searchsorted(squares, starts + np.minimum(column + across, columns - 1), side="right")
    alone: Mask = last - first == (1 if down == 0 else 0)
    return alone
