"""Places as files give them, by addresses, and as tables count them, from the top left square; both ways."""

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.entries.headmembers import Head
from stitchview.chart.entries.stitchcolumns import Columns, Places


def placed(rows: Columns, at: Places, head: Head, steps: int) -> NDArray[np.int64] | None:
    """Addresses (n, 2) as steps from the top left, `steps` to a square; None when one is off the chart.

    Squares (one step) end before the chart's far edges, points of the lattice (two) lie on them too.
    """
    with np.errstate(over="ignore"):
        relative = (at - head.origin) * steps
    far = np.array((head.columns, head.rows)) * steps - (1 if steps == 1 else 0)
    fits = (relative == np.floor(relative)).all(axis=1)
    inside = (relative >= 0).all(axis=1) & (relative <= far).all(axis=1)
    step = "whole squares" if steps == 1 else "whole or half squares"
    for index in np.flatnonzero(~fits):
        rows.complain(int(index), f"must lie on {step}, not at {_shown(at[index])}")
    for index in np.flatnonzero(fits & ~inside):
        rows.complain(int(index), f"lies at {_shown(at[index])}, which is not on the chart")
    return relative.astype(np.int64) if (fits & inside).all() else None


def addresses(
    x: NDArray[np.int32], y: NDArray[np.int32], origin: tuple[int, int], steps: int
) -> list[list[float]]:
    """The addresses [column, row] of places that are `steps` to a square from the top left one."""
    across, down = x.astype(np.int64) + origin[0] * steps, y.astype(np.int64) + origin[1] * steps
    return [[_plain(a, steps), _plain(b, steps)] for a, b in zip(across.tolist(), down.tolist(), strict=True)]


def _shown(place: Places) -> str:
    return f"column {place[0]:g}, row {place[1]:g}"


def _plain(value: int, steps: int) -> float:
    return value // steps if value % steps == 0 else value / steps
