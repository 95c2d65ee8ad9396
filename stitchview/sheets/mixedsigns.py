"""Look inside each pile for squares of another sign: the pile may be two signs that look alike."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.likesigns import Difference, Faces, difference, standing_apart, unexplained
from stitchview.sheets.nearness import Labels, Numbers

_LEAST = 6
_AXES = 4
_TURNS = 6
_MOST_PARTS = 4


@dataclass(frozen=True)
class Part:
    """Squares (``members``, places in N) that may be another sign than the rest of pile ``pile``.

    ``between`` is how the part differs from the rest, ``gap`` how far apart the two stand on the line through
    both, in spreads of the squares along it; ``rest`` is how many squares the pile has without the part.
    """

    pile: int
    members: Labels
    rest: int
    between: Difference
    gap: float


PART_NUMBERS = (
    "size of the part",
    "size of the rest",
    "gap between the two",
    "unlike the rest",
    "ink it lacks beside the rest",
    "ink it has beyond the rest",
    "its darkest difference",
    "grain of the sheet",
)
"""What ``part_numbers`` tells of a part, each a logarithm."""


def part_numbers(parts: list[Part], grain: float) -> Numbers:
    """What speaks about each part being another sign, (n, 8): see ``PART_NUMBERS``."""
    rows = [
        (
            len(part.members),
            part.rest + 1,
            max(part.gap, 0.1),
            part.between.whole + 0.05,
            part.between.missing + 0.02,
            part.between.added + 0.02,
            part.between.peak + 0.003,
            grain,
        )
        for part in parts
    ]
    return np.log(np.array(rows, np.float32).reshape(-1, len(PART_NUMBERS)))


def parts_of(faces: Numbers, piles: Labels, clear: NDArray[np.bool_], looks: Faces) -> list[Part]:
    """For every pile the likeliest parts that stand off from the rest, likely another sign or not."""
    parts: list[Part] = []
    for pile in range(len(looks.means)):
        members = np.flatnonzero((piles == pile) & clear)
        if len(members) >= _LEAST:
            parts += _parts(faces, members, pile, looks)
    return parts


def _parts(faces: Numbers, members: Labels, pile: int, looks: Faces) -> list[Part]:
    """Part the squares in two, then the larger part again, while it stays worth looking."""
    found: list[Part] = []
    left = members
    while len(left) >= _LEAST and len(found) < _MOST_PARTS:
        rest = unexplained(faces[left], looks.ways(pile), looks.grain)
        smaller = _halved(rest)
        if not smaller.any():
            break
        between = difference(
            faces[left[smaller]].mean(axis=0), faces[left[~smaller]].mean(axis=0), looks.grain
        )
        found.append(Part(pile, left[smaller], int((~smaller).sum()), between, standing_apart(rest, smaller)))
        left = left[~smaller]
    return found


def _halved(rest: Numbers) -> NDArray[np.bool_]:
    """The smaller of the two parts (n,) that differ most: along each of a few main axes, then by 2-means."""
    best, marked = -1.0, np.zeros(len(rest), np.bool_)
    for axis in _main_axes(rest).T:
        along = rest @ axis
        part = _refined(rest, along > _widest_step(along))
        gap = standing_apart(rest, part)
        if gap > best:
            best, marked = gap, part
    return marked if 2 * marked.sum() <= len(marked) else ~marked


def _main_axes(rest: Numbers) -> Numbers:
    """The axes (D, few) along which the squares vary most, by block power iteration."""
    random = np.random.default_rng(3)
    axes = random.standard_normal((rest.shape[1], min(_AXES, len(rest)))).astype(np.float32)
    for _ in range(_TURNS):
        axes = np.linalg.qr(rest.T @ (rest @ axes))[0].astype(np.float32)
    _powers, turn = np.linalg.eigh((rest @ axes).T @ (rest @ axes))
    return np.asarray(axes @ turn[:, ::-1], np.float32)


def _widest_step(along: Numbers) -> float:
    """Where to part numbers in two so that the two halves vary least (Otsu's threshold)."""
    ordered = np.sort(along).astype(np.float64)
    count = np.arange(1, len(ordered))
    low = np.cumsum(ordered)[:-1]
    between = (low / count - (ordered.sum() - low) / (len(ordered) - count)) ** 2
    between *= count * (len(ordered) - count)
    at = int(between.argmax())
    return float((ordered[at] + ordered[at + 1]) / 2)


def _refined(rest: Numbers, part: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """The part after a few rounds of going to the nearer mean."""
    for _ in range(3):
        if not 0 < part.sum() < len(part):
            return part
        here, there = rest[part].mean(axis=0), rest[~part].mean(axis=0)
        part = rest @ (here - there) > (here @ here - there @ there) / 2
    return part
