"""Find where in a picture a pattern of squares repeats, and by which two steps, before anything is known."""

from dataclasses import dataclass
from operator import attrgetter

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.ruledpatches import measured

_WINDOW = 384
_LEAST_STEP = 6.0
_MOST_STEP = _WINDOW / 5
_EASY = 16.0
_SURE = 1.5
_MOST_TURN = np.radians(50)


@dataclass(frozen=True)
class Seed:
    """A first local lattice: a node's pixel (2,), the steps right and down (2, 2), and how sure it is."""

    place: NDArray[np.float64]
    basis: NDArray[np.float64]
    sure: float

    @property
    def size(self) -> float:
        """Pixels a square."""
        return float(np.linalg.norm(self.basis, axis=1).mean())


def darkness_of(grey: NDArray[np.uint8], reach: float) -> NDArray[np.uint8]:
    """How much darker than the paper around it each pixel is, 0 to 255, whatever the light.

    The paper is the brightest within ``reach`` pixels, smoothed; ink and lines must be narrower than that.
    """
    shrink = max(1, int(reach / 6))
    small = cv2.resize(grey, None, fx=1 / shrink, fy=1 / shrink, interpolation=cv2.INTER_AREA)
    side = 2 * max(1, round(reach / shrink / 2)) + 1
    paper = cv2.dilate(small, np.ones((side, side), np.uint8))
    paper = cv2.blur(paper, (side, side))
    paper = np.maximum(cv2.resize(paper, grey.shape[::-1], interpolation=cv2.INTER_LINEAR), 8)
    return np.asarray(255 - np.minimum(cv2.divide(grey, paper, scale=255), 255), np.uint8)


def seeds(grey: NDArray[np.uint8], most: int = 36, enough: int = 3) -> list[Seed]:
    """Local lattices from windows all over the picture, the surest first; empty where nothing repeats.

    Those of one size of square and one direction are kept, as most windows have it. The search goes from
    the middle outwards and ends when ``enough`` sure ones agree.
    """
    found: list[Seed] = []
    darkness = darkness_of(grey, 48)
    for top, left in _window_places(grey.shape, most):
        seed = _seed(darkness, top, left)
        if seed is not None:
            found.append(seed)
        if sum(one.sure > _SURE for one in _agreeing(found)) >= enough:
            break
    return _agreeing(found)


def _agreeing(found: list[Seed]) -> list[Seed]:
    """The seeds of the heaviest group with about the same steps, the surest first."""
    groups = [[one for one in found if _alike(one.basis, middle.basis)] for middle in found]
    best = max(groups, key=_weight, default=[])
    return sorted(best, key=attrgetter("sure"), reverse=True)


def _weight(group: list[Seed]) -> float:
    return sum(seed.sure for seed in group)


def _alike(one: NDArray[np.float64], other: NDArray[np.float64]) -> bool:
    """Whether two lattices differ by no more than perspective and a curl of the paper may do."""
    return bool(np.linalg.norm(one - other) < 0.35 * np.linalg.norm(other))


def _window_places(shape: tuple[int, ...], most: int) -> list[tuple[int, int]]:
    """Top left corners of about ``most`` windows spread over the picture."""
    high, wide = max(shape[0] - _WINDOW, 0), max(shape[1] - _WINDOW, 0)
    across = int(np.clip(round(np.sqrt(most * (wide + 1) / (high + 1))), 1, most))
    down = max(1, most // across)
    tops = np.linspace(high * 0.5 / down, high * (1 - 0.5 / down), down).astype(int)
    lefts = np.linspace(wide * 0.5 / across, wide * (1 - 0.5 / across), across).astype(int)
    places = [(int(top), int(left)) for top in tops for left in lefts]
    return sorted(places, key=lambda place: (place[0] - high / 2) ** 2 + (place[1] - wide / 2) ** 2)


def _seed(darkness: NDArray[np.uint8], top: int, left: int) -> Seed | None:
    window = darkness[top : top + _WINDOW, left : left + _WINDOW]
    if min(window.shape) < 96 or window.std() < 4:
        return None
    steps = _candidate_steps(_echo(window))
    if not len(steps):
        return None
    middle = np.array([left + window.shape[1] / 2, top + window.shape[0] / 2])
    return _best_of(darkness, middle, steps)


def _echo(window: NDArray[np.uint8]) -> NDArray[np.float32]:
    """The autocorrelation of a window, zero shift in the middle, 1 at most."""
    flat = window.astype(np.float32)
    flat = np.minimum(flat, np.percentile(flat, 95))
    flat = flat - cv2.blur(flat, (63, 63))
    hann = cv2.createHanningWindow((window.shape[1], window.shape[0]), cv2.CV_32F)
    size = (2 * _WINDOW, 2 * _WINDOW)
    power = np.abs(np.fft.rfft2(flat * hann, size)) ** 2
    echo = np.fft.fftshift(np.fft.irfft2(power, size))
    weight = np.abs(np.fft.rfft2(hann, size)) ** 2
    fair = np.fft.fftshift(np.fft.irfft2(weight, size))
    echo = echo / np.maximum(fair, fair.max() * 0.05)
    most = float(echo.max())
    # A window of one tone has no echo at all.
    return np.asarray(echo / most if most > 0 else echo, np.float32)


def _candidate_steps(echo: NDArray[np.float32]) -> NDArray[np.float64]:
    """(M, 2, 2) pairs of steps, right and down, along which the window repeats, the likeliest first."""
    middle = _WINDOW
    reach = int(_MOST_STEP * 1.5)
    near = echo[middle - reach : middle + reach + 1, middle - reach : middle + reach + 1]
    peaks = (near >= cv2.dilate(near, np.ones((5, 5), np.uint8))) & (near > 0.02)
    rows, columns = np.nonzero(peaks)
    vectors = np.stack([columns - reach, rows - reach], 1).astype(np.float64)
    length = np.linalg.norm(vectors, axis=1)
    turn = np.arctan2(vectors[:, 1], vectors[:, 0])
    fits = (length >= _LEAST_STEP) & (length <= _MOST_STEP)
    right = vectors[fits & (np.abs(turn) <= _MOST_TURN)]
    down = vectors[fits & (np.abs(turn - np.pi / 2) <= _MOST_TURN)]
    return _pairs(near, right, down, reach)


def _pairs(
    near: NDArray[np.float32], right: NDArray[np.float64], down: NDArray[np.float64], reach: int
) -> NDArray[np.float64]:
    """Pairs of nearly equal, nearly square steps, by how well both and their sum repeat."""
    if not len(right) or not len(down):
        return np.empty((0, 2, 2))
    one, other = (grid.ravel() for grid in np.meshgrid(np.arange(len(right)), np.arange(len(down))))
    a, b = right[one], down[other]
    long_a, long_b = np.linalg.norm(a, axis=1), np.linalg.norm(b, axis=1)
    cosine = np.abs((a * b).sum(axis=1)) / (long_a * long_b)
    fits = (np.maximum(long_a, long_b) <= 1.4 * np.minimum(long_a, long_b)) & (cosine < 0.3)
    a, b = a[fits], b[fits]
    value = np.minimum(_at(near, a, reach), _at(near, b, reach)) + 0.5 * _at(near, a + b, reach)
    # Shorter steps are preferred a little: a lattice repeats by every multiple of its steps as well.
    value = value / np.sqrt(np.linalg.norm(a, axis=1) * np.linalg.norm(b, axis=1)) ** 0.5
    order = np.argsort(-value)[:8]
    return without_diagonals(np.stack([a[order], b[order]], 1))


def without_diagonals(steps: NDArray[np.float64]) -> NDArray[np.float64]:
    """The pairs but those that are the diagonals of squares which a likelier pair spans.

    Crossings of a faint grid lie on diagonals as well, without a stroke between them, and look surer there.
    """
    kept: list[NDArray[np.float64]] = []
    for pair in steps:
        halves = np.stack([pair[0] - pair[1], pair[0] + pair[1]]) / 2
        if not any(
            _alike(turned, other) for other in kept for turned in (halves, halves[::-1] * [[1], [-1]])
        ):
            kept.append(pair)
    return np.array(kept).reshape(-1, 2, 2)


def _at(near: NDArray[np.float32], vectors: NDArray[np.float64], reach: int) -> NDArray[np.float64]:
    index = np.clip(np.rint(vectors).astype(np.intp) + reach, 0, near.shape[0] - 1)
    return near[index[:, 1], index[:, 0]].astype(np.float64)


def _best_of(
    darkness: NDArray[np.uint8], middle: NDArray[np.float64], steps: NDArray[np.float64]
) -> Seed | None:
    """The candidate whose lines are most surely lines; tried at nine offsets within a square each."""
    best: Seed | None = None
    for rank, pair in enumerate(steps):
        shrink = min(1.0, _EASY / float(np.linalg.norm(pair, axis=1).mean()))
        part, corner = _surroundings(darkness, middle, pair, shrink)
        seed = _tried(part, (middle - corner + 0.5) * shrink - 0.5, pair * shrink)
        # The window's strongest echo is nearly always right; steps askew hit strokes of symbols.
        sure = seed.sure / (1 + 0.5 * min(rank, 2))
        if best is None or sure > best.sure:
            place = (seed.place + 0.5) / shrink - 0.5 + corner
            best = Seed(place, seed.basis / shrink, sure)
        if best.sure > 2 * _SURE:
            break
    return best if best is not None and best.sure > 1 else None


def _surroundings(
    darkness: NDArray[np.uint8], middle: NDArray[np.float64], pair: NDArray[np.float64], shrink: float
) -> tuple[NDArray[np.uint8], NDArray[np.float64]]:
    """The picture around ``middle``, made smaller, and the corner it was cut at."""
    reach = 7 * np.abs(pair).sum(axis=0).max()
    low = np.maximum(middle - reach, 0).astype(int)
    high = (middle + reach).astype(int)
    part = darkness[low[1] : high[1], low[0] : high[0]]
    if shrink < 1:
        part = np.asarray(
            cv2.resize(part, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA), np.uint8
        )
    return part, low.astype(np.float64)


def _tried(darkness: NDArray[np.uint8], middle: NDArray[np.float64], pair: NDArray[np.float64]) -> Seed:
    thirds = np.array([(u, v) for u in (-1 / 3, 0, 1 / 3) for v in (-1 / 3, 0, 1 / 3)])
    looked = measured(darkness, middle + thirds @ pair, np.repeat(pair[None], len(thirds), axis=0))
    looked = measured(darkness, looked.place, looked.basis)
    sure = looked.sure.min(axis=1) * np.exp(np.clip(looked.sparse.min(axis=1), -1, 1))
    best = int(sure.argmax())
    return Seed(looked.place[best], looked.basis[best], float(sure[best]))
