"""Ask several looks that know nothing of each other which pile each square belongs to."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.likesigns import Faces, unlike_faces
from stitchview.sheets.nearness import Labels, Numbers, squared_distances

_NEIGHBOURS = 6
_SAMPLED = 40
_AROUND = 2.0
_SMALL_LEAD = np.float32(3)

SQUARE_NUMBERS = (
    "lead of its own pile, face",
    "lead of its own pile, discriminant",
    "lead of its own pile, as sorted",
    "share of its nearest squares in its own pile",
    "unlike its own pile, face",
    "unlike its own pile, discriminant",
    "how unlike the squares around are to theirs",
    "looks that name another pile",
    "no look names another pile",
    "size of its pile",
    "grain of the sheet",
    "how far another pile leads, face",
    "how small the lead is, as sorted",
)
"""What the columns of ``SquareWitness.numbers`` are: leads and likenesses as logarithms."""


@dataclass(frozen=True)
class Told:
    """What the sorting itself holds: the discriminant's ``numbers`` (N, D) and ``means`` (K, D), the final
    ``lead`` (N,) of the best pile and ``clear`` (N,), False where a second look decided."""

    numbers: Numbers
    means: Numbers
    lead: Numbers
    clear: NDArray[np.bool_]


def square_witness(
    faces: Numbers, piles: Labels, looks: Faces, told: Told, shapes: tuple[tuple[int, int], ...]
) -> Numbers:
    """What speaks about each square, (N, 13), see ``SQUARE_NUMBERS``.

    ``faces`` (N, D) and ``piles`` (N,) are those of all sheets, of ``shapes``, one after another.
    """
    rows = np.arange(len(piles))
    present = looks.counts > 0
    by_face = np.where(present, unlike_faces(faces, looks), np.float32(np.inf))
    by_numbers = np.where(present, squared_distances(told.numbers, told.means), np.float32(np.inf))
    leads = [_lead(unlike, piles, looks.counts) for unlike in (by_face, by_numbers)]
    share, voted = _neighbours(told, piles)
    misfit = np.log(by_face[rows, piles] + 0.05)
    far = by_numbers[rows, piles] / told.numbers.shape[1]
    against = (leads[0] < 0).astype(np.float32) + (leads[1] < 0) + (voted != piles)
    sorted_lead = np.log1p(np.minimum(np.maximum(told.lead, 0), np.float32(1e6)))
    numbers = np.stack(
        [
            _signed_log(_signed_root(leads[0] * 4)),
            _signed_log(_signed_root(leads[1] * np.float32(0.125)) * 0.3),
            sorted_lead,
            share,
            misfit,
            np.log(far + 0.05),
            _around(misfit, shapes),
            against,
            against == 0,
            np.log(looks.counts[piles]),
            np.full(len(piles), np.log(looks.grain)),
            np.minimum(_signed_root(leads[0] * 4), 0),
            np.minimum(sorted_lead - _SMALL_LEAD, 0),
        ],
        axis=1,
    )
    return np.asarray(numbers, np.float32)


def _lead(unlike: Numbers, piles: Labels, counts: Labels) -> Numbers:
    """How much more unlike the next pile is than the own one (negative if nearer)."""
    rows = np.arange(len(piles))
    size = np.maximum(counts[piles], 2).astype(np.float32)
    own = unlike[rows, piles] * (size / (size - 1)) ** 2
    rest = unlike.copy()
    rest[rows, piles] = np.inf
    return np.asarray(np.minimum(rest.min(axis=1) - own, 1e4), np.float32)


def _signed_root(numbers: Numbers) -> Numbers:
    """The root with the sign kept."""
    return np.asarray(np.sign(numbers) * np.sqrt(np.abs(numbers)), np.float32)


def _signed_log(numbers: Numbers) -> Numbers:
    """The logarithm of the size beyond 1 with the sign kept: large leads all mean much the same."""
    return np.asarray(np.sign(numbers) * np.log1p(np.abs(numbers)), np.float32)


def _neighbours(told: Told, piles: Labels) -> tuple[Numbers, Labels]:
    """The share of each square's nearest squares in its own pile, and the pile most of them are in.

    Of a large pile a sample is asked, so that it does not win by its size alone.
    """
    random = np.random.default_rng(11)
    order = random.permutation(len(piles))
    order = order[np.argsort(piles[order], kind="stable")]
    counts = np.bincount(piles)
    place = np.arange(len(piles)) - np.repeat(np.cumsum(counts) - counts, counts)
    asked = order[place < _SAMPLED]
    share = np.empty(len(piles), np.float32)
    voted = np.empty(len(piles), np.intp)
    for part in np.array_split(np.arange(len(piles)), len(piles) // 4000 + 1):
        apart = squared_distances(told.numbers[part], told.numbers[asked])
        apart[part[:, None] == asked] = np.inf
        few = min(_NEIGHBOURS, len(asked) - 1)
        near = piles[asked[np.argpartition(apart, few, axis=1)[:, :few]]] if few else piles[part][:, None]
        share[part] = (near == piles[part][:, None]).mean(axis=1)
        same = (near[:, :, None] == near[:, None, :]).sum(axis=2)
        voted[part] = near[np.arange(len(part)), same.argmax(axis=1)]
    return share, voted


def _around(misfit: Numbers, shapes: tuple[tuple[int, int], ...]) -> Numbers:
    """The usual misfit of the squares around each, itself left out: high in a shadow, a fold, a blur."""
    parts, first = [], 0
    middle = np.zeros((9, 9), np.float32)
    middle[4, 4] = 1
    around = cv2.GaussianBlur(middle, (9, 9), _AROUND, borderType=cv2.BORDER_CONSTANT)
    around[4, 4] = 0
    kernel = around / around.sum()
    for rows, columns in shapes:
        sheet = misfit[first : first + rows * columns].reshape(rows, columns)
        first += rows * columns
        parts.append(cv2.filter2D(np.minimum(sheet, 3), -1, kernel, borderType=cv2.BORDER_REFLECT).ravel())
    return np.concatenate(parts)
