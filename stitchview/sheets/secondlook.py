"""Look again at squares that resemble no pile well, leaving out the pixels that a line may cover."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.crossings import covered_pixels, lines_over, piece_shapes
from stitchview.sheets.nearness import Groups, Labels, Numbers

_LEAST_PIXELS = 36


@dataclass(frozen=True)
class Likeness:
    """What squares look like when lines are left out.

    ``apart`` (n, K) is the squared distance to each pile in spreads, a seen soft pixel; ``seen`` (n,) is how
    many soft pixels were seen, ``lined`` (n,) whether any were left out.
    """

    apart: Numbers
    seen: Labels
    lined: NDArray[np.bool_]


@dataclass(frozen=True)
class PixelModel:
    """How signs look in soft pixels: ``means`` (K, 144), ``spread`` (144, 144); ``black`` is solid ink."""

    means: Numbers
    spread: Numbers
    black: float


def pixel_model(soft: Numbers, groups: Groups, black: float) -> PixelModel:
    """The model of piles from the soft pixels (N, 144) of their squares, the unlikeliest fifth left out."""
    rest = soft - groups.means[groups.of]
    far = (rest * rest).sum(axis=1)
    usual = far <= np.quantile(far, 0.8)
    spread = rest[usual].T @ rest[usual] / np.float32(max(1, int(usual.sum())))
    spread += np.eye(len(spread), dtype=np.float32) * 0.05 * np.trace(spread) / len(spread)
    return PixelModel(groups.means, np.asarray(spread, np.float32), black)


def likeness(soft: Numbers, cutouts: Numbers, model: PixelModel, free_lines: bool = True) -> Likeness:
    """How unlike each square (``soft`` (n, 144), ``cutouts`` with AROUND_LINES) is to each pile of the model.

    With ``free_lines`` the pixels under lines that may cross the square are left out.
    """
    shapes = piece_shapes()
    covered = covered_pixels(lines_over(cutouts, model.black, shapes), shapes)
    if not free_lines:
        covered[:] = False
    covered[(~covered).sum(axis=1) < _LEAST_PIXELS] = False
    patterns, which = np.unique(covered, axis=0, return_inverse=True)
    apart = np.empty((len(soft), len(model.means)), np.float32)
    for number, pattern in enumerate(patterns):
        mine = np.flatnonzero(which.ravel() == number)
        apart[mine] = _apart(soft[mine][:, ~pattern], model, ~pattern)
    seen = (~covered).sum(axis=1)
    return Likeness(apart / seen[:, None].astype(np.float32), seen, np.asarray(covered.any(axis=1)))


def _apart(soft: Numbers, model: PixelModel, kept: NDArray[np.bool_]) -> Numbers:
    """Squared distances (n, K) in spreads over the kept pixels."""
    root = np.linalg.cholesky(model.spread[np.ix_(kept, kept)])
    squares = np.linalg.solve(root, soft.T).T
    means = np.linalg.solve(root, model.means[:, kept].T).T
    cross = squares @ means.T * -2
    cross += (squares * squares).sum(axis=1)[:, None]
    cross += (means * means).sum(axis=1)
    return np.asarray(np.maximum(cross, 0), np.float32)
