"""Counts the worked rows that a carried thread would lead across, which looks wrong and tangles."""

import numpy as np
from numpy.typing import NDArray

Whole = NDArray[np.int64]
Mask = NDArray[np.bool_]
Counts = NDArray[np.int64]


def rows_crossed(in_row: Mask, start: tuple[Whole, Whole], end: tuple[Whole, Whole]) -> Counts:
    """Over how many level rows the straight way leads between squares, ends left out; shape (n,).

    `in_row` (rows, columns) marks the squares of level rows of two or more; `start` and `end` are
    columns and rows, each of shape (n,), within it. Told where the way comes to the middle of a row.
    """
    crossed = np.zeros(len(start[0]), np.int64)
    down = end[1] - start[1]
    rows = np.abs(down)
    for step in range(1, int(rows.max(initial=0))):
        far = np.flatnonzero(rows > step)
        across = start[0][far] + (end[0] - start[0])[far] * step / rows[far]
        row = start[1][far] + np.sign(down[far]) * step
        left, right = np.floor(across).astype(np.int64), np.ceil(across).astype(np.int64)
        crossed[far] += in_row[row, left] & in_row[row, right]
    return crossed
