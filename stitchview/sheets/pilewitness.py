"""Gather what speaks for or against each pile being a sign of its own, and one sign only."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.likesigns import (
    Difference,
    Faces,
    difference,
    standing_apart,
    unexplained,
)
from stitchview.sheets.nearness import Labels, Numbers

_COMPARED = 8
_ASKED = 150
_RING = 5
_INKED = 0.02
"""Variance of ink within a face from which it shows a sign: paper showed below 0.005."""


@dataclass(frozen=True)
class PileWitness:
    """What speaks about each pile, as rows of numbers that only a fitted model weighs.

    ``like`` (K,) is the larger pile each looks most like (-1 for the largest); ``numbers`` (K, 14): see
    ``PILE_NUMBERS``.
    """

    like: Labels
    numbers: Numbers


PILE_NUMBERS = (
    "size",
    "unlike the likest larger pile",
    "its darkest difference",
    "ink it lacks beside any larger sign",
    "its squares' own variety",
    "share of squares looked at twice",
    "grain of the sheet",
    "part of the larger pile's size",
    "the larger pile's own variety",
    "what the likest larger pile's look leaves unexplained",
    "gap between the two",
    "contrast of its sign",
    "unlike any larger pile inside the square",
    "ink on the edges of its squares",
)
"""What the columns of ``PileWitness.numbers`` are, each a logarithm but the share."""


def pile_witness(
    faces: Numbers, piles: Labels, clear: NDArray[np.bool_], looks: Faces, on_edges: Numbers
) -> PileWitness:
    """What speaks about each pile.

    ``faces`` (N, D), ``piles`` (N,), ``clear`` (N,) without a second look, ``on_edges`` (K,) as
    ``ink_on_edges`` gives it.
    """
    count = len(looks.means)
    like = np.full(count, -1, np.intp)
    numbers = np.zeros((count, len(PILE_NUMBERS)), np.float32)
    inked = looks.means.var(axis=1) > _INKED
    rest = faces - looks.means[piles]
    far = (rest * rest).mean(axis=1) / np.float32(looks.grain)
    variety = _medians(far, piles, count)
    for pile in np.flatnonzero(looks.counts):
        mine = piles == pile
        found, inside = _likest(looks, int(pile))
        like[pile] = found[0]
        gap = _gap_to(faces, piles, (int(pile), found[0]), looks)
        lacks = _lacks(looks, int(pile), inked)
        size = float(looks.counts[pile])
        numbers[pile] = (
            np.log(size),
            np.log(found[1].whole + 0.05),
            np.log(found[1].peak + 0.003),
            np.log(lacks + 0.05),
            np.log(variety[pile] + 0.05),
            float((~clear[mine]).mean()),
            np.log(looks.grain),
            np.log(size / max(1, looks.counts[found[0]])),
            np.log(variety[found[0]] + 0.05),
            np.log(np.clip(1 - found[1].alike, 1e-4, 10)),
            np.log(max(gap, 0.3)),
            np.log(looks.means[pile].var() / looks.grain + 1),
            np.log(inside + 0.05),
            np.log(max(on_edges[pile], 0) + 0.01),
        )
    return PileWitness(like, numbers)


def ink_on_edges(cutouts: Numbers, piles: Labels, count: int) -> Numbers:
    """The darkest ink (K,) on and beyond the edges of each pile's squares, beside what is usual there.

    Signs end within their squares; lines run along the edges or across them. ``cutouts`` (N, side, side).
    """
    means = np.zeros((count, *cutouts.shape[1:]), np.float32)
    for pile in np.unique(piles):
        means[pile] = cutouts[piles == pile].mean(axis=0)
    soft = np.stack([cv2.GaussianBlur(mean, (0, 0), 1.0) for mean in means])
    beside = soft - np.median(soft[np.unique(piles)], axis=0)
    beside[:, _RING:-_RING, _RING:-_RING] = 0
    return np.asarray(beside.max(axis=(1, 2)), np.float32)


def _medians(numbers: Numbers, piles: Labels, count: int) -> Numbers:
    """The median of the numbers (N,) in each pile, 0 for an empty one."""
    medians = np.zeros(count, np.float32)
    for pile in np.unique(piles):
        medians[pile] = np.median(numbers[piles == pile])
    return medians


def _gap_to(faces: Numbers, piles: Labels, pair: tuple[int, int], looks: Faces) -> float:
    """How far apart the squares of two piles stand beyond what may vary; 0 where one is missing."""
    if pair[1] < 0:
        return 0.0
    some = [np.flatnonzero(piles == pile)[:: max(1, looks.counts[pile] // _ASKED)] for pile in pair]
    both = np.concatenate(some)
    rest = unexplained(faces[both], looks.ways(pair[1]), looks.grain)
    return standing_apart(rest, np.arange(len(both)) < len(some[0]))


def larger_than(looks: Faces, pile: int) -> Labels:
    """The piles that hold more squares, the nearest ones first; of equal ones the earlier is the larger."""
    own = looks.counts[pile]
    larger = (looks.counts > own) | ((looks.counts == own) & (np.arange(len(looks.counts)) < pile))
    places = np.flatnonzero(larger)
    rest = looks.means[places] - looks.means[pile]
    return np.asarray(places[np.argsort((rest * rest).sum(axis=1), kind="stable")], np.intp)


def _likest(looks: Faces, pile: int) -> tuple[tuple[int, Difference], float]:
    """The larger pile that is least different, how it differs, and the least difference inside the square.

    If none is larger, all differ beyond question.
    """
    best = -1, Difference(1e4, 1e4, 1e4, 1e4, 1.0, -1.0)
    inside = 1e4
    for other in larger_than(looks, pile)[:_COMPARED]:
        found = difference(looks.means[pile], looks.means[other], looks.grain)
        if found.whole < best[1].whole:
            best = int(other), found
        inside = min(inside, found.inside)
    return best, inside


def _lacks(looks: Faces, pile: int, inked: NDArray[np.bool_]) -> float:
    """How much ink the pile lacks beside the larger sign it covers best: little where lines cross a sign."""
    larger = [other for other in larger_than(looks, pile) if inked[other]]
    if not larger:
        return 1e3
    under = np.minimum(looks.means[pile] - looks.means[larger], 0)
    return float((under * under).mean(axis=1).min() / looks.grain)
