"""Sort the squares of straightened sheets into piles of like signs, without knowing any sign beforehand."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.cleaning import SIDE
from stitchview.sheets.describing import PIXELS, soft_pixels
from stitchview.sheets.doubt import Calibration
from stitchview.sheets.gathering import turned_to_tell
from stitchview.sheets.nearness import Labels, Numbers, grouped, squared_distances
from stitchview.sheets.pilerounds import (
    first_groups,
    inner_part,
    later_groups,
    moved_by,
    numbers_of,
    without_paper,
)
from stitchview.sheets.settling import Light, Settled, second_look, settled
from stitchview.sheets.sorting import Sorting, resorted
from stitchview.sheets.straightening import Straight
from stitchview.sheets.weighing import weighed

_ROUNDS = 2
_AXES = 64

Progress = Callable[[float], None]


def no_progress(_share: float) -> None:
    """Tell nobody how far the sorting is."""


def sort_squares(sheets: Sequence[Straight], progress: Progress = no_progress) -> Sorting:
    """Every square of the sheets in piles of like signs, with doubt; pile 0 is the largest.

    The sheets belong to one chart and share piles. ``progress`` hears shares from 0 to 1 and may
    raise to stop.
    """
    return weighed(*sorted_with_cutouts(sheets, progress))


def sorted_with_cutouts(
    sheets: Sequence[Straight], progress: Progress = no_progress
) -> tuple[Sorting, Numbers]:
    """The sorting before its doubts are weighed, and the cut-outs (N, side, side) it was made from."""
    if not sheets:
        raise ValueError("there is no sheet to sort")
    random = np.random.default_rng(5)
    cleaned = without_paper(list(sheets))
    of: Labels | None = None
    for step in range(_ROUNDS):
        progress((1 + 4 * step) / (4 * _ROUNDS + 4))
        cutouts = cleaned.cutouts()
        numbers = numbers_of(cutouts)
        progress((2 + 4 * step) / (4 * _ROUNDS + 4))
        of = first_groups(numbers, random) if of is None else later_groups(numbers, of, random)
        if step < _ROUNDS - 1:
            cleaned = moved_by(cleaned, cutouts, of)
    progress(4 * _ROUNDS / (4 * _ROUNDS + 4))
    assert of is not None
    pitch = min(sheet.pitch for sheet in sheets)
    return _sorting(cleaned.shapes, Seen(cutouts, numbers, pitch), of), cutouts


@dataclass(frozen=True)
class Seen:
    """The last round's cut-outs and numbers of all squares, and the pixels a square of the coarsest sheet."""

    cutouts: Numbers
    numbers: Numbers
    pitch: int


def _sorting(shapes: tuple[tuple[int, int], ...], seen: Seen, of: Labels) -> Sorting:
    """The sorting from what was seen in the last round and its groups."""
    cutouts, numbers = seen.cutouts, seen.numbers
    inner = inner_part(cutouts)
    black = float(np.quantile(inner[:: max(1, len(inner) // 4000), 4:-4, 4:-4], 0.99))
    soft = soft_pixels(inner)
    settling = settled(soft, cutouts, of, Light(max(0.3, black), seen.pitch))
    kept = np.flatnonzero(settling.goes == np.arange(len(settling.goes)))
    kept = kept[np.argsort(-settling.groups.counts[kept], kind="stable")]
    looked = second_look(soft, cutouts, settling, kept)
    pile = _nearest_kept(settling, kept, looked)
    kept, looked = kept[np.unique(pile)], looked[:, np.unique(pile)]
    pile = _nearest_kept(settling, kept, looked)
    turned, means = _told_apart(numbers, pile, settling.again)
    unlike = squared_distances(turned, means)
    unlike[settling.again] = looked
    own = settling.plain.apart[np.arange(len(pile)), kept[pile]]
    own[settling.again] = looked.min(axis=1) / PIXELS**2
    pictures = _pictures(inner, pile, settling.again, len(kept))
    empty = np.zeros(len(pile), np.int32)
    return resorted(
        Sorting(
            shapes=shapes,
            piles=empty,
            second=empty,
            doubt=np.zeros(len(pile), np.float32),
            shown=np.zeros(len(pile), np.bool_),
            blank=_blank(pictures),
            pictures=pictures,
            unlike=tuple(np.ascontiguousarray(unlike.T, np.float32)),
            numbers=turned,
            means=means,
            clear=~settling.again,
            sure=np.full(len(pile), -1, np.int32),
            fit=np.asarray(own, np.float32),
            calibration=Calibration(),
        )
    )


def _nearest_kept(settling: Settled, kept: Labels, looked: Numbers) -> Labels:
    """For every square its place in ``kept``: its own group, or the nearest at the second look."""
    place = np.full(len(settling.goes), -1)
    place[kept] = np.arange(len(kept))
    pile = place[settling.goes[settling.groups.of]]
    pile[settling.again] = looked.argmin(axis=1)
    return pile


def _told_apart(numbers: Numbers, pile: Labels, again: NDArray[np.bool_]) -> tuple[Numbers, Numbers]:
    """The numbers (N, D) in the measure of the final piles, and the piles' means in it (K, D)."""
    clear = np.flatnonzero(~again)
    groups = grouped(numbers[clear], pile[clear])
    turned_clear = turned_to_tell(numbers[clear], groups, _AXES)
    turn = np.linalg.lstsq(numbers[clear], turned_clear, rcond=None)[0]
    turned = np.asarray(numbers @ turn, np.float32)
    means = np.stack([_middle(turned, pile, again, number) for number in range(pile.max() + 1)])
    return turned, np.asarray(means, np.float32)


def _middle(turned: Numbers, pile: Labels, again: NDArray[np.bool_], number: int) -> Numbers:
    """The mean of a pile's clear squares, or of all where it has none."""
    mine = pile == number
    clear = mine & ~again
    return np.asarray(turned[clear if clear.any() else mine].mean(axis=0), np.float32)


def _pictures(inner: Numbers, pile: Labels, again: NDArray[np.bool_], count: int) -> NDArray[np.uint8]:
    """Each pile's mean picture (K, SIDE, SIDE), 255 for paper."""
    pictures = np.full((count, SIDE, SIDE), 255, np.uint8)
    for number in range(count):
        mine = pile == number
        clear = mine & ~again
        seen = inner[clear if clear.any() else mine]
        if len(seen):
            pictures[number] = np.clip(255 * (1 - seen.mean(axis=0)), 0, 255).astype(np.uint8)
    return pictures


def _blank(pictures: NDArray[np.uint8]) -> int:
    """The pile whose picture shows paper only, or -1."""
    darkest = np.array([np.quantile(picture[3:-3, 3:-3], 0.02) for picture in pictures])
    lightest = int(darkest.argmax())
    return lightest if darkest[lightest] > 215 else -1
