"""Move a lattice's crossings to the middle of the printed lines, a small way, once its squares are known."""

from dataclasses import replace

import cv2
import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.gridink import line_offsets
from stitchview.sheets.inkleft import PITCH, ink_of
from stitchview.sheets.lattice import Lattice
from stitchview.sheets.paperpicture import PaperPicture
from stitchview.sheets.straightening import straighten

_AROUND = 5


def recentred(picture: PaperPicture, lattice: Lattice) -> Lattice:
    """The ruled lattice with each crossing moved to where its two lines run, by at most a tenth of a square.

    Each line's place is taken from the squares nearby that have paper beside it. A fault of half a pixel, the
    same on a whole sheet, is enough to make two piles of one sign of two sheets.
    """
    if lattice.kind != "ruled" or min(lattice.columns, lattice.rows) < _AROUND:
        return lattice
    straight = straighten(picture, lattice, PITCH, PITCH)
    ink = ink_of(straight)
    across = _at_crossings(line_offsets(ink, lattice.columns + 1, lattice.rows, PITCH))
    down = _at_crossings(line_offsets(ink.T, lattice.rows + 1, lattice.columns, PITCH)).T
    along_x = np.gradient(lattice.nodes, axis=1) / PITCH
    along_y = np.gradient(lattice.nodes, axis=0) / PITCH
    moved = lattice.nodes + across[..., None] * along_x + down[..., None] * along_y
    return replace(lattice, nodes=moved.astype(np.float32))


def _at_crossings(offsets: NDArray[np.float32]) -> NDArray[np.float32]:
    """Offsets of lines square by square (length, lines) as smooth ones at crossings (length + 1, lines)."""
    calm = cv2.medianBlur(np.ascontiguousarray(offsets), _AROUND)
    ends = np.concatenate([calm[:1], (calm[:-1] + calm[1:]) / 2, calm[-1:]])
    smooth = cv2.GaussianBlur(ends, (1, 5), 0, borderType=cv2.BORDER_REPLICATE)
    return np.asarray(np.clip(smooth, -PITCH / 10, PITCH / 10), np.float32)
