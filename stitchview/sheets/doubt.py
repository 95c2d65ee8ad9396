"""Estimate for every square the chance that its pile is wrong, and choose the few to show."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float32]

_FEW = 12


@dataclass(frozen=True)
class Calibration:
    """How a lead of the best pile turns into a chance of being wrong.

    The numbers are a first setting by hand, not yet a fit. The chance is logistic in: a constant, the
    logarithm of the lead, and how badly the square fits its own pile (logarithm). One row is for clear
    squares, one for squares crossed by lines.
    """

    clear: tuple[float, float, float] = (1.0, -2.6, 1.0)
    crossed: tuple[float, float, float] = (1.0, -1.6, 1.0)


def chances_of_wrong(
    lead: Numbers, fit: Numbers, clear: NDArray[np.bool_], calibration: Calibration
) -> Numbers:
    """The chance (N,) that a square's pile is wrong.

    ``lead`` (N,) is how much more unlike the next pile is than the best, ``fit`` (N,) how unlike the
    square is to its own pile where 1 is usual, ``clear`` (N,) whether no line crosses it.
    """
    lead_size = np.log1p(np.nan_to_num(np.maximum(lead, 0), posinf=1e6))
    misfit = np.log(np.maximum(fit, 1))
    chances = np.empty(len(lead), np.float32)
    for row, of_these in ((calibration.clear, clear), (calibration.crossed, ~clear)):
        score = row[0] + row[1] * lead_size[of_these] + row[2] * misfit[of_these]
        chances[of_these] = 1 / (1 + np.exp(-np.clip(score, -30, 30)))
    return chances


def doubted_when_few(doubt: Numbers, piles: NDArray[np.int32]) -> Numbers:
    """The doubt (N,) with that of squares in very small piles raised.

    On printed test sheets most piles of up to a dozen squares were a known sign crossed by a line or blotted,
    however well they agreed among themselves; half is a rounded share, not a fitted one.
    """
    sizes = np.bincount(np.maximum(piles, 0))[np.maximum(piles, 0)]
    return np.where(sizes <= _FEW, np.maximum(doubt, np.float32(0.5)), doubt).astype(np.float32)


def worth_showing(doubt: Numbers, missed: float = 0.003, least: float = 0.0005) -> NDArray[np.bool_]:
    """The most doubtful squares (N,), so many that the rest holds ``missed`` of all wrong ones by estimate.

    Squares whose own chance is below ``least`` are never shown: a person would look for nothing.
    """
    order = np.argsort(-doubt)
    held = np.cumsum(doubt[order], dtype=np.float64)
    count = int(np.searchsorted(held, (1 - missed) * held[-1])) + 1 if len(doubt) else 0
    shown = np.zeros(len(doubt), np.bool_)
    shown[order[:count]] = True
    return shown & (doubt >= least)
