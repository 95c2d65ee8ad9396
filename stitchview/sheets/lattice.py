"""Where every crossing of the printed grid lies in a picture of paper."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True)
class Lattice:
    """Crossings of one sheet's grid: ``nodes`` is (rows + 1, columns + 1, 2) float32, (x, y) pixels.

    ``nodes[0, 0]`` is the top left corner of the first square as the sheet is read upright, whatever way
    the photograph lies. ``heavy_columns`` and ``heavy_rows`` number the lines that are printed bold (0 is
    the left or top edge); empty where the paper has none. ``doubted_columns`` and ``doubted_rows`` number
    the columns and rows of squares whose count or place is not certain; ``doubts`` says why, in sentences
    for a person.
    ``kind`` is "ruled" for a drawn grid and "typeset" for plates whose squares are single pieces of type.
    """

    nodes: NDArray[np.float32]
    heavy_columns: tuple[int, ...] = ()
    heavy_rows: tuple[int, ...] = ()
    doubted_columns: tuple[int, ...] = ()
    doubted_rows: tuple[int, ...] = ()
    doubts: tuple[str, ...] = ()
    kind: str = "ruled"

    @property
    def columns(self) -> int:
        """How many columns of squares."""
        return int(self.nodes.shape[1]) - 1

    @property
    def rows(self) -> int:
        """How many rows of squares."""
        return int(self.nodes.shape[0]) - 1

    @property
    def pixels_a_square(self) -> float:
        """The side of a typical square in picture pixels: the median over all sides."""
        across = np.linalg.norm(np.diff(self.nodes, axis=1), axis=2)
        down = np.linalg.norm(np.diff(self.nodes, axis=0), axis=2)
        return float(np.median(np.concatenate([across.ravel(), down.ravel()])))
