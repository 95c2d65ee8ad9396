"""What was read off one sheet of paper: its squares by pile, its lines, its dots, and the doubts."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.straightening import Straight

Piles = NDArray[np.int32]
NO_PILE = -1


@dataclass(frozen=True, eq=False)
class FoundLines:
    """n runs of back stitch: ``ends`` (n, 4) int32 are x1, y1, x2, y2 in half squares from the top left.

    ``dashed`` (n,) bool says how each is drawn; ``strengths`` (n,) float32 how dark it is all along, 0 to 1.
    """

    ends: NDArray[np.int32] = field(default_factory=lambda: np.zeros((0, 4), np.int32))
    dashed: NDArray[np.bool_] = field(default_factory=lambda: np.zeros(0, np.bool_))
    strengths: NDArray[np.float32] = field(default_factory=lambda: np.zeros(0, np.float32))

    def __len__(self) -> int:
        return len(self.ends)


@dataclass(frozen=True, eq=False)
class FoundDots:
    """n dots: ``places`` (n, 2) int32 in half squares from the top left corner; ``open`` (n,) bool for rings.

    A full dot is read as a knot, a ring as a bead; which is which, the chart's own key tells a person.
    """

    places: NDArray[np.int32] = field(default_factory=lambda: np.zeros((0, 2), np.int32))
    open: NDArray[np.bool_] = field(default_factory=lambda: np.zeros(0, np.bool_))

    def __len__(self) -> int:
        return len(self.places)


@dataclass(frozen=True, eq=False)
class SheetReading:
    """One sheet (or one photograph of a part of it) as read.

    ``piles`` (rows, columns) int32: 0 for a blank square, n for the n-th pile, the same on all sheets of one
    chart; ``second`` the next likeliest pile or ``NO_PILE``; ``doubt`` float32 the estimated chance that the
    square is wrong; ``shown`` bool whether a person is to look at it. Where the sheet is not ``read``, the
    piles only serve to find where sheets overlap. ``heavy_columns`` and ``heavy_rows`` number its bold lines.
    ``first`` is the chart's (column, row), from 0, that it begins with where the numbers on its edges tell.
    ``cell`` is where a person has laid it on the table, (column, row) among the other sheets.
    """

    name: str
    straight: Straight
    piles: Piles
    second: Piles
    doubt: NDArray[np.float32]
    shown: NDArray[np.bool_]
    lines: FoundLines = field(default_factory=FoundLines)
    dots: FoundDots = field(default_factory=FoundDots)
    read: bool = True
    heavy_columns: tuple[int, ...] = ()
    heavy_rows: tuple[int, ...] = ()
    first: tuple[int, int] | None = None
    cell: tuple[int, int] | None = None
    doubts: tuple[str, ...] = ()

    @property
    def columns(self) -> int:
        """How many columns of squares."""
        return int(self.piles.shape[1])

    @property
    def rows(self) -> int:
        """How many rows of squares."""
        return int(self.piles.shape[0])
