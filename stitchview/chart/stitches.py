"""The stitches that do not fill one whole square: part stitches, lines, knots and beads."""

from dataclasses import dataclass, field
from enum import IntEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int32]
Small = NDArray[np.uint8]
Numbers = NDArray[np.uint16]


class PartShape(IntEnum):
    """How a part stitch lies in its square; a corner names where its quarter leg or its bulk lies."""

    HALF_RISING = 1
    HALF_FALLING = 2
    QUARTER_TOP_LEFT = 3
    QUARTER_TOP_RIGHT = 4
    QUARTER_BOTTOM_LEFT = 5
    QUARTER_BOTTOM_RIGHT = 6
    THREE_QUARTER_TOP_LEFT = 7
    THREE_QUARTER_TOP_RIGHT = 8
    THREE_QUARTER_BOTTOM_LEFT = 9
    THREE_QUARTER_BOTTOM_RIGHT = 10


HALVES = (PartShape.HALF_RISING, PartShape.HALF_FALLING)
QUARTERS = (
    PartShape.QUARTER_TOP_LEFT,
    PartShape.QUARTER_TOP_RIGHT,
    PartShape.QUARTER_BOTTOM_LEFT,
    PartShape.QUARTER_BOTTOM_RIGHT,
)
THREE_QUARTERS = (
    PartShape.THREE_QUARTER_TOP_LEFT,
    PartShape.THREE_QUARTER_TOP_RIGHT,
    PartShape.THREE_QUARTER_BOTTOM_LEFT,
    PartShape.THREE_QUARTER_BOTTOM_RIGHT,
)

CORNERS = {shape: (at % 2, at // 2) for group in (QUARTERS, THREE_QUARTERS) for at, shape in enumerate(group)}
"""Where the corner of a quarter or three-quarter stitch lies: 1 for right, 1 for bottom."""


class LineKind(IntEnum):
    """Back stitch is worked in short steps along its line, straight stitch in one."""

    BACK = 1
    STRAIGHT = 2


class PointKind(IntEnum):
    """What sits at a point of the lattice."""

    KNOT = 1
    BEAD = 2


def _sealed(array: NDArray[Any]) -> None:
    array.setflags(write=False)


def _same_lengths(*arrays: NDArray[Any]) -> None:
    if len({array.shape for array in arrays}) != 1 or arrays[0].ndim != 1:
        raise ValueError("the arrays of one stitch table must be one-dimensional and of one length")
    for array in arrays:
        _sealed(array)


@dataclass(frozen=True, eq=False)
class Parts:
    """n part stitches: square (`columns`, `rows`) from 0, `shapes` of PartShape, `keys` from 1."""

    columns: Ints = field(default_factory=lambda: np.zeros(0, np.int32))
    rows: Ints = field(default_factory=lambda: np.zeros(0, np.int32))
    shapes: Small = field(default_factory=lambda: np.zeros(0, np.uint8))
    keys: Numbers = field(default_factory=lambda: np.zeros(0, np.uint16))
    extra: dict[int, dict[str, Any]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        _same_lengths(self.columns, self.rows, self.shapes, self.keys)

    def __len__(self) -> int:
        return len(self.keys)


@dataclass(frozen=True, eq=False)
class Lines:
    """n lines from (`x1`, `y1`) to (`x2`, `y2`) in half squares from the chart's top left corner."""

    x1: Ints = field(default_factory=lambda: np.zeros(0, np.int32))
    y1: Ints = field(default_factory=lambda: np.zeros(0, np.int32))
    x2: Ints = field(default_factory=lambda: np.zeros(0, np.int32))
    y2: Ints = field(default_factory=lambda: np.zeros(0, np.int32))
    kinds: Small = field(default_factory=lambda: np.zeros(0, np.uint8))
    keys: Numbers = field(default_factory=lambda: np.zeros(0, np.uint16))
    extra: dict[int, dict[str, Any]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        _same_lengths(self.x1, self.y1, self.x2, self.y2, self.kinds, self.keys)

    def __len__(self) -> int:
        return len(self.keys)


@dataclass(frozen=True, eq=False)
class Points:
    """n knots and beads at (`x`, `y`) in half squares from the chart's top left corner."""

    x: Ints = field(default_factory=lambda: np.zeros(0, np.int32))
    y: Ints = field(default_factory=lambda: np.zeros(0, np.int32))
    kinds: Small = field(default_factory=lambda: np.zeros(0, np.uint8))
    keys: Numbers = field(default_factory=lambda: np.zeros(0, np.uint16))
    extra: dict[int, dict[str, Any]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        _same_lengths(self.x, self.y, self.kinds, self.keys)

    def __len__(self) -> int:
        return len(self.keys)
