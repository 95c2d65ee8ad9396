"""Grow a lattice from one place over the whole chart, measuring every third node by its surroundings."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.ruledforeseeing import Board, foreseen
from stitchview.sheets.ruledpatches import FAINT, Patches, measured, strength_of

STEP = 3
_SPARSE = 0.25
_WEAK = 0.2
_NOTHING = 0.25
_FURTHEST = 400
_BESIDE = 4
_SURENESS = (1.2, FAINT, 0.8, 0.6)
_SIDES = np.array([(1, 0), (-1, 0), (0, 1), (0, -1)])


@dataclass(frozen=True)
class Mesh:
    """Local lattices at every third node: arrays (rows, columns, ...), NaN where nothing was found.

    Mesh point (row, column) stands for node ``(first[1] + row) * STEP``, ``(first[0] + column) * STEP``
    counted from the seed. ``place`` and ``basis`` are as in `Patches`; ``sure`` (rows, columns) is the
    weaker of the two directions. ``torn`` is the share of neighbours that contradict each other, ``faint``
    the share of points whose lines are hardly seen.
    """

    first: tuple[int, int]
    place: NDArray[np.float64]
    basis: NDArray[np.float64]
    sure: NDArray[np.float64]
    torn: float
    faint: float = 0.0

    @property
    def found(self) -> NDArray[np.bool_]:
        """Which mesh points were found in the picture."""
        return np.asarray(np.isfinite(self.place[..., 0]))


def grown(darkness: NDArray[np.uint8], place: NDArray[np.float64], basis: NDArray[np.float64]) -> Mesh:
    """The lattice that goes on from ``place``; waves of neighbours, each predicted by those found before."""
    field = _Field(darkness)
    field.begin(place, basis)
    for least in _SURENESS:
        field.begin_again(least)
        while field.grow():
            pass
    return field.mesh()


class _Field:
    """Mesh points found so far, on a square board large enough for any chart, the seed in the middle."""

    def __init__(self, darkness: NDArray[np.uint8]) -> None:
        side = 2 * _FURTHEST + 1
        self._darkness = darkness
        self._place = np.full((side, side, 2), np.nan)
        self._basis = np.full((side, side, 2, 2), np.nan)
        self._sure = np.zeros((side, side))
        self._tries = np.zeros((side, side), np.int8)
        self._wave = np.empty((0, 2), np.intp)
        self._floor = 0.0
        self._least = FAINT
        self._faint = 0

    def begin(self, place: NDArray[np.float64], basis: NDArray[np.float64]) -> None:
        """Take the seed as found."""
        self._floor = _NOTHING * strength_of(self._darkness, place[None], basis[None])
        middle = np.array([[_FURTHEST, _FURTHEST]])
        self._take(middle, Patches(place[None], basis[None], np.ones((1, 2)), np.ones((1, 2))))

    def begin_again(self, least: float) -> None:
        """Look anew around all that was found, taking lines that are at least so sure.

        What clear lines tell from around a faint place is worth more than what faint ones tell beside it.
        """
        self._least = least
        self._tries[:] = 0
        rows, columns = np.nonzero(np.isfinite(self._place[..., 0]))
        self._wave = np.stack([columns, rows], axis=1)

    def grow(self) -> bool:
        """Measure the neighbours of the last wave; False when none was found."""
        spots = self._neighbours()
        if not len(spots):
            return False
        place, basis = self._predicted(spots)
        inside = self._inside(place)
        self._tries[spots[:, 1], spots[:, 0]] += 1
        spots, place, basis = spots[inside], place[inside], basis[inside]
        if not len(spots):
            return False
        looked = measured(self._darkness, place, basis, self._floor)
        good = _believable(looked, place, basis, self._least)
        self._take(spots[good], looked.of(good))
        self._faint += int(good.sum()) if self._least < FAINT else 0
        return bool(good.any())

    def mesh(self) -> Mesh:
        """What was found, cut to its bounds."""
        rows, columns = np.nonzero(np.isfinite(self._place[..., 0]))
        top, bottom, left, right = rows.min(), rows.max() + 1, columns.min(), columns.max() + 1
        place, basis = self._place[top:bottom, left:right], self._basis[top:bottom, left:right]
        return Mesh(
            (int(left) - _FURTHEST, int(top) - _FURTHEST),
            place,
            basis,
            self._sure[top:bottom, left:right],
            _torn(place, basis),
            self._faint / len(rows),
        )

    def _take(self, spots: NDArray[np.intp], looked: Patches) -> None:
        columns, rows = spots[:, 0], spots[:, 1]
        self._place[rows, columns] = looked.place
        self._basis[rows, columns] = looked.basis
        self._sure[rows, columns] = _weights(looked)
        self._wave = spots

    def _neighbours(self) -> NDArray[np.intp]:
        """Points beside the last wave that were not found yet and not tried too often."""
        around = (self._wave[:, None, :] + _SIDES[None]).reshape(-1, 2)
        around = np.unique(around, axis=0)
        inside = ((around > 0) & (around < 2 * _FURTHEST)).all(axis=1)
        around = around[inside]
        open_ = np.isnan(self._place[around[:, 1], around[:, 0], 0])
        return np.asarray(around[open_ & (self._tries[around[:, 1], around[:, 0]] < 3)])

    def _predicted(
        self, spots: NDArray[np.intp], reach: int = _BESIDE, spread: float = 1.5
    ) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Place and steps of each spot, as the points found around expect them, the surer the heavier."""
        place, steps = foreseen(Board(self._place, self._basis * STEP, self._sure), spots, reach, spread)
        return place, steps / STEP

    def _inside(self, place: NDArray[np.float64]) -> NDArray[np.bool_]:
        high, wide = self._darkness.shape
        return np.asarray(((place >= 0) & (place <= (wide - 1, high - 1))).all(axis=1))


def _weights(looked: Patches) -> NDArray[np.float64]:
    """How much a measured point counts for its neighbours: clear lines fully, faint ones little."""
    return np.where(looked.sure.min(axis=1) >= FAINT, np.clip(looked.sure.min(axis=1) / 2, 0.4, 1), _WEAK)


def _believable(
    looked: Patches, place: NDArray[np.float64], basis: NDArray[np.float64], least: float
) -> NDArray[np.bool_]:
    """Lines both ways at ``least`` so sure, or symbols that keep clear of them; not far off."""
    size = np.linalg.norm(basis, axis=2)
    moved = np.linalg.norm(looked.place - place, axis=1) / size.mean(axis=1)
    grew = np.linalg.norm(looked.basis, axis=2) / size
    steady = (moved < 0.4) & (np.abs(np.log(grew)) < 0.12).all(axis=1)
    clear = looked.sure >= least
    kept = clear if least > FAINT else clear | (looked.sparse > _SPARSE)
    near = moved < np.where((looked.sure >= max(least, FAINT)).all(axis=1), 0.4, 0.2)
    return np.asarray(steady & kept.all(axis=1) & near)


def _torn(place: NDArray[np.float64], basis: NDArray[np.float64]) -> float:
    """The share of neighbours that lie more than a quarter of a square from where the other expects them."""
    misses = []
    for axis, step in ((1, 0), (0, 1)):
        count = place.shape[axis] - 1
        near, far = (np.take(place, range(first, first + count), axis) for first in (0, 1))
        steps = np.take(basis, range(count), axis)[..., step, :]
        miss = np.linalg.norm(far - near - STEP * steps, axis=-1) / np.linalg.norm(steps, axis=-1)
        misses.append(miss[np.isfinite(miss)])
    every = np.concatenate(misses)
    return float((every > 0.5).mean()) if len(every) else 0.0
