"""Straighten a picture of paper along its lattice, so that every square becomes equally large and upright."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.lattice import Lattice
from stitchview.sheets.paperpicture import PaperPicture

_NO_SECOND_MAP = np.empty(0, np.float32)


@dataclass(frozen=True)
class Straight:
    """A straightened sheet: square (column, row) begins at pixel ``margin + column * pitch``, likewise down.

    ``grey`` is (2 * margin + rows * pitch, 2 * margin + columns * pitch) uint8 and ``colour`` the same with a
    third axis of 3 (RGB). ``pitch`` and ``margin`` are whole pixels; the margin shows what is printed beyond
    the grid's edge, continued outwards from the outermost squares.
    """

    grey: NDArray[np.uint8]
    colour: NDArray[np.uint8]
    pitch: int
    margin: int
    columns: int
    rows: int


def straighten(picture: PaperPicture, lattice: Lattice, pitch: int, margin: int = 0) -> Straight:
    """The picture pulled straight: each square bilinear between its four nodes, cubic in the pixels."""
    where = _positions(lattice.nodes, pitch, margin)
    return Straight(
        grey=_warped(picture.grey, where),
        colour=_warped(picture.colour, where),
        pitch=pitch,
        margin=margin,
        columns=lattice.columns,
        rows=lattice.rows,
    )


def squares_of(straight: Straight, around: int = 0) -> NDArray[np.uint8]:
    """Every square's grey cut-out as a view: (rows, columns, side, side) with side pitch + 2 * around.

    ``around`` pixels of the neighbours are kept on each side and must not exceed the margin.
    """
    if around > straight.margin:
        raise ValueError(
            f"{around} pixels around a square need a margin of as many; it has {straight.margin}"
        )
    side = straight.pitch + 2 * around
    first = straight.margin - around
    reach = straight.grey[first : straight.grey.shape[0] - first, first : straight.grey.shape[1] - first]
    windows = np.lib.stride_tricks.sliding_window_view(reach, (side, side))
    return windows[:: straight.pitch, :: straight.pitch]


def _positions(nodes: NDArray[np.float32], pitch: int, margin: int) -> NDArray[np.float32]:
    """For every pixel of the straight picture the place in the picture of paper: (H, W, 2) float32."""
    rows, columns = nodes.shape[0] - 1, nodes.shape[1] - 1
    across = _blend(columns, pitch, margin)
    down = _blend(rows, pitch, margin)
    along = np.einsum("wc,rcp->rwp", across, nodes, optimize=True)
    return np.ascontiguousarray(np.einsum("hr,rwp->hwp", down, along, optimize=True), dtype=np.float32)


def _blend(squares: int, pitch: int, margin: int) -> NDArray[np.float32]:
    """Weights (pixels, squares + 1) of the nodes for each pixel centre, going straight on beyond the ends."""
    pixels = np.arange(-margin, squares * pitch + margin)
    place = (pixels + 0.5) / pitch
    left = np.clip(np.floor(place).astype(np.intp), 0, squares - 1)
    share = (place - left).astype(np.float32)
    weights = np.zeros((len(pixels), squares + 1), np.float32)
    weights[np.arange(len(pixels)), left] = 1 - share
    weights[np.arange(len(pixels)), left + 1] = share
    return weights


def _warped(pixels: NDArray[np.uint8], where: NDArray[np.float32]) -> NDArray[np.uint8]:
    """The pixels taken from ``where``, in bands of rows because OpenCV refuses sides of 32,767 and more."""
    bands = [
        cv2.remap(
            pixels, where[top : top + 4096], _NO_SECOND_MAP, cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE
        )
        for top in range(0, len(where), 4096)
    ]
    return np.concatenate(bands).astype(np.uint8, copy=False)
