"""Thresholds scattered evenly over a tile, so that mixed tones show no clumps and no pattern."""

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.harbour.chance import lattice

Wholes = NDArray[np.int64]

TILE = 64
FIRST_SHARE = 0.1
REACH = 1.5
WHOLE = 1 << 20


def even_scatter(salt: int) -> NDArray[np.float32]:
    """A tile of all thresholds from 0 to 1, each set of lower ones spread as evenly as can be.

    Made by the void-and-cluster method (published in 1993), in whole numbers, so that it comes out
    the same on every machine. The tile joins on to itself on all sides.
    """
    crowd = _Crowd(np.flatnonzero(lattice(salt, TILE).ravel() < FIRST_SHARE))
    crowd.settle()
    first = crowd.taken.copy()
    ranks = np.zeros(TILE * TILE, np.int64)
    for rank in range(int(first.sum()) - 1, -1, -1):
        ranks[crowd.leave()] = rank
    for place in np.flatnonzero(first).tolist():
        crowd.enter(place)
    for rank in range(int(first.sum()), TILE * TILE):
        place = crowd.emptiest()
        crowd.enter(place)
        ranks[place] = rank
    return ((ranks + 0.5) / (TILE * TILE)).astype(np.float32).reshape(TILE, TILE)


class _Crowd:
    """Which places of the tile are taken, and how crowded it is about each place."""

    def __init__(self, places: Wholes) -> None:
        away = np.minimum(np.arange(TILE), TILE - np.arange(TILE)) ** 2
        near = np.exp(-(away[:, None] + away[None, :]) / (2 * REACH**2))
        self._near: Wholes = np.rint(np.tile(near, (2, 2)) * WHOLE).astype(np.int64)
        self.taken = np.zeros(TILE * TILE, np.bool_)
        self._crowding = np.zeros(TILE * TILE, np.int64)
        for place in places.tolist():
            self.enter(place)

    def enter(self, place: int) -> None:
        """Take a place."""
        self.taken[place] = True
        self._crowding += self._about(place)

    def leave(self) -> int:
        """Give up the most crowded of the taken places."""
        place = int(np.where(self.taken, self._crowding, -1).argmax())
        self.taken[place] = False
        self._crowding -= self._about(place)
        return place

    def emptiest(self) -> int:
        """The place that is farthest from all taken ones."""
        return int(np.where(self.taken, np.iinfo(np.int64).max, self._crowding).argmin())

    def settle(self) -> None:
        """Move from the most crowded place to the emptiest until nobody gains by it."""
        for _ in range(TILE * TILE):
            left = self.leave()
            place = self.emptiest()
            self.enter(place)
            if place == left:
                return

    def _about(self, place: int) -> Wholes:
        row, column = divmod(place, TILE)
        top, left = TILE - row, TILE - column
        return self._near[top : top + TILE, left : left + TILE].ravel()
