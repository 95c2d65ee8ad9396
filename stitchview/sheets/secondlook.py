"""Look again at squares that resemble no pile well, leaving out the pixels that a line may cover."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.crossings import AROUND_LINES, covered_pixels, lines_over, piece_shapes
from stitchview.sheets.describing import PIXELS
from stitchview.sheets.nearness import Groups, Labels, Numbers

_LEAST_PIXELS = 36
_MOST_ADDED = 6.0
_MOST_MISSING = 9.0
_EDGE = 3
_LOOSE = 0.15
_ASKED = 100
_LEAST_SPREAD = 1e-6
"""The least variance of a soft pixel: that of a thousandth of full ink."""


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

    def narrowed(self, kept: Labels) -> "PixelModel":
        """The model of the piles ``kept`` alone."""
        return PixelModel(self.means[kept], self.spread, self.black)


def pixel_model(soft: Numbers, groups: Groups, black: float) -> PixelModel:
    """The model of piles from the soft pixels (N, 144) of their squares, the unlikeliest fifth left out."""
    rest = soft - groups.means[groups.of]
    far = (rest * rest).sum(axis=1)
    usual = far <= np.quantile(far, 0.8)
    spread = rest[usual].T @ rest[usual] / np.float32(max(1, int(usual.sum())))
    # Print that is perfectly even varies by nothing, and nothing cannot be measured by.
    share = max(_LEAST_SPREAD, 0.05 * float(np.trace(spread)) / len(spread))
    spread += np.eye(len(spread), dtype=np.float32) * np.float32(share)
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


def means_apart(model: PixelModel) -> Numbers:
    """How far the piles' means (K, K) lie apart, as ``Likeness.apart``, less what a small shift explains.

    Signs may lie a little beside their squares on a whole part of a sheet.
    """
    turn = np.linalg.inv(np.linalg.cholesky(model.spread)).T
    turned = model.means @ turn
    apart = np.empty((len(turned), len(turned)), np.float32)
    for pile, mean in enumerate(model.means):
        ways = np.stack(np.gradient(mean.reshape(PIXELS, PIXELS))).reshape(2, -1) @ turn
        rest = turned - turned[pile]
        found = np.linalg.lstsq(ways.T, rest.T, rcond=None)[0].T
        rest = rest - np.clip(found, -_LOOSE, _LOOSE) @ ways
        apart[pile] = (rest * rest).mean(axis=1)
    return np.minimum(apart, apart.T)


def inked_over(soft: Numbers, model: PixelModel, piles: Labels) -> Numbers:
    """What it costs (n, len(piles)) to take each square for a pile's sign with more ink on it.

    Lines, knots and blots add ink and take none away, so added ink costs little however dark it is.
    """
    spread = np.sqrt(np.diag(model.spread) + 0.04**2).astype(np.float32)
    costs = np.empty((len(soft), len(piles)), np.float32)
    for column, pile in enumerate(piles):
        rest = (soft - model.means[pile]) / spread
        square = rest * rest
        limited = np.minimum(square, np.where(rest > 0, np.float32(_MOST_ADDED), np.float32(_MOST_MISSING)))
        costs[:, column] = limited.mean(axis=1)
    return costs


def ink_at_edges(cutouts: Numbers, others: Numbers, black: float) -> Labels:
    """How many pixels near each cut-out's edges (n,) are darker than the mean of the ``others``."""
    inner = slice(AROUND_LINES, -AROUND_LINES)
    darker = cutouts[:, inner, inner] - others[:, inner, inner].mean(axis=0) > 0.35 * black
    darker[:, _EDGE:-_EDGE, _EDGE:-_EDGE] = False
    return np.asarray(darker.sum(axis=(1, 2)), np.intp)


def ink_beyond(cutouts: Numbers, others: Numbers, black: float) -> Labels:
    """How many pixels beyond each cut-out's edges (n,) are darker than usual with the ``others``.

    Signs end within their squares, lines run along the edges or across them.
    """
    usual = np.median(others[:: max(1, len(others) // _ASKED)], axis=0)
    darker = cutouts - usual > 0.35 * black
    darker[:, AROUND_LINES:-AROUND_LINES, AROUND_LINES:-AROUND_LINES] = False
    return np.asarray(darker.sum(axis=(1, 2)), np.intp)


def ink_at_half_points(cutout: Numbers, others: Numbers, black: float) -> float:
    """The darkest of a cut-out's corners and middles of edges, beside what is usual among the ``others``.

    Seen beyond the square, as a share of full ink: back stitch crosses edges only there, signs end within.
    """
    beside = cutout - np.median(others[:: max(1, len(others) // _ASKED)], axis=0)
    side, middle = len(beside), len(beside) // 2
    near = slice(0, AROUND_LINES + 2), slice(0, AROUND_LINES)
    far = slice(side - AROUND_LINES - 2, side), slice(side - AROUND_LINES, side)
    half = slice(middle - 3, middle + 3)
    corners = [(down, right) for down in (near[0], far[0]) for right in (near[0], far[0])]
    edges = [(near[1], half), (far[1], half), (half, near[1]), (half, far[1])]
    return float(max(beside[spot].mean() for spot in corners + edges) / black)
