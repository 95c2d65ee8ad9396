"""Continue a grown mesh over its gaps and a little beyond, and say from it where any node lies."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.ruledforeseeing import Board, foreseen, nearby_gaps
from stitchview.sheets.ruledgrowing import STEP, Mesh

_AROUND = 5
_SPREAD = 2.0


def completed(mesh: Mesh, beyond: int = 2) -> Mesh:
    """The mesh without gaps and ``beyond`` mesh points wider on every side, guessed by going straight on."""
    margin = [(beyond, beyond), (beyond, beyond)]
    place = np.pad(mesh.place, [*margin, (0, 0)], constant_values=np.nan)
    basis = np.pad(mesh.basis, [*margin, (0, 0), (0, 0)], constant_values=np.nan)
    while np.isnan(place[..., 0]).any():
        place, basis = _wider(place, basis)
    return replace(
        mesh,
        first=(mesh.first[0] - beyond, mesh.first[1] - beyond),
        place=place,
        basis=basis,
        sure=np.pad(mesh.sure, margin),
    )


def _wider(
    place: NDArray[np.float64], basis: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """One ring more: each gap beside known points lies where those around expect it."""
    known = np.isfinite(place[..., 0])
    gaps = nearby_gaps(known, 1)
    new_place, new_basis = place.copy(), basis.copy()
    rows, columns = gaps[:, 1], gaps[:, 0]
    there, steps = foreseen(Board(place, basis * STEP, known.astype(np.float64)), gaps, _AROUND, _SPREAD)
    new_place[rows, columns], new_basis[rows, columns] = there, steps / STEP
    return new_place, new_basis


def nodes_of(mesh: Mesh, columns: NDArray[np.float64], rows: NDArray[np.float64]) -> NDArray[np.float64]:
    """(rows, columns, 2) pixels of the nodes numbered as the mesh numbers them; the mesh must have no gaps.

    Each is what the four mesh points around it expect there, the nearer the heavier.
    """
    left, share_right = _between(columns, mesh.first[0], mesh.place.shape[1])
    top, share_down = _between(rows, mesh.first[1], mesh.place.shape[0])
    total = np.zeros((len(rows), len(columns), 2))
    for below in (0, 1):
        for beside in (0, 1):
            weight = np.abs(1 - below - share_down)[:, None] * np.abs(1 - beside - share_right)[None]
            row, column = top + below, left + beside
            place, basis = mesh.place[row][:, column], mesh.basis[row][:, column]
            across = columns - (mesh.first[0] + column) * STEP
            down = rows - (mesh.first[1] + row) * STEP
            there = place + across[None, :, None] * basis[..., 0, :] + down[:, None, None] * basis[..., 1, :]
            total += weight[..., None] * there
    return total


def _between(
    numbers: NDArray[np.float64], first: int, count: int
) -> tuple[NDArray[np.intp], NDArray[np.float64]]:
    """The mesh point before each number and the share of the way to the next, eased at both ends."""
    place = numbers / STEP - first
    before = np.clip(np.floor(place).astype(np.intp), 0, count - 2)
    share = np.clip(place - before, 0, 1)
    return before, share * share * (3 - 2 * share)
