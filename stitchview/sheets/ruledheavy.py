"""Tell which lines of a ruled chart are printed bold, and at what spacing, by their ink."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.ruledsides import PITCH

_LEAST, _MOST = 2, 25
_BOLDER = 1.3


@dataclass(frozen=True)
class Heavy:
    """Bold lines of one direction: numbers from 0, their spacing (0: none bold), those out of step."""

    lines: tuple[int, ...] = ()
    every: int = 0
    astray: tuple[int, ...] = ()


def heavy_upright(straight: NDArray[np.uint8]) -> Heavy:
    """The bold upright lines of a picture pulled straight; give it transposed for the level ones."""
    weights = _weights(straight)
    inner = weights[1:-1]
    best: tuple[float, int, int] = (0.0, 0, 0)
    for every in range(_LEAST, min(_MOST, len(inner) // 2) + 1):
        for first in range(every):
            worth = _contrast(inner, np.arange(first, len(inner), every))
            if worth > best[0]:
                best = worth, every, first + 1
    _, every, first = best
    if not every:
        return Heavy()
    lines = tuple(range(first % every, len(weights), every))
    limit = _limit(inner, np.arange(first - 1, len(inner), every))
    astray = [line for line in range(1, len(weights) - 1) if weights[line] > limit and line not in lines]
    return Heavy(lines, every, tuple(astray))


def _weights(straight: NDArray[np.uint8]) -> NDArray[np.float64]:
    """How much ink each line has: what most rows show close to the crossings, where symbols hardly reach."""
    rows = straight.shape[0] // PITCH
    close = straight.reshape(rows, PITCH, -1)[:, [2, 3, PITCH - 4, PITCH - 3]]
    wide = np.pad(close.mean(axis=1), [(0, 0), (4, 4)], mode="edge")
    lines = straight.shape[1] // PITCH + 1
    near = wide[:, PITCH * np.arange(lines)[:, None] + np.arange(8)[None, :]]
    ink = near[..., 1:-1].sum(axis=2) - 3 * (near[..., 0] + near[..., -1])
    return np.asarray(np.median(ink, axis=0), np.float64)


def _limit(weights: NDArray[np.float64], members: NDArray[np.intp]) -> float:
    return (float(np.median(weights[members])) + float(np.median(np.delete(weights, members)))) / 2


def _contrast(weights: NDArray[np.float64], members: NDArray[np.intp]) -> float:
    """How much better bold lines at ``members`` explain the weights; 0 where they are not clearly bolder."""
    if len(members) < 2:
        return 0.0
    chosen, others = weights[members], np.delete(weights, members)
    bolder = float(np.median(chosen)) - float(np.median(others))
    if bolder < (_BOLDER - 1) * max(float(np.median(others)), 20.0):
        return 0.0
    limit = _limit(weights, members)
    wrong = (chosen < limit).sum() + (others > limit).sum()
    return bolder * float(np.sqrt(len(members))) * max(0.0, 1 - 3 * float(wrong) / len(members))
