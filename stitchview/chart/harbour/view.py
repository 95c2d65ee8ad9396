"""Where things stand in the picture, whatever its size: the horizon, the sun, and the unit of length."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.harbour.chance import Chance
from stitchview.chart.harbour.shapes import Point

BAND_SQUARES = 1 << 16


@dataclass(frozen=True, slots=True)
class View:
    """A picture of `columns` x `rows` squares; lengths are given in shares of `unit` squares."""

    columns: int
    rows: int
    seed: int

    @property
    def unit(self) -> float:
        """The length that things are measured by, so that nothing is squeezed in a narrow picture."""
        return min(self.rows, 0.85 * self.columns)

    @property
    def horizon(self) -> int:
        """The first row of water."""
        return min(max(round(self.rows * 0.56), 1), self.rows)

    @property
    def sun(self) -> Point:
        """The middle of the sun."""
        return self.across(0.395), self.horizon - 0.062 * self.unit

    @property
    def sun_radius(self) -> float:
        """How far the sun's disc reaches."""
        return 0.042 * self.unit

    def across(self, share: float) -> float:
        """The column at a share of the width."""
        return share * self.columns

    def below_horizon(self, share: float) -> int:
        """The row at a share of the water's height below the horizon."""
        return self.horizon + round(share * (self.rows - self.horizon))

    def chance(self, purpose: str) -> Chance:
        """The stream of chance that settles one kind of thing."""
        return Chance(self.seed, purpose)


def bands(first: int, stop: int, columns: int) -> Iterator[NDArray[np.int64]]:
    """The rows from `first` to before `stop` in bands of shape (n, 1).

    A band is small enough for the processor's cache, which saves half the time.
    """
    height = max(4, BAND_SQUARES // max(columns, 1))
    for top in range(first, stop, height):
        yield np.arange(top, min(top + height, stop))[:, None]
