"""Find a first small lattice on a plate set from type: its pitch, its lean and where its gaps lie."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.typesetgaps import Nodes, White

_BLOCK = 224
_PITCHES = np.arange(13.5, 28.0, 0.25)
_LEANS = np.radians(np.arange(-4, 4.1, 0.5))
_SCALES = (2.0, 1.0, 0.5, 0.25)
_LEAST_SCORE = 0.12
_SQUARES = 6


@dataclass(frozen=True)
class _Comb:
    """Parallel gaps in a block: every ``pitch`` pixels from ``first``, leaning by ``lean`` radians."""

    score: float
    pitch: float
    first: float
    lean: float


def seed_lattice(white: White) -> Nodes | None:
    """Nodes (7, 7, 2) of 6 x 6 squares where gaps cross most clearly; None if nowhere do they cross.

    The smallest pitch that explains the gaps nearly as well as the best is taken, for every second gap is a
    lattice as well.
    """
    found: list[tuple[float, float, Nodes]] = []
    for scale in _SCALES:
        for corner, block in _blocks(white, scale):
            seed = _crossing(block)
            if seed is not None:
                score, pitch, nodes = seed
                place = (nodes + 0.5) / scale - 0.5 + np.array(corner)
                found.append((score, pitch / scale, place))
    if not found:
        return None
    best = max(score for score, _, _ in found)
    if best < _LEAST_SCORE:
        return None
    good = [seed for seed in found if seed[0] >= 0.75 * best]
    smallest = min(pitch for _, pitch, _ in good)
    return max((seed for seed in good if seed[1] < 1.25 * smallest), key=_score)[2]


def _score(seed: tuple[float, float, Nodes]) -> float:
    return seed[0]


def _blocks(white: White, scale: float) -> list[tuple[tuple[float, float], White]]:
    """Blocks of 224 x 224 pixels all over the picture, scaled by ``scale``, with their corners."""
    side = round(_BLOCK / scale)
    height, width = white.shape
    if side > min(height, width):
        return []
    lefts = np.unique(np.linspace(0, width - side, 5).astype(int))
    tops = np.unique(np.linspace(0, height - side, 5).astype(int))
    how = cv2.INTER_AREA if scale < 1 else cv2.INTER_LINEAR
    return [
        (
            (float(left), float(top)),
            np.asarray(
                cv2.resize(white[top : top + side, left : left + side], (_BLOCK, _BLOCK), interpolation=how),
                np.float32,
            ),
        )
        for top in tops
        for left in lefts
    ]


def _crossing(block: White) -> tuple[float, float, Nodes] | None:
    """Score, pitch and nodes of the lattice in one block, if upright and level gaps agree with each other."""
    upright = _comb(block)
    level = _comb(np.ascontiguousarray(block.T))
    score = min(upright.score, level.score)
    if score < _LEAST_SCORE / 2 or not 0.8 < upright.pitch / level.pitch < 1.25:
        return None
    if abs(upright.lean + level.lean) > np.radians(2.0):
        return None
    return score, (upright.pitch + level.pitch) / 2, _crossings(upright, level)


def _comb(block: White) -> _Comb:
    """The upright gaps that repeat most clearly in a block."""
    profiles = [_leaning(block, lean) for lean in _LEANS]
    sharp = [float(np.square(np.diff(profile)).sum()) for profile in profiles]
    best = int(np.argmax(sharp))
    return _best_comb(profiles[best], float(_LEANS[best]))


def _leaning(block: White, lean: float) -> NDArray[np.float64]:
    """Mean whiteness along lines through the block's middle row that lean by ``lean``: one value a column."""
    shift = np.tan(lean)
    matrix = np.array([[1.0, shift, -shift * (_BLOCK - 1) / 2], [0.0, 1.0, 0.0]])
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    leaned = cv2.warpAffine(block, matrix, (_BLOCK, _BLOCK), flags=flags, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(np.asarray(leaned, np.float64).mean(axis=0), np.float64)


def _best_comb(profile: NDArray[np.float64], lean: float) -> _Comb:
    """Pitch and first gap whose teeth are whitest against both their flanks."""
    x = np.arange(_BLOCK, dtype=np.float64)
    best = _Comb(0.0, _PITCHES[0], 0.0, lean)
    for pitch in _PITCHES:
        contrast = _tooth_contrast(profile, x, float(pitch))
        phases = np.arange(0, pitch, 0.5)
        teeth = phases[:, np.newaxis] + pitch * np.arange(int(_BLOCK / pitch) - 1)
        scores = np.interp(teeth, x, contrast).mean(axis=1)
        top = int(scores.argmax())
        if scores[top] > best.score:
            best = _Comb(float(scores[top]), float(pitch), float(phases[top]), lean)
    return best


def _tooth_contrast(
    profile: NDArray[np.float64], x: NDArray[np.float64], pitch: float
) -> NDArray[np.float64]:
    """How much whiter each place of a profile is than the whiter of its two flanks."""

    def flank(side: int) -> NDArray[np.float64]:
        return np.asarray(
            np.min([np.interp(x + side * share * pitch, x, profile) for share in (0.08, 0.12, 0.16)], axis=0)
        )

    return np.asarray(profile - np.maximum(flank(-1), flank(1)))


def _crossings(upright: _Comb, level: _Comb) -> Nodes:
    """Where the middle 7 x 7 gaps cross: x moves with y along upright gaps, y with x along level ones."""
    middle = (_BLOCK - 1) / 2
    columns, rows = (
        comb.first
        + comb.pitch * (round((middle - comb.first) / comb.pitch - _SQUARES / 2) + np.arange(_SQUARES + 1))
        for comb in (upright, level)
    )
    across, down = np.tan(upright.lean), np.tan(level.lean)
    x0, y0 = np.meshgrid(columns, rows)
    # x = x0 + across * (y - middle) and y = y0 + down * (x - middle), solved for both.
    share = 1 - across * down
    x = (x0 + across * (y0 - middle) - across * down * middle) / share
    y = y0 + down * (x - middle)
    return np.stack([x, y], axis=2)
