"""A soft field worked out at every few squares and filled in between, to save time in large pictures."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.harbour.chance import middles

Reals = NDArray[np.float64]
FINE_UNIT = 600


class Field:
    """Values over `rows` x `columns` squares from a function of columns (1, n) and rows (m, 1)."""

    def __init__(
        self, rows: tuple[int, int], columns: int, unit: float, work_out: Callable[[Reals, Reals], Reals]
    ) -> None:
        self._step = max(1, int(unit // FINE_UNIT))
        self._first = rows[0]
        across = middles(0, columns + 2 * self._step, self._step)
        down = middles(rows[0], rows[1] + 2 * self._step, self._step)
        self._values = np.concatenate([work_out(across[None, :], row) for row in _in_bands(down)])
        self._columns, self._across = np.divmod(np.arange(columns), self._step)

    def at(self, rows: NDArray[np.int64]) -> Reals:
        """The field in these rows, counted as the picture's rows, shape (n, columns)."""
        above, down = np.divmod(rows.ravel() - self._first, self._step)
        values, step = self._values, self._step
        if step == 1:
            return np.asarray(values[above][:, self._columns])
        between = values[above] + (values[above + 1] - values[above]) * (down / step)[:, None]
        left = between[:, self._columns]
        return np.asarray(left + (between[:, self._columns + 1] - left) * (self._across / step))


def _in_bands(down: Reals) -> list[Reals]:
    return [down[first : first + 64, None] for first in range(0, len(down), 64)]
