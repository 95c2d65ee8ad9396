"""Gather many small groups of squares into piles of one sign each, as long as no valley parts them."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from stitchview.sheets.nearness import (
    Groups,
    Labels,
    Numbers,
    grouped,
    measure,
    squared_distances,
    telling_axes,
)


@dataclass(frozen=True)
class Gathering:
    """How groups may join: without question below ``near``, never beyond ``far`` (both in spreads of a sign).

    In between two groups join if the valley between them holds more than ``valley`` of the lower peak.
    ``axes`` is how many axes are looked at, ``neighbours`` how many of the nearest groups.
    """

    near: float = 3.0
    far: float = 20.0
    valley: float = 0.5
    neighbours: int = 4
    axes: int = 32


def gather(numbers: Numbers, of: Labels, rules: Gathering | None = None) -> Labels:
    """Labels (N,) of fewer groups; the measure is taken anew after every round of joining."""
    rules = rules or Gathering()
    groups = grouped(numbers, of)
    for _ in range(80):
        turned = turned_to_tell(numbers, groups, rules.axes)
        joined = _joined(turned, grouped(turned, groups.of), rules)
        if joined is None:
            break
        groups = grouped(numbers, joined[groups.of])
    return groups.of


def turned_to_tell(numbers: Numbers, groups: Groups, axes: int) -> Numbers:
    """The numbers in spreads of a sign, along the few axes that tell the groups apart best: (N, axes).

    Few axes, because in many a small group of like squares seems to stand apart by chance alone.
    """
    whitened = numbers @ measure(numbers, groups)
    return np.asarray(whitened @ telling_axes(grouped(whitened, groups.of), axes), np.float32)


def _joined(turned: Numbers, groups: Groups, rules: Gathering) -> Labels | None:
    """For each group the group it joins, or None when nothing joins any more."""
    count = len(groups.counts)
    wishes = sorted(_wishes(turned, groups, rules))
    if not wishes:
        return None
    goes = np.arange(count)
    busy: set[int] = set()
    for _, one, other in wishes[: max(2, count // 3)]:
        if not {one, other} & busy:
            busy |= {one, other}
            goes[max(one, other)] = min(one, other)
    return goes


def _wishes(turned: Numbers, groups: Groups, rules: Gathering) -> Iterator[tuple[float, int, int]]:
    """Pairs that may join, each with how far they stand apart (nearer first)."""
    whole = squared_distances(turned, groups.means)
    apart = np.sqrt(squared_distances(groups.means, groups.means))
    fair = _fair(apart, groups.counts, turned.shape[1])
    members = groups.members()
    for one, other in _neighbours(fair, rules):
        if fair[one, other] < rules.near:
            yield float(fair[one, other]) / 1000, one, other
            continue
        pair = members[one], members[other]
        if min(len(pair[0]), len(pair[1])) < 4:
            continue
        held = _valley(whole, pair, (one, other), float(apart[one, other]))
        if held > rules.valley:
            yield float(fair[one, other]) / min(held, 1.5), one, other


def _fair(apart: Numbers, counts: Labels, length: int) -> Numbers:
    """Distances less what chance alone puts between the means of small groups; infinite to oneself."""
    chance = 0.8 * length * (1 / counts[:, None] + 1 / counts)
    fair = np.sqrt(np.maximum(apart.astype(np.float64) ** 2 - chance, 0))
    np.fill_diagonal(fair, np.inf)
    return fair.astype(np.float32)


def _neighbours(fair: Numbers, rules: Gathering) -> list[tuple[int, int]]:
    """Each group with its nearest few, every pair once."""
    few = min(rules.neighbours, len(fair) - 1)
    nearest = np.argsort(fair, axis=1)[:, :few]
    pairs = {
        (min(one, int(other)), max(one, int(other)))
        for one in range(len(fair))
        for other in nearest[one]
        if fair[one, other] < rules.far
    }
    return sorted(pairs)


def _valley(whole: Numbers, members: tuple[Labels, Labels], pair: tuple[int, int], apart: float) -> float:
    """The least density on the way from one group to the other, as a share of the lower of the two peaks.

    Each square stands on the line through both means; its own group's mean is taken without it.
    """
    first, second = members
    one, other = pair
    without = [(len(group) / max(1, len(group) - 1)) ** 2 for group in members]
    at_first = (whole[first, other] - whole[first, one] * without[0]) / (2 * apart)
    at_second = (whole[second, other] * without[1] - whole[second, one]) / (2 * apart)
    high, low = float(np.median(at_first)), float(np.median(at_second))
    if high <= low:
        return 9.0
    line = np.sort(np.concatenate([at_first, at_second]))
    stops = np.linspace(low, high, 13)
    half = 0.15 * (high - low)
    held = np.searchsorted(line, stops + half) - np.searchsorted(line, stops - half)
    return float((held[3:10].min() + 0.5) / (min(held[8:].max(), held[:5].max()) + 0.5))
