"""Measure how surely two groups of squares show two signs, allowing for shift, blur and faint ink."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.cleaning import SIDE
from stitchview.sheets.describing import INSET
from stitchview.sheets.nearness import Labels, Numbers, grouped

FACE = SIDE - 2 * INSET
"""Pixels a side of a face: a cut-out without the edges where grid lines were, a little softened."""

_SOFTENED = 0.8
_EDGE = 4
_AT_ONCE = 4000
_MAY_VARY = np.array([0.6, 0.6, 0.25, 0.05, 0.3], np.float32)
"""How much a printed square usually varies: pixels right and down, share of ink, shade, and blur."""


@dataclass(frozen=True)
class Faces:
    """What piles look like: ``means`` (K, FACE * FACE) of their squares' faces, ``counts`` (K,).

    ``grain`` is the variance of one pixel of one square, what may vary left out.
    """

    means: Numbers
    counts: Labels
    grain: float

    def ways(self, pile: int) -> Numbers:
        """How a face of this pile may vary without being another sign: see ``ways_to_vary``."""
        return ways_to_vary(self.means[pile])


def softened(cutouts: Numbers) -> Numbers:
    """The faces (N, FACE * FACE) of cut-outs (N, SIDE, SIDE)."""
    parts = np.array_split(cutouts, len(cutouts) // _AT_ONCE + 1)
    return np.concatenate([_softened(part) for part in parts])


def _softened(cutouts: Numbers) -> Numbers:
    tall = np.ascontiguousarray(cutouts.reshape(-1, SIDE))
    across = cv2.GaussianBlur(tall, (5, 1), _SOFTENED, sigmaY=1e-6).reshape(-1, SIDE, SIDE)
    turned = np.ascontiguousarray(across.transpose(0, 2, 1)).reshape(-1, SIDE)
    both = cv2.GaussianBlur(turned, (5, 1), _SOFTENED, sigmaY=1e-6).reshape(-1, SIDE, SIDE)
    inner = both.transpose(0, 2, 1)[:, INSET:-INSET, INSET:-INSET]
    return np.ascontiguousarray(inner, np.float32).reshape(len(cutouts), -1)


def ways_to_vary(face: Numbers) -> Numbers:
    """How a face may vary: moved right, moved down, more ink, more shade, more blur; one usual step each."""
    picture = face.reshape(FACE, FACE)
    down, right = np.gradient(picture)
    blurred = cv2.Laplacian(picture, cv2.CV_32F, borderType=cv2.BORDER_REFLECT)
    ways = np.stack([right, down, picture, np.ones_like(picture), blurred]).reshape(5, -1)
    return np.asarray(ways * _MAY_VARY[:, None], np.float32)


def faces_of(faces: Numbers, piles: Labels, count: int, clear: NDArray[np.bool_]) -> Faces:
    """What ``count`` piles look like, from their clear squares; from all where a pile has no clear ones."""
    means = np.zeros((count, faces.shape[1]), np.float32)
    used = clear | ~np.isin(piles, np.unique(piles[clear]))
    groups = grouped(faces[used], piles[used])
    present = np.unique(piles[used])
    means[present] = groups.means
    rest = (faces - means[piles])[clear]
    grain = float(np.median((rest * rest).mean(axis=1))) if len(rest) else 0.0
    return Faces(means, np.bincount(piles, minlength=count), max(grain, 1e-5))


def unlike_faces(faces: Numbers, looks: Faces) -> Numbers:
    """How unlike each square (N, K) is to each pile, a pixel, in grains, at its best shift, ink and blur.

    The sum of what is left and of what was allowed for, as in ridge regression: a shift of a whole pixel is
    no free gift.
    """
    unlike = np.empty((len(faces), len(looks.means)), np.float32)
    whole = (faces * faces).sum(axis=1)
    for pile, mean in enumerate(looks.means):
        ways = looks.ways(pile)
        turn = _allowing(ways, looks.grain)
        explained = (faces - mean) @ turn.T
        rest = whole - 2 * (faces @ mean) + mean @ mean
        unlike[:, pile] = rest - (explained * explained).sum(axis=1)
    return np.asarray(np.maximum(unlike, 0) / (looks.grain * faces.shape[1]), np.float32)


def _allowing(ways: Numbers, grain: float) -> Numbers:
    """A matrix (5, D): the squared length of its product with a rest is how much the ways explain of it."""
    normal = ways @ ways.T + np.eye(len(ways), dtype=np.float32) * np.float32(grain)
    return np.asarray(np.linalg.solve(np.linalg.cholesky(normal), ways), np.float32)


@dataclass(frozen=True)
class Difference:
    """How two faces differ when shift, ink, shade and blur are allowed for, all in grains of one square.

    ``whole`` a pixel; ``missing`` the part where the first has less ink than the second, ``added`` where it
    has more; ``inside`` the whole of the middle part, where no line along the edge reaches; ``peak`` the
    largest difference of a spot of some three pixels across, in ink; ``alike`` the
    correlation of the two after allowing, measured by the one with more contrast.
    """

    whole: float
    missing: float
    added: float
    inside: float
    peak: float
    alike: float


def difference(one: Numbers, other: Numbers, grain: float) -> Difference:
    """How face ``one`` (FACE * FACE) differs from face ``other``."""
    ways = ways_to_vary(np.asarray((one + other) / 2, np.float32))
    rest = one - other
    # Two means differ by whole shifts more often than single squares do: twice the usual steps.
    normal = ways @ ways.T + np.eye(len(ways), dtype=np.float32) * np.float32(grain / 4)
    steps = np.clip(np.linalg.solve(normal, ways @ rest), -4, 4)
    rest = rest - steps @ ways
    spots = cv2.GaussianBlur(rest.reshape(FACE, FACE), (0, 0), 1.2)
    square = rest * rest / np.float32(grain)
    contrast = max(one.var(), other.var()) * len(rest)
    return Difference(
        whole=float(square.mean()),
        missing=float(square[rest < 0].sum() / len(rest)),
        added=float(square[rest > 0].sum() / len(rest)),
        inside=float(square.reshape(FACE, FACE)[_EDGE:-_EDGE, _EDGE:-_EDGE].mean()),
        peak=float(np.abs(spots).max()),
        alike=float(1 - rest @ rest / max(float(contrast), 1e-4)),
    )


def unexplained(faces: Numbers, ways: Numbers, grain: float) -> Numbers:
    """What is left of each face (n, D) beside the mean and the ways in which a sign may vary."""
    rest = faces - faces.mean(axis=0)
    normal = ways @ ways.T + np.eye(len(ways), dtype=np.float32) * np.float32(grain)
    return np.asarray(rest - (rest @ ways.T) @ np.linalg.solve(normal, ways), np.float32)


def standing_apart(rest: Numbers, part: NDArray[np.bool_]) -> float:
    """How far two parts stand apart along the line through both, in spreads, each square without itself."""
    count = np.array([(~part).sum(), part.sum()])
    if count.min() < 2:
        return 0.0
    means = rest[~part].mean(axis=0), rest[part].mean(axis=0)
    way = means[1] - means[0]
    length = float(np.sqrt(way @ way)) + 1e-9
    # A square pulls its own mean towards itself: take that share off.
    own = (rest * rest).sum(axis=1)
    along = rest @ (way / length)
    pulled = own / np.where(part, count[1], count[0]) / length
    along = np.where(part, along - pulled, along + pulled)
    spread = np.sqrt((along[part].var() * count[1] + along[~part].var() * count[0]) / count.sum())
    return float((along[part].mean() - along[~part].mean()) / (spread + 1e-9))
