"""A few colours that stand for many: greedy choice, then moving each to the middle of what it stands for."""

import numpy as np
from numpy.typing import NDArray

Reals = NDArray[np.float64]
Wholes = NDArray[np.int64]

ROUNDS = 10
CHUNK = 4096
FIRST_STEP = 0.02


def chosen(colours: Reals, weights: Reals, count: int) -> Reals:
    """`count` colours (count, 3) that stand well for `colours` (n, 3) of these `weights` (n)."""
    if len(colours) <= count:
        return _filled_up(colours, count)
    middles = _far_apart(colours, weights, count)
    for _ in range(ROUNDS):
        nearest, _ = two_nearest(colours, middles)
        sums = np.stack([np.bincount(nearest, weights * part, count) for part in colours.T], axis=1)
        total = np.bincount(nearest, weights, count)[:, None]
        middles = np.where(total > 0, sums / np.maximum(total, 1e-12), middles)
    return middles


def two_nearest(colours: Reals, middles: Reals) -> tuple[Wholes, Wholes]:
    """For each colour the index of the nearest middle and of the second nearest (the same if only one)."""
    first = np.zeros(len(colours), np.int64)
    second = np.zeros(len(colours), np.int64)
    own = (middles**2).sum(axis=1)
    for start in range(0, len(colours), CHUNK):
        part = slice(start, start + CHUNK)
        distances = own - 2 * colours[part] @ middles.T
        rows = np.arange(len(distances))
        first[part] = distances.argmin(axis=1)
        if len(middles) > 1:
            distances[rows, first[part]] = np.inf
            second[part] = distances.argmin(axis=1)
    return first, second if len(middles) > 1 else first


def _far_apart(colours: Reals, weights: Reals, count: int) -> Reals:
    """Start with the heaviest colour, then always add the one that is worst stood for."""
    picks = [int(weights.argmax())]
    distances = ((colours - colours[picks[0]]) ** 2).sum(axis=1)
    pull = weights**0.5
    while len(picks) < count:
        picks.append(int((distances * pull).argmax()))
        distances = np.minimum(distances, ((colours - colours[picks[-1]]) ** 2).sum(axis=1))
    return colours[picks]


def _filled_up(colours: Reals, count: int) -> Reals:
    """All colours, and more round about them, ever farther off, when there are not enough."""
    ordered = colours[np.argsort(colours[:, 0], kind="stable")]
    rounds = np.arange(-(-count // len(ordered)))
    # Turning by the golden angle, no two steps point the same way.
    turns, reach = rounds * 2.39996, FIRST_STEP * rounds ** (1 / 3)
    aside = np.stack([np.sin(rounds), np.cos(turns), np.sin(turns)], axis=1) * reach[:, None]
    return np.asarray((ordered[None, :, :] + aside[:, None, :]).reshape(-1, 3)[:count])
