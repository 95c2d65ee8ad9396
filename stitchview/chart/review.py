"""What reading paper leaves to a person: which squares are in doubt, and what was decided by hand."""

from dataclasses import dataclass, field, fields
from enum import IntEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int32]
Numbers = NDArray[np.uint16]
Small = NDArray[np.uint8]

NO_SECOND = 65_535
"""In `Doubts.seconds`: nothing else was thought of."""


class Why(IntEnum):
    """Why a square is in doubt: its printed symbol is unclear, or two sheets that show it differ."""

    SYMBOL = 1
    SHEETS = 2


class Decided(IntEnum):
    """What a person decided on: whole squares, lines, or knots and beads."""

    SQUARES = 1
    LINES = 2
    POINTS = 3


@dataclass(frozen=True, eq=False)
class Doubts:
    """n squares (`columns`, `rows`) from 0 whose reading is uncertain.

    `chances` are the estimated chances of being wrong, above 0 and up to 1; `seconds` the key number of the
    next likeliest reading, 0 for no stitch, `NO_SECOND` for none; `whys` are of `Why`.
    """

    columns: Ints = field(default_factory=lambda: np.zeros(0, np.int32))
    rows: Ints = field(default_factory=lambda: np.zeros(0, np.int32))
    chances: NDArray[np.float32] = field(default_factory=lambda: np.zeros(0, np.float32))
    seconds: Numbers = field(default_factory=lambda: np.zeros(0, np.uint16))
    whys: Small = field(default_factory=lambda: np.zeros(0, np.uint8))
    extra: dict[int, dict[str, Any]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        _seal(self.columns, self.rows, self.chances, self.seconds, self.whys)

    def __len__(self) -> int:
        return len(self.columns)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Doubts) and _same(self, other)

    def __hash__(self) -> int:
        return hash((self.columns.tobytes(), self.rows.tobytes()))


@dataclass(frozen=True, eq=False)
class ByHand:
    """n places where a person's word stands, so that another reading of the paper changes nothing there.

    In half squares from the chart's top left corner: of SQUARES those in the box from (`x1`, `y1`) to
    (`x2`, `y2`), of LINES whatever lies on the way between the two, of POINTS those in the box, edges
    included. What a person took out is decided too: nothing is there, and nothing comes back.
    """

    kinds: Small = field(default_factory=lambda: np.zeros(0, np.uint8))
    x1: Ints = field(default_factory=lambda: np.zeros(0, np.int32))
    y1: Ints = field(default_factory=lambda: np.zeros(0, np.int32))
    x2: Ints = field(default_factory=lambda: np.zeros(0, np.int32))
    y2: Ints = field(default_factory=lambda: np.zeros(0, np.int32))
    extra: dict[int, dict[str, Any]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        _seal(self.kinds, self.x1, self.y1, self.x2, self.y2)

    def __len__(self) -> int:
        return len(self.kinds)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, ByHand) and _same(self, other)

    def __hash__(self) -> int:
        return hash((self.x1.tobytes(), self.y1.tobytes()))


def _same(one: Doubts | ByHand, other: Doubts | ByHand) -> bool:
    pairs = [(getattr(one, part.name), getattr(other, part.name)) for part in fields(one)]
    return all(np.array_equal(a, b) if isinstance(a, np.ndarray) else bool(a == b) for a, b in pairs)


def _seal(*arrays: NDArray[Any]) -> None:
    if len({array.shape for array in arrays}) != 1 or arrays[0].ndim != 1:
        raise ValueError("the arrays of one table must be one-dimensional and of one length")
    for array in arrays:
        array.setflags(write=False)
