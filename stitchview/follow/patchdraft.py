"""From the grid she fills in on the screen to the patch that is looked for."""

import numpy as np

from stitchview.follow.clothpatch import LARGEST, OPEN_SQUARE, ClothPatch, Grid


def empty_draft() -> Grid:
    """A draft of the largest patch with every square open, shape (rows, columns)."""
    return np.full((LARGEST, LARGEST), OPEN_SQUARE, np.int32)


def drafted(draft: Grid) -> ClothPatch:
    """The patch of a draft without the rows and columns left open around it.

    Raises `CommandError` when no thread is filled in, or what is left is too large.
    """
    rows, columns = np.nonzero(draft != OPEN_SQUARE)
    if not len(rows):
        return ClothPatch(np.ascontiguousarray(draft[:1, :1]))
    cut = draft[rows.min() : rows.max() + 1, columns.min() : columns.max() + 1]
    return ClothPatch(np.ascontiguousarray(cut))
