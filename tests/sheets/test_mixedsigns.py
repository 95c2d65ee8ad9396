"""A pile that holds two signs is seen to hold two."""

import numpy as np
from sklearn.cluster import KMeans  # type: ignore[import-untyped]

from stitchview.sheets.likesigns import faces_of, softened
from stitchview.sheets.mixedsigns import PART_NUMBERS, part_numbers, parts_of
from tests.sheets.test_likesigns import box, ring


def grainy(signs: list[np.ndarray], seed: int) -> np.ndarray:
    """The faces of signs in a grainy picture."""
    random = np.random.default_rng(seed)
    cutouts = np.stack(signs)
    return softened(cutouts + random.normal(0, 0.06, cutouts.shape).astype(np.float32))


def test_the_squares_of_another_sign_are_one_part() -> None:
    """Twelve boxes among forty rings are found as one part, the very squares another library finds."""
    faces = grainy([ring()] * 40 + [box()] * 12, 3)
    piles, clear = np.zeros(52, np.intp), np.ones(52, np.bool_)
    parts = parts_of(faces, piles, clear, faces_of(faces, piles, 1, clear))
    assert parts[0].members.tolist() == list(range(40, 52))
    assert parts[0].gap > 8
    theirs = KMeans(2, n_init=3, random_state=0).fit_predict(faces)
    assert set(np.flatnonzero(theirs == theirs[-1]).tolist()) == set(parts[0].members.tolist())


def test_rings_that_only_lie_elsewhere_are_no_other_sign() -> None:
    """Rings a little moved and paler stand far less apart than rings and boxes."""
    random = np.random.default_rng(4)
    rings = [ring(right=random.normal(0, 0.5), ink=random.uniform(0.85, 1.05)) for _ in range(50)]
    piles, clear = np.zeros(50, np.intp), np.ones(50, np.bool_)
    faces = grainy(rings, 5)
    looks = faces_of(faces, piles, 1, clear)
    mixed = grainy([ring()] * 40 + [box()] * 10, 6)
    moved, other = parts_of(faces, piles, clear, looks), parts_of(mixed, piles, clear, looks)
    assert max(part.between.whole for part in moved) < other[0].between.whole / 5
    numbers = part_numbers(moved, looks.grain)
    assert numbers.shape == (len(moved), len(PART_NUMBERS))
    assert np.isfinite(numbers).all()


def test_tiny_piles_are_not_parted() -> None:
    """Of five squares nothing can be told."""
    faces = grainy([ring()] * 3 + [box()] * 2, 7)
    piles, clear = np.zeros(5, np.intp), np.ones(5, np.bool_)
    looks = faces_of(faces, piles, 1, clear)
    assert parts_of(faces, piles, clear, looks) == []
    assert part_numbers([], looks.grain).shape == (0, len(PART_NUMBERS))
