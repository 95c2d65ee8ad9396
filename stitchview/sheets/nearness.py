"""Distances and means of groups of squares, and the measure in which a sign's own variety counts as one."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float32]
Labels = NDArray[np.intp]


@dataclass(frozen=True)
class Groups:
    """Squares' groups: ``of`` (N,) from 0, ``means`` (K, D), ``counts`` (K,)."""

    of: Labels
    means: Numbers
    counts: Labels

    def members(self) -> list[Labels]:
        """For every group the places of its squares."""
        return np.split(np.argsort(self.of, kind="stable"), np.cumsum(self.counts)[:-1])


def grouped(numbers: Numbers, of: Labels) -> Groups:
    """Groups with their means; ``of`` is numbered anew so that no group is empty."""
    of = np.unique(of, return_inverse=True)[1]
    counts = np.bincount(of)
    order = np.argsort(of, kind="stable")
    starts = np.concatenate([[0], np.cumsum(counts)[:-1]])
    sums = np.add.reduceat(numbers[order], starts, axis=0)
    return Groups(of, np.asarray(sums / counts[:, None], np.float32), counts)


def squared_distances(one: Numbers, other: Numbers) -> Numbers:
    """Squared distances (N, K) between the rows of ``one`` and of ``other``."""
    cross = one @ other.T
    cross *= -2
    cross += (one * one).sum(axis=1)[:, None]
    cross += (other * other).sum(axis=1)
    return np.asarray(np.maximum(cross, 0), np.float32)


def measure(numbers: Numbers, groups: Groups, share: float = 0.02) -> Numbers:
    """The matrix (D, D) that turns numbers so that squares of one group vary by about one in each.

    The farthest 5 % of squares and groups of fewer than 4 are left out; ``share`` of the mean variance is
    added in every direction, so that a direction without variety does not rule.
    """
    rest = numbers - groups.means[groups.of]
    far = (rest * rest).sum(axis=1)
    counted = groups.counts[groups.of] >= 4
    if counted.sum() < 2 * numbers.shape[1]:
        counted = np.ones(len(numbers), np.bool_)
    counted &= far <= np.quantile(far[counted], 0.95)
    rest = rest[counted]
    freedom = max(1, len(rest) - int((groups.counts >= 4).sum()))
    spread = rest.T @ rest / np.float32(freedom)
    spread += np.eye(len(spread), dtype=np.float32) * max(1e-9, share * float(np.trace(spread)) / len(spread))
    powers, axes = np.linalg.eigh(spread)
    return np.asarray(axes / np.sqrt(powers), np.float32)


def telling_axes(groups: Groups, length: int) -> Numbers:
    """The axes (D, length) along which the groups' means differ most; small groups count for less."""
    weights = np.minimum(groups.counts, 50).astype(np.float32)[:, None]
    centred = groups.means - (groups.means * weights).sum(axis=0) / weights.sum()
    axes = np.linalg.eigh((centred * weights).T @ centred)[1]
    return np.asarray(axes[:, ::-1][:, :length], np.float32)


def gathered(numbers: Numbers, means: Numbers, rounds: int) -> Groups:
    """Groups after ``rounds`` of going to the nearest mean (k-means)."""
    groups = grouped(numbers, squared_distances(numbers, means).argmin(axis=1))
    for _ in range(rounds):
        groups = grouped(numbers, squared_distances(numbers, groups.means).argmin(axis=1))
    return groups


def spread_out(numbers: Numbers, count: int, random: np.random.Generator) -> Numbers:
    """Up to ``count`` squares far from each other as first means, chosen by k-means++ with capped distances.

    Source of the choice: Arthur and Vassilvitskii, "k-means++: the advantages of careful seeding" (2007).
    """
    nearest = squared_distances(numbers, numbers.mean(axis=0, keepdims=True))[:, 0]
    chosen: list[int] = []
    for _ in range(min(count, len(numbers))):
        capped = np.minimum(nearest, np.quantile(nearest[::7], 0.98)).astype(np.float64)
        if capped.sum() <= 0:
            break
        tries = random.choice(len(numbers), 3, p=capped / capped.sum())
        nearer = np.minimum(nearest, squared_distances(numbers[tries], numbers))
        best = int(nearer.sum(axis=1).argmin())
        chosen.append(int(tries[best]))
        nearest = nearer[best]
    return numbers[chosen] if chosen else numbers[:1]
