"""Foresee from all points found around where a lattice goes on; the next one alone is a poor guide."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

_SLOPE_HELD = 0.5
_BENDS_HELD = 20.0
_AT_ONCE = 256


@dataclass(frozen=True)
class Board:
    """Points found so far: places (rows, columns, 2), steps (rows, columns, 2, 2) to the next, weights.

    ``weight`` (rows, columns) is 0 where nothing was found.
    """

    place: NDArray[np.float64]
    steps: NDArray[np.float64]
    weight: NDArray[np.float64]


def foreseen(
    board: Board, spots: NDArray[np.intp], reach: int, spread: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Places (N, 2) of the spots (N, 2: column, row) and the steps (N, 2, 2) to the next points.

    A gently bent surface is laid through the points at most ``reach`` away, those within about ``spread``
    counting most. Where these are few, their own steps tell how it goes on. NaN where there are none.
    """
    parts = [
        _foreseen(board, spots[first : first + _AT_ONCE], reach, spread)
        for first in range(0, len(spots), _AT_ONCE)
    ]
    if not parts:
        return np.empty((0, 2)), np.empty((0, 2, 2))
    return np.concatenate([place for place, _ in parts]), np.concatenate([steps for _, steps in parts])


def _foreseen(
    board: Board, spots: NDArray[np.intp], reach: int, spread: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    down, across = (way.ravel() for way in np.mgrid[-reach : reach + 1, -reach : reach + 1])
    high, wide = board.weight.shape
    rows, columns = spots[:, 1:] + down, spots[:, :1] + across
    on_board = (rows >= 0) & (rows < high) & (columns >= 0) & (columns < wide)
    rows, columns = np.where(on_board, rows, 0), np.where(on_board, columns, 0)
    weight = np.where(on_board, board.weight[rows, columns], 0)
    trust = weight**2 * np.exp(-0.5 * (across**2 + down**2) / spread**2)
    total = trust.sum(axis=1)
    trust /= np.where(total > 0, total, np.nan)[:, None]
    known = weight > 0
    place = np.where(known[..., None], board.place[rows, columns], 0)
    slope = np.einsum("nk,nkux->nux", trust, np.where(known[..., None, None], board.steps[rows, columns], 0))
    around = np.stack([across, down], axis=1).astype(np.float64)
    terms = np.stack([np.ones(len(across)), across, down, across**2, across * down, down**2], axis=1)
    left = place - np.einsum("ku,nux->nkx", around, slope)
    middle = np.einsum("nk,nkx->nx", trust, left)
    held = np.diag([1e-9, _SLOPE_HELD, _SLOPE_HELD, *[_BENDS_HELD] * 3])
    normal = np.einsum("nk,ki,kj->nij", trust, terms, terms, optimize=True) + held
    aim = np.einsum("nk,ki,nkx->nix", trust, terms, left - middle[:, None], optimize=True)
    found = np.full((len(spots), 6, 2), np.nan)
    some = total > 0
    found[some] = np.linalg.solve(normal[some], aim[some])
    return found[:, 0] + middle, found[:, 1:3] + slope


def nearby_gaps(found: NDArray[np.bool_], reach: int) -> NDArray[np.intp]:
    """(N, 2) columns and rows of points not found (rows, columns) within ``reach`` points of found ones."""
    around = cv2.dilate(found.astype(np.uint8), np.ones((2 * reach + 1, 2 * reach + 1), np.uint8)) > 0
    rows, columns = np.nonzero(around & ~found)
    return np.stack([columns, rows], axis=1)
