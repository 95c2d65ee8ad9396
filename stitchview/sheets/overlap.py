"""How well two sheets agree where one is laid over the other, and where they agree best."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Piles = NDArray[np.int32]
Offset = tuple[int, int]

MOST_OVERLAP = 15
MOST_SHIFT = 6
_CHANNELS = 12
_KEPT = 60


@dataclass(frozen=True, slots=True)
class Fit:
    """Sheet two laid so that its top left square is ``offset`` (columns, rows) from that of sheet one.

    Only telling squares are counted: those that differ from a neighbour, because in even areas any place
    agrees. ``agreeing`` of the ``counted`` ones show the same pile on both sheets. ``weight`` is how much
    more likely that is if both show the same squares than by chance, as a logarithm.
    """

    offset: Offset
    counted: int
    agreeing: int
    weight: float

    @property
    def share(self) -> float:
        """The share of telling squares that agree; 0 where there are none."""
        return self.agreeing / self.counted if self.counted else 0.0


def fit_at(one: Piles, two: Piles, offset: Offset) -> Fit:
    """How the sheets agree at one offset; piles are (rows, columns), 0 for blank, -1 for unknown."""
    here, there = shared(one, two, offset)
    counted = (telling(one)[here] | telling(two)[there]) & (one[here] >= 0) & (two[there] >= 0)
    same = one[here][counted] == two[there][counted]
    number, agreeing = int(counted.sum()), int(same.sum())
    if not number:
        return Fit(offset, 0, 0, 0.0)
    by_chance = _by_chance(one[here][counted], two[there][counted])
    # A misread square in ten is allowed for; what agrees by chance anyway tells little.
    weight = agreeing * np.log(0.9 / by_chance) + (number - agreeing) * np.log(0.1 / (1 - by_chance))
    return Fit(offset, number, agreeing, float(weight))


def best_fits(one: Piles, two: Piles) -> list[Fit]:
    """The likeliest offsets, best first: those beside each other with few squares shared, and any others."""
    offsets = set(_beside(one.shape, two.shape)) | set(_by_content(one, two))
    fits = [fit_at(one, two, offset) for offset in sorted(offsets)]
    return sorted(fits, key=_weight, reverse=True)


def shared(one: Piles, two: Piles, offset: Offset) -> tuple[tuple[slice, slice], tuple[slice, slice]]:
    """Slices (rows, columns) of each sheet's squares that both show; empty where they show none together."""
    column, row = offset
    left, right = max(0, column), min(one.shape[1], column + two.shape[1])
    top, bottom = max(0, row), min(one.shape[0], row + two.shape[0])
    right, bottom = max(left, right), max(top, bottom)
    there = slice(top - row, bottom - row), slice(left - column, right - column)
    return (slice(top, bottom), slice(left, right)), there


def telling(piles: Piles) -> NDArray[np.bool_]:
    """Squares that differ from the one to the left or the one above."""
    differs = np.zeros(piles.shape, np.bool_)
    differs[:, 1:] |= piles[:, 1:] != piles[:, :-1]
    differs[1:] |= piles[1:] != piles[:-1]
    return differs


def _weight(fit: Fit) -> float:
    return fit.weight


def _by_chance(one: Piles, two: Piles) -> float:
    """How often two of these squares would be the same if they were dealt out anew."""
    most = int(max(one.max(), two.max())) + 1
    shares = np.bincount(one, minlength=most) * np.bincount(two, minlength=most).astype(np.float64)
    return float(np.clip(shares.sum() / (len(one) * len(two)), 0.02, 0.85))


def _beside(one: tuple[int, ...], two: tuple[int, ...]) -> Iterator[Offset]:
    """Offsets of a neighbour on any side that repeats 1 to 15 columns or rows, moved sideways by up to 6."""
    for overlap in range(1, MOST_OVERLAP + 1):
        for shift in range(-MOST_SHIFT, MOST_SHIFT + 1):
            yield one[1] - overlap, shift
            yield overlap - two[1], shift
            yield shift, one[0] - overlap
            yield shift, overlap - two[0]


def _by_content(one: Piles, two: Piles) -> list[Offset]:
    """Offsets of any size at which many telling squares agree: piles correlated by Fourier transforms.

    Every pile gets a random direction in a space of few dimensions, so that like squares add up and unlike
    ones cancel out; what that estimate finds is counted exactly afterwards.
    """
    size = [int(2 ** np.ceil(np.log2(a + b))) for a, b in zip(one.shape, two.shape, strict=True)]
    random = np.random.default_rng(5)
    phases = random.uniform(0, 2 * np.pi, (int(max(one.max(), two.max())) + 2, _CHANNELS))
    codes = np.exp(1j * phases).astype(np.complex64)
    total = np.zeros(size, np.complex64)
    for channel in range(_CHANNELS):
        first = np.where(telling(one) & (one >= 0), codes[one, channel], 0)
        second = np.where(two >= 0, codes[two, channel], 0)
        total += np.fft.fft2(first, s=size) * np.conj(np.fft.fft2(second, s=size))
    alike = np.fft.ifft2(total).real / _CHANNELS
    seen = np.fft.fft2((telling(one) & (one >= 0)).astype(np.float32), s=size)
    both = np.fft.ifft2(seen * np.conj(np.fft.fft2((two >= 0).astype(np.float32), s=size))).real
    value = alike - 0.4 * both - 2 * np.sqrt(np.maximum(both, 0) / _CHANNELS)
    best = np.argsort(value, axis=None)[-_KEPT:]
    rows, columns = np.unravel_index(best, value.shape)
    return [
        (int(column) - size[1] * (column >= one.shape[1]), int(row) - size[0] * (row >= one.shape[0]))
        for column, row in zip(columns.tolist(), rows.tolist(), strict=True)
    ]
