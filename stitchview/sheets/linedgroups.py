"""Find out how common lines over signs are on a sheet, and which groups of squares are signs with lines."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.describing import PIXELS
from stitchview.sheets.linesover import Explained, explained
from stitchview.sheets.nearness import Groups, Labels, Numbers
from stitchview.sheets.secondlook import PixelModel

_FEWEST, _LOOKED_AT, _LARGE, _SAMPLE = 3, 5, 20, 400
_HANDFUL = 7
_EXPLAINED, _WELL_EXPLAINED = 1.2, 0.6
"""What may be left, in squared spreads a soft pixel, of a single square and of a whole group."""
_MOST_PIECES = 4
_LINED_SHARE = 0.004
"""Where lines explain fewer squares there is no back stitch: old plates without any showed up to 0.002."""
_MOST_LINED = 0.02
_SIMPLE_PIECES, _SIMPLE_OFTEN, _MANIFOLD_OFTEN = 2, 2.0, 0.5
_AT_MOST = 40


@dataclass(frozen=True)
class Lined:
    """Where lines lie over signs: the share of squares that have some; 0 where the sheet seems to have none.

    ``costs`` and ``pieces`` hold for small groups what is left unexplained, and how many pieces of line it
    takes, when its squares are taken for each of the groups ``large``.
    """

    share: float
    large: Labels
    costs: dict[int, Numbers]
    pieces: dict[int, Numbers]

    def over(self, group: int, counts: Labels, stays: NDArray[np.bool_]) -> bool:
        """Whether a group is another one that stays, with lines, and no oftener than lines are."""
        if group not in self.costs:
            return False
        pieces, share = self.pieces[group], self.share
        # Many pieces explain much that is a sign of its own; a run through the square takes two.
        times = np.where(pieces > _SIMPLE_PIECES, _MANIFOLD_OFTEN, _SIMPLE_OFTEN)
        often = counts[group] <= np.clip(share * times * counts[self.large], _HANDFUL, _AT_MOST)
        fits = (self.costs[group] < _WELL_EXPLAINED) & (pieces > 0) & (pieces <= _MOST_PIECES)
        return bool((fits & often & stays[self.large] & (self.large != group)).any())


def lined_groups(
    soft: Numbers, cutouts: Numbers, groups: Groups, model: PixelModel, odd: NDArray[np.bool_]
) -> Lined:
    """How many squares have lines over them, and which small groups look like larger ones with lines."""
    large = np.flatnonzero(groups.counts >= _LARGE)
    small = [mine[:_LOOKED_AT] for mine in groups.members() if len(mine) >= _FEWEST]
    small = [mine for mine in small if groups.counts[groups.of[mine[0]]] <= len(soft) * _MOST_LINED]
    none = Lined(0.0, large, {}, {})
    if not len(large) or not small:
        return none
    odd = odd | (groups.counts[groups.of] < _FEWEST)
    looked = np.flatnonzero(odd)[:: max(1, int(odd.sum()) // _SAMPLE)]
    seen = explained(soft[looked], cutouts[looked], model.narrowed(large))
    share = float(odd.mean() * _like_lined(seen).mean())
    if share < _LINED_SHARE:
        return none
    looked = np.concatenate(small)
    seen = explained(soft[looked], cutouts[looked], model.narrowed(large))
    ends = np.cumsum([len(mine) for mine in small])[:-1]
    left = np.split(seen.unexplained / np.float32(soft.shape[1]), ends)
    taken = np.split(seen.pieces, ends)
    numbers = [int(groups.of[mine[0]]) for mine in small]
    costs = {group: np.median(of_it, axis=0) for group, of_it in zip(numbers, left, strict=True)}
    pieces = {group: np.median(of_it, axis=0) for group, of_it in zip(numbers, taken, strict=True)}
    return Lined(share, large, costs, pieces)


def _like_lined(seen: Explained) -> NDArray[np.bool_]:
    """Which squares (n,) a sign with some lines over it explains nearly whole."""
    sign = seen.costs.argmin(axis=1)
    at = np.arange(len(sign))
    pieces = seen.pieces[at, sign]
    return np.asarray((pieces > 0) & (seen.unexplained[at, sign] < _EXPLAINED * PIXELS**2))
