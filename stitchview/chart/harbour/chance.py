"""Chance that comes out the same on every machine: numbers, grain and soft noise from one seed."""

import random
from collections.abc import Sequence
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Item = TypeVar("Item")
Reals = NDArray[np.float64]

LATTICE = 512
WHOLE_64 = (1 << 64) - 1


class Chance:
    """A stream of chosen numbers; the same `seed` and `purpose` give the same stream for ever.

    Only `random.Random.random` is used, the one method whose sequence Python promises to keep.
    """

    def __init__(self, seed: int, purpose: str) -> None:
        self._random = random.Random(f"{seed} {purpose}")

    def share(self) -> float:
        """A number from 0 up to, not including, 1."""
        return self._random.random()

    def between(self, low: float, high: float) -> float:
        """A number from `low` to `high`."""
        return low + (high - low) * self._random.random()

    def happens(self, probability: float) -> bool:
        """Whether something of this probability happens now."""
        return self._random.random() < probability

    def one_of(self, items: Sequence[Item]) -> Item:
        """One of the items."""
        return items[int(self._random.random() * len(items))]

    def salt(self) -> int:
        """A whole number to tell one field of noise from another."""
        return int(self._random.random() * (1 << 31))


def middles(first: int, stop: int, step: int = 1) -> Reals:
    """Where the middles of the squares from `first` to before `stop` lie."""
    return np.arange(first, stop, step, dtype=np.float64) + 0.5


def scrambled(numbers: NDArray[np.uint64]) -> NDArray[np.uint64]:
    """Every number turned into a far-away one (the finishing steps of the splitmix64 generator)."""
    mixed = (numbers + np.uint64(0x9E3779B97F4A7C15)) & np.uint64(WHOLE_64)
    mixed = (mixed ^ (mixed >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    mixed = (mixed ^ (mixed >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    return mixed ^ (mixed >> np.uint64(31))


def lattice(salt: int, size: int = LATTICE) -> Reals:
    """A `size` x `size` field of independent numbers from 0 to 1."""
    start = np.uint64((salt * 0x632BE59BD9B4E019) & WHOLE_64)
    numbers = np.arange(size * size, dtype=np.uint64) + start
    return ((scrambled(numbers) >> np.uint64(11)).astype(np.float64) / float(1 << 53)).reshape(size, size)


class Noise:
    """A soft field over the plane, from 0 to 1, that repeats only after 512 of its own units."""

    def __init__(self, salt: int) -> None:
        self._lattice = lattice(salt)

    def at(self, x: Reals, y: Reals) -> Reals:
        """The field at points (`x`, `y`), two arrays that broadcast against each other."""
        column, row = np.floor(x), np.floor(y)
        across, down = _eased(x - column), _eased(y - row)
        left, top = column.astype(np.int64) % LATTICE, row.astype(np.int64) % LATTICE
        right, bottom = (left + 1) % LATTICE, (top + 1) % LATTICE
        grid = self._lattice
        upper = grid[top, left] + (grid[top, right] - grid[top, left]) * across
        lower = grid[bottom, left] + (grid[bottom, right] - grid[bottom, left]) * across
        return np.asarray(upper + (lower - upper) * down)

    def layered(self, x: Reals, y: Reals, octaves: int) -> Reals:
        """The sum of ever finer fields, each half as strong as the one before, scaled to 0 to 1."""
        total = np.zeros(np.broadcast(x, y).shape)
        weight, sum_of_weights = 1.0, 0.0
        for octave in range(octaves):
            scale = 2.0**octave
            total += weight * self.at(x * scale + 17.3 * octave, y * scale + 51.7 * octave)
            sum_of_weights += weight
            weight /= 2
        return np.asarray(total / sum_of_weights)


def _eased(share: Reals) -> Reals:
    return share * share * (3 - 2 * share)
