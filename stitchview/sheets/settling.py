"""Decide which groups of squares are signs of their own and which are known signs with lines on them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.nearness import Groups, Labels, Numbers, grouped
from stitchview.sheets.secondlook import Likeness, likeness, pixel_model

_USUAL_SHARE = 0.99
_FEW = 24
_FEW_MAY_DIFFER = 1.8


@dataclass(frozen=True)
class Settled:
    """Which groups stay (``stays`` (K,)), the squares' groups and how unlike they are to each.

    ``plain`` leaves nothing out, ``freed`` leaves out what lines may cover; ``again`` (N,) marks the squares
    that are judged by the second look; ``usual`` is how unlike a square usually is at most to its own pile.
    """

    groups: Groups
    stays: NDArray[np.bool_]
    plain: Likeness
    freed: Likeness
    again: NDArray[np.bool_]
    usual: float


def settled(soft: Numbers, cutouts: Numbers, of: Labels, black: float) -> Settled:
    """Settle groups ``of`` (N,) from soft pixels (N, 144) and cut-outs with AROUND_LINES pixels around."""
    groups = grouped(soft, of)
    model = pixel_model(soft, groups, black)
    plain = likeness(soft, cutouts, model, free_lines=False)
    freed = likeness(soft, cutouts, model)
    own = plain.apart[np.arange(len(soft)), groups.of]
    large = groups.counts[groups.of] >= min(20, groups.counts.max())
    usual = float(np.quantile(own[large], _USUAL_SHARE))
    stays = _staying(groups, plain, freed, usual)
    again = ~stays[groups.of] | (own > usual)
    return Settled(groups, stays, plain, freed, again, usual)


def _staying(groups: Groups, plain: Likeness, freed: Likeness, usual: float) -> NDArray[np.bool_]:
    """Go from the smallest group up; a group goes when most of its squares look like a larger group's."""
    stays = np.ones(len(groups.counts), np.bool_)
    members = groups.members()
    crossed_at_most = max(40, int(0.004 * len(groups.of)))
    for group in np.argsort(groups.counts, kind="stable"):
        stays[group] = False
        larger = np.flatnonzero(stays & (groups.counts >= groups.counts[group]))
        if not len(larger):
            stays[group] = True
            continue
        mine = members[group]
        # Small groups are more often a worn or blotted sign than a sign of their own.
        allowed = usual * (_FEW_MAY_DIFFER if len(mine) <= _FEW else 1)
        like = np.median(plain.apart[np.ix_(mine, larger)].min(axis=1)) < allowed
        lined = freed.lined[mine].mean() > 0.5 and len(mine) <= crossed_at_most
        freed_like = lined and np.median(freed.apart[np.ix_(mine, larger)].min(axis=1)) < usual
        stays[group] = len(mine) >= 3 and not like and not freed_like
    return stays
