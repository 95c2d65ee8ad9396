"""Measure small patches of a ruled chart: where the lines run in each, and how surely they are lines.

A patch is a parallelogram of 8 x 8 squares pulled into 96 x 96 pixels. Its lines are told from strokes of
symbols by their crossings: a line runs on close to where it crosses another, and there the paper is seldom
covered by symbols. All squares of a patch are laid on each other before crossings are looked for.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

PITCH = 12
LINES = 7
FAINT = 0.95
_ARMS = (1, 2)
_SQUARES = 8
_SIDE = PITCH * _SQUARES
_FIRST = PITCH
_REACH = 4
_GROUPS = 2
_AT_ONCE = 256


@dataclass(frozen=True)
class Patches:
    """Local lattices: ``place`` (N, 2) a node's pixel, ``basis`` (N, 2, 2) the steps to the next.

    ``basis[:, 0]`` leads one square to the right, ``basis[:, 1]`` one down. ``sure`` (N, 2) says for upright
    and level lines how much stronger they are together than anything else that runs the same way (above 1:
    they are the strongest). ``sparse`` (N, 2) says how much lighter the paper is along them than within the
    squares (above 0: the symbols keep clear of them), which tells a lattice whose lines are too faint to see.
    """

    place: NDArray[np.float64]
    basis: NDArray[np.float64]
    sure: NDArray[np.float64]
    sparse: NDArray[np.float64]

    def of(self, chosen: NDArray[np.bool_]) -> "Patches":
        """Only the chosen ones."""
        return Patches(self.place[chosen], self.basis[chosen], self.sure[chosen], self.sparse[chosen])


def measured(
    darkness: NDArray[np.uint8], place: NDArray[np.float64], basis: NDArray[np.float64], floor: float = 0.3
) -> Patches:
    """The local lattices after a look at the picture, each moved by at most a third of a square.

    ``floor`` is the strength of line that counts as nothing (see `strength_of`).
    """
    parts = [
        _measured(darkness, place[first : first + _AT_ONCE], basis[first : first + _AT_ONCE], floor)
        for first in range(0, len(place), _AT_ONCE)
    ]
    names = ("place", "basis", "sure", "sparse")
    return Patches(*(np.concatenate([getattr(part, name) for part in parts]) for name in names))


def strength_of(darkness: NDArray[np.uint8], place: NDArray[np.float64], basis: NDArray[np.float64]) -> float:
    """How strong the lines of well placed patches are typically, in the square root of grey levels."""
    patches = cut(darkness, place, basis)
    upright = _arms(_folded(_strokes(patches)))
    level = _arms(_folded(_strokes(patches.transpose(0, 2, 1))))
    return float(np.median(np.concatenate([upright[:, 0, 0], level[:, 0, 0]])))


def _measured(
    darkness: NDArray[np.uint8], place: NDArray[np.float64], basis: NDArray[np.float64], floor: float
) -> Patches:
    patches = cut(darkness, place, basis)
    both = _strokes(patches), _strokes(patches.transpose(0, 2, 1))
    ink = _folded(patches)
    arms = _arms(_folded(both[0])), _arms(_folded(both[1])).transpose(0, 2, 1)
    clear = _clear(ink.mean(axis=2))[:, :, None] * _clear(ink.mean(axis=1))[:, None, :]
    down, across = _crossing(arms[0] * arms[1] * clear)
    sure = _sureness(arms[0], down, across, floor), _sureness(arms[1].transpose(0, 2, 1), across, down, floor)
    upright = _fitted(both[0], across, down, sure[0])
    level = _fitted(both[1], down, across, sure[1])
    right, below = basis[:, 0], basis[:, 1]
    sparse = _sparseness(ink.mean(axis=1), upright[:, 0]), _sparseness(ink.mean(axis=2), level[:, 0])
    # A true node lies at u = k + upright . (1, k, r), v = r + level . (1, r, k) in the old lattice.
    return Patches(
        place + upright[:, :1] * right + level[:, :1] * below,
        np.stack(
            [
                right * (1 + upright[:, 1:2]) + below * level[:, 2:3],
                right * upright[:, 2:3] + below * (1 + level[:, 1:2]),
            ],
            1,
        ),
        np.stack(sure, 1),
        np.stack(sparse, 1),
    )


def cut(
    darkness: NDArray[np.uint8], place: NDArray[np.float64], basis: NDArray[np.float64]
) -> NDArray[np.float32]:
    """(N, 96, 96) float32 patches around each place; beyond the picture there is no ink."""
    steps = (np.arange(_SIDE) + 0.5) / PITCH - _SQUARES / 2
    along = place[:, None, :] + steps[None, :, None] * basis[:, None, 0, :]
    where = along[:, None, :, :] + (steps[None, :, None] * basis[:, None, 1, :])[:, :, None, :]
    flat = where.reshape(-1, _SIDE, 2).astype(np.float32)
    # One map of pairs with an empty second map gives wrong pixels in OpenCV 5.0 (linear, not cubic).
    across, down = np.ascontiguousarray(flat[..., 0]), np.ascontiguousarray(flat[..., 1])
    pixels = cv2.remap(darkness, across, down, cv2.INTER_LINEAR, borderValue=0)
    return pixels.reshape(len(place), _SIDE, _SIDE).astype(np.float32)


def ridges(patches: NDArray[np.float32], away: int) -> NDArray[np.float32]:
    """How much darker each pixel is than both pixels ``away`` to its sides (last axis), never below 0."""
    padded = np.pad(patches, [(0, 0)] * (patches.ndim - 1) + [(away, away)], mode="edge")
    beside = np.maximum(padded[..., : -2 * away], padded[..., 2 * away :])
    sharp = np.maximum(patches - beside, 0)
    wide = np.pad(sharp, [(0, 0)] * (patches.ndim - 1) + [(1, 1)], mode="edge")
    return np.asarray((wide[..., :-2] + 2 * wide[..., 1:-1] + wide[..., 2:]) / 4, np.float32)


def _strokes(patches: NDArray[np.float32]) -> NDArray[np.float32]:
    """(N, 96, 96) how strongly something thin runs upright through each pixel."""
    return np.sqrt(ridges(patches, 2))


def _folded(values: NDArray[np.float32]) -> NDArray[np.float32]:
    """(N, 12, 12) the mean of all squares but those at the patch's edge."""
    inner = values[:, PITCH:-PITCH, PITCH:-PITCH]
    return np.asarray(inner.reshape(len(values), LINES - 1, PITCH, LINES - 1, PITCH).mean(axis=(1, 3)))


def _arms(folded: NDArray[np.float32]) -> NDArray[np.float32]:
    """(N, 12, 12) how strongly an upright line runs on above and below a crossing at each place.

    Place (y, x) stands for the corner between pixels y - 1 and y, x - 1 and x, round and round.
    """
    sides = (folded + np.roll(folded, 1, axis=2)) / 2
    parts = [np.minimum(np.roll(sides, -up, 1), np.roll(sides, up + 1, 1)) for up in _ARMS]
    return np.asarray(sum(parts) / len(parts), np.float32)


def _clear(ink: NDArray[np.float32]) -> NDArray[np.float32]:
    """(N, 12) how likely it is, by the ink of a mean square, that a line lies at each place.

    Symbols keep clear of the lines, so that there is less ink beside a line than within the squares.
    """
    beside = (np.roll(ink, -1, axis=1) + np.roll(ink, 2, axis=1)) / 2
    return np.asarray(np.exp(-(beside + 8) / (ink.mean(axis=1)[:, None] + 8)), np.float32)


def _crossing(score: NDArray[np.float32]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Offsets down and across, in pixels, of the strongest crossing not far from where it is expected."""
    tries = np.arange(-_REACH, _REACH + 1)
    likely = np.exp(-0.5 * (tries / 3.0) ** 2)
    near = score[:, tries[:, None] % PITCH, tries[None, :] % PITCH] * (likely[:, None] * likely[None, :])
    best = near.reshape(len(near), -1).argmax(axis=1)
    row, column = np.divmod(best, len(tries))
    each = np.arange(len(near))
    return _between(near[each, :, column], row) - _REACH, _between(near[each, row], column) - _REACH


def _between(score: NDArray[np.float32], peak: NDArray[np.intp]) -> NDArray[np.float64]:
    """The place of a peak between samples, as an index."""
    best = np.clip(peak, 1, score.shape[1] - 2)
    row = np.arange(len(score))
    left, middle, right = (score[row, best + step].astype(np.float64) for step in (-1, 0, 1))
    bend = left - 2 * middle + right
    shift = np.where(bend < -1e-9, 0.5 * (left - right) / np.where(bend < -1e-9, bend, -1), 0)
    return np.asarray(peak + np.clip(shift, -0.5, 0.5))


def _sureness(
    arms: NDArray[np.float32], down: NDArray[np.float64], across: NDArray[np.float64], floor: float
) -> NDArray[np.float64]:
    """How strong the upright lines are, by the strongest parallels well inside the squares."""
    each = np.arange(len(arms))
    profile = arms[each, np.rint(down).astype(np.intp) % PITCH]
    there = np.rint(across).astype(np.intp)
    away = np.arange(3, PITCH - 2)
    inside = profile[each[:, None], (there[:, None] + away) % PITCH].max(axis=1)
    return np.asarray(profile[each, there % PITCH] / (inside + floor), np.float64)


def _fitted(
    strokes: NDArray[np.float32],
    across: NDArray[np.float64],
    down: NDArray[np.float64],
    sure: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Offset, stretch and slant of the upright lines (N, 3) in squares; faint lines are believed by half."""
    comb = _comb(strokes, down)
    tries = np.arange(-_REACH, _REACH + 1)
    near = np.exp(-0.5 * ((tries[None, :] - across[:, None]) / 1.2) ** 2)
    weighted = comb * near[:, None, None, :]
    total = weighted.sum(axis=3)
    shift = (weighted * tries).sum(axis=3) / np.maximum(total, 1e-6) / PITCH
    limit = 2 * np.median(total, axis=(1, 2))[:, None, None] + 1e-3
    fit = _robust(np.minimum(total, limit).reshape(len(comb), -1), shift.reshape(len(comb), -1))
    return np.asarray(np.where((sure < FAINT)[:, None], fit * (0.5, 0, 0), fit))


def _comb(strokes: NDArray[np.float32], down: NDArray[np.float64]) -> NDArray[np.float64]:
    """(N, 2, 7, 9) strength around each line, in two groups of rows, near the crossings only."""
    rows = strokes[:, PITCH:-PITCH].reshape(len(strokes), _GROUPS, -1, PITCH, _SIDE).mean(axis=2)
    beyond = (np.arange(PITCH) + 0.5 - down[:, None]) % PITCH
    near = np.minimum(beyond, PITCH - beyond)
    weight = ((near > 1) & (near < 3.2)).astype(np.float32)
    profile = np.einsum("ngpx,np->ngx", rows, weight) / weight.sum(axis=1)[:, None, None]
    sides = (profile[:, :, 1:] + profile[:, :, :-1]) / 2
    index = PITCH * np.arange(1, LINES + 1)[:, None] + np.arange(-_REACH, _REACH + 1)[None, :] - 1
    return np.asarray(sides[:, :, index], np.float64)


def _robust(weight: NDArray[np.float64], values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Offset, stretch and slant through the shifts of all lines, strays counting little."""
    line = np.arange(LINES) - LINES // 2
    row = (np.arange(_GROUPS) + 0.5) * (LINES - 1) / _GROUPS - LINES // 2
    terms = np.stack(
        [np.ones((_GROUPS, LINES)), np.tile(line, (_GROUPS, 1)), np.tile(row[:, None], (1, LINES))], -1
    ).reshape(-1, 3)
    fit = np.zeros((len(values), 3))
    for _ in range(3):
        fit = _solved(terms, weight, values)
        weight = weight / (1 + ((values - fit @ terms.T) / 0.06) ** 2)
    return fit


def _solved(
    terms: NDArray[np.float64], weight: NDArray[np.float64], values: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Weighted least squares for every patch, held towards no stretch and no slant."""
    normal = np.einsum("nk,ki,kj->nij", weight, terms, terms)
    held = weight.sum(axis=1)[:, None, None] * np.diag([1e-6, 1.0, 1.0]) + np.eye(3) * 1e-9
    aim = np.einsum("nk,ki,nk->ni", weight, terms, values)
    return np.asarray(np.linalg.solve(normal + held, aim[..., None])[..., 0])


def _sparseness(ink: NDArray[np.float32], offset: NDArray[np.float64]) -> NDArray[np.float64]:
    """By which share the ink (N, 12) of a mean square is less beside the lines than within the square."""
    first = np.rint(offset * PITCH).astype(np.intp)
    squares = np.take_along_axis(ink, (first[:, None] + np.arange(PITCH)) % PITCH, axis=1)
    beside = squares[:, [1, -2]].mean(axis=1)
    within = squares[:, PITCH // 4 : -PITCH // 4].mean(axis=1)
    return np.asarray((within - beside) / (within + 8), np.float64)
