"""Two groups of squares are compared as an eye compares them: moved, pale or soft print is the same sign."""

import cv2
import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from stitchview.sheets.likesigns import (
    FACE,
    difference,
    faces_of,
    softened,
    standing_apart,
    unlike_faces,
)

GRAIN = 1e-4


def ring(radius: float = 6.0, right: float = 0.0, ink: float = 1.0) -> np.ndarray:
    """A ring on white paper, 24 x 24."""
    places = np.arange(24) - 11.5
    off = np.hypot(places[None] - right, places[:, None]) - radius
    return np.asarray(ink * np.clip(1.5 - np.abs(off), 0, 1), np.float32)


def box() -> np.ndarray:
    """A square of four strokes about as large as the ring."""
    picture = np.zeros((24, 24), np.float32)
    cv2.rectangle(picture, (6, 6), (17, 17), 1.0, 2)
    return picture


def face(picture: np.ndarray) -> np.ndarray:
    """The face of one picture."""
    return np.asarray(softened(picture[None])[0])


def test_softening_is_that_of_another_library() -> None:
    """A cut-out is softened as scipy softens it."""
    picture = ring()
    ours = softened(picture[None]).reshape(FACE, FACE)
    theirs = gaussian_filter(picture, 0.8, mode="nearest", radius=2)[2:-2, 2:-2]
    assert np.abs(ours - theirs).max() < 1e-4


@pytest.mark.parametrize("other", [ring(right=0.6), ring(ink=0.8), cv2.GaussianBlur(ring(), (0, 0), 0.7)])
def test_a_sign_printed_otherwise_is_the_same_sign(other: np.ndarray) -> None:
    """A ring moved by half a pixel, paler or softer differs far less from the ring than a box does."""
    same = difference(face(ring()), face(other), GRAIN)
    different = difference(face(ring()), face(box()), GRAIN)
    assert same.whole < different.whole / 20
    assert same.peak < different.peak / 3
    assert same.alike > 0.98


def test_ink_lacking_and_ink_added_are_told_apart() -> None:
    """A stroke over a sign adds ink and takes none away."""
    crossed = np.maximum(ring(), 0)
    crossed[:, 11:13] = 1
    found = difference(face(crossed), face(ring()), GRAIN)
    assert found.added > 5 * found.missing


def test_each_square_is_least_unlike_its_own_sign() -> None:
    """Grainy rings and boxes, each a little moved, are nearest to the pile of their sign."""
    random = np.random.default_rng(1)
    rings = [ring(right=random.normal(0, 0.4), ink=random.uniform(0.8, 1.1)) for _ in range(30)]
    cutouts = np.stack([*rings, *[box() for _ in range(30)]])
    cutouts += random.normal(0, 0.05, cutouts.shape).astype(np.float32)
    faces, piles = softened(cutouts), np.repeat([0, 1], 30)
    looks = faces_of(faces, piles, 3, np.ones(60, np.bool_))
    unlike = unlike_faces(faces, looks)[:, :2]
    assert (unlike.argmin(axis=1) == piles).all()
    assert looks.counts.tolist() == [30, 30, 0]


def test_two_heaps_stand_apart_and_halves_of_one_do_not() -> None:
    """Two heaps of numbers stand apart by their distance in spreads; two halves by chance stand together."""
    random = np.random.default_rng(2)
    heap = random.standard_normal((400, 10)).astype(np.float32)
    half = np.arange(400) < 200
    assert standing_apart(heap, half) < 1
    heap[half, 0] += 8
    assert standing_apart(heap, half) == pytest.approx(8, abs=0.6)
