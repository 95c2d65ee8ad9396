"""Find how far the squares of a sheet lie beside their lattice, and how pale they are, and cut them anew."""

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.cleaning import AROUND, SIDE
from stitchview.sheets.describing import INSET

Field = NDArray[np.float32]
"""(rows, columns, 3): pixels to the right, pixels down, and share of ink too much, for every square."""


def found_shifts(cutouts: NDArray[np.float32], likes: NDArray[np.float32], shape: tuple[int, int]) -> Field:
    """How each cut-out (N, SIDE, SIDE) lies beside the mean picture of its pile (``likes``, the same shape).

    Least squares for shift and ink of each square together with its neighbours, because paper bends and
    light changes softly; squares unlike their picture count little. ``shape`` is (rows, columns).
    """
    inner = slice(INSET, -INSET)
    here, like = cutouts[:, inner, inner], likes[:, inner, inner]
    ways = np.stack([-np.gradient(like, axis=2), -np.gradient(like, axis=1), like], axis=1)
    ways = ways.reshape(len(like), 3, -1)
    rest = (here - like).reshape(len(like), -1)
    unlike = (rest * rest).mean(axis=1)
    usual = float(np.median(unlike)) + 1e-6
    trust = (1 / (1 + unlike / (3 * usual))).astype(np.float32)
    normal = np.matmul(ways, ways.transpose(0, 2, 1)) * trust[:, None, None]
    right = np.matmul(ways, rest[:, :, None])[:, :, 0] * trust[:, None]
    normal = _shared(normal.reshape(-1, 9), shape).reshape(-1, 3, 3)
    right = _shared(right, shape)
    caution = np.diag([usual, usual, usual * 15]).astype(np.float32)
    found = np.linalg.solve(normal + caution, right[:, :, None])[:, :, 0]
    limited = np.clip(found, [-1.5, -1.5, -0.4], [1.5, 1.5, 0.6])
    return np.asarray(limited.reshape(*shape, 3), np.float32)


def cut_anew(ink: NDArray[np.float32], field: Field) -> NDArray[np.float32]:
    """The ink with every square moved back by its shift and its ink made even; the same shape."""
    rows, columns = field.shape[:2]
    full = cv2.resize(field, (columns * SIDE, rows * SIDE), interpolation=cv2.INTER_LINEAR)
    full = cv2.copyMakeBorder(full, AROUND, AROUND, AROUND, AROUND, cv2.BORDER_REPLICATE)
    bands = []
    for top in range(0, ink.shape[0], 4096):
        part = full[top : top + 4096]
        down, across = np.mgrid[top : top + len(part), 0 : ink.shape[1]].astype(np.float32)
        moved = cv2.remap(
            ink, across + part[..., 0], down + part[..., 1], cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE
        )
        bands.append(moved / np.clip(1 + part[..., 2], 0.4, 2.5))
    return np.asarray(np.concatenate(bands), np.float32)


def _shared(numbers: NDArray[np.float32], shape: tuple[int, int]) -> NDArray[np.float32]:
    """Each square's numbers (N, n) with those of its neighbours added, the near ones most."""
    grid = np.ascontiguousarray(numbers.reshape(*shape, -1), np.float32)
    layers = [
        cv2.GaussianBlur(np.ascontiguousarray(grid[..., layer]), (0, 0), 1.2)
        for layer in range(grid.shape[2])
    ]
    return np.stack(layers, axis=-1).reshape(len(numbers), -1).astype(np.float32)
