"""Tell by their mean pictures whether two groups of squares show one sign, however fine the picture is."""

import cv2
import numpy as np

from stitchview.sheets.nearness import Groups, Numbers

_WINDOW, _INSIDE, _BESIDE = 40, 32, 3
"""In half pixels of a cut-out."""

_MOST_PALER = 1.18
_SOFTENED = 1.0
_PLAIN = 0.12
"""Deviation of ink inside a square below which it shows no sign there: paper showed 0.03, signs 0.2+."""

_FINE, _COARSE = (20.0, 0.036), (12.0, 0.025)
"""Pixels a square and the difference (share of full ink, root mean square) that no eye would call a sign.

On printed test sheets two signs differed by 0.055 or more at 20 pixels a square and more (a small ring and a
small box by less than 0.045), by 0.035 at 12 to 14; one sign in two groups that no line crosses by 0.034 at
most, 0.025 at 12 to 14.
"""
PLAIN_VARIETY, _VARIETY_ALLOWS = 0.04, 1.9


def mean_pictures(cutouts: Numbers, groups: Groups) -> Numbers:
    """The mean of each group's cut-outs (K, side, side)."""
    flat = cutouts.reshape(len(cutouts), -1)
    return np.stack([flat[members].mean(axis=0) for members in groups.members()]).reshape(
        -1, *cutouts.shape[1:]
    )


def pictures_apart(pictures: Numbers, black: float) -> Numbers:
    """How far mean pictures (K, side, side), AROUND_LINES around, differ: (K, K) in shares of full ink.

    Root mean square at the best move of up to a pixel and a half, and with paler or darker ink allowed for:
    print falls a little beside its square and takes more or less ink.
    """
    return _apart(pictures, black, _WINDOW)


def pictures_apart_inside(pictures: Numbers, black: float) -> Numbers:
    """As ``pictures_apart``, of the part that lines along the edges do not cover; infinite for no sign there.

    Paper inside two squares says nothing of what stands nearer to their edges.
    """
    apart = _apart(pictures, black, _INSIDE)
    first = (pictures.shape[1] - _INSIDE // 2) // 2
    within = pictures[:, first:-first, first:-first].std(axis=(1, 2)) / black
    apart[within < _PLAIN] = np.inf
    apart[:, within < _PLAIN] = np.inf
    return apart


def _apart(pictures: Numbers, black: float, window: int) -> Numbers:
    """``pictures_apart`` of a middle part of ``window`` half pixels."""
    fine = np.stack([_finer(picture / black) for picture in pictures])
    first = (fine.shape[1] - window) // 2
    here = _windows(fine, first, first, window)
    strength = (here * here).sum(axis=1)
    best = np.full((len(fine), len(fine)), np.inf, np.float32)
    for down in range(-_BESIDE, _BESIDE + 1):
        for right in range(-_BESIDE, _BESIDE + 1):
            moved = _windows(fine, first + down, first + right, window)
            cross, other = here @ moved.T, (moved * moved).sum(axis=1)
            paler = np.clip((cross + 0.1) / (other + 0.1), 1 / _MOST_PALER, _MOST_PALER)
            rest = strength[:, None] - 2 * paler * cross + paler * paler * other
            best = np.minimum(best, rest)
    apart = np.sqrt(np.maximum(best, 0) / here.shape[1])
    return np.asarray(np.minimum(apart, apart.T), np.float32)


def may_differ(pixels_a_square: float, variety: float) -> float:
    """By how much pictures of one sign may differ, as ``pictures_apart`` tells it.

    ``variety`` is the root mean square by which single squares differ from their group, in shares of full
    ink: worn types vary far more than prints, and so do the means of a few of them.
    """
    finest = np.interp(pixels_a_square, (_COARSE[0], _FINE[0]), (_COARSE[1], _FINE[1]))
    return float(finest + _VARIETY_ALLOWS * max(0.0, variety - PLAIN_VARIETY))


def _finer(picture: Numbers) -> Numbers:
    """The picture softened, at half its own pixels."""
    soft = cv2.GaussianBlur(np.asarray(picture, np.float32), (0, 0), _SOFTENED)
    return np.asarray(cv2.resize(soft, None, fx=2, fy=2, interpolation=cv2.INTER_CUBIC), np.float32)


def _windows(fine: Numbers, top: int, left: int, window: int) -> Numbers:
    """Every fourth half pixel of a window, (K, 100) or fewer."""
    part = fine[:, top : top + window : 4, left : left + window : 4]
    return np.ascontiguousarray(part).reshape(len(fine), -1)
