"""The bits of a plane that lie nearest to a place, found without looking at the far ones."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchview.follow.clothpitch import Pitch
from stitchview.follow.patchplanes import MARGIN, WORD, Layout, Words

Positions = NDArray[np.int64]
Lengths = NDArray[np.float64]

FIRST_REACH = 64
"""Squares to each side of the place that are looked at first."""

DIGITS = 6
"""Distances are told to a millionth of a millimetre, so that rounding does not part those alike."""


@dataclass(frozen=True, slots=True)
class Sight:
    """From where distances are told: `column` and `row` of the chart (halves too), and the pitch."""

    column: float
    row: float
    pitch: Pitch

    def away(self, columns: Positions, rows: Positions) -> Lengths:
        """How many millimetres squares lie away."""
        across = (columns - self.column) * self.pitch.across_mm
        return _rounded(across, (rows - self.row) * self.pitch.down_mm)


@dataclass(frozen=True, eq=False, slots=True)
class Held:
    """Words (n,), rising, the bits in them, and what tells for any of the words which bits are wanted."""

    words: Positions
    bits: Words
    wanted: Callable[[Positions], Words]

    def worthwhile(self) -> "Held":
        """Without the words that hold nothing."""
        kept = np.flatnonzero(self.bits)
        return Held(self.words[kept], self.bits[kept], self.wanted)


@dataclass(frozen=True, eq=False, slots=True)
class Near:
    """n bits: their squares (`columns`, `rows`) of the chart, from `-MARGIN` on, and `mm`; shape (n,)."""

    columns: Positions
    rows: Positions
    mm: Lengths

    def __len__(self) -> int:
        return len(self.mm)


def nearest_bits(layout: Layout, held: Held, sight: Sight, most: int) -> Near:
    """The `most` bits nearest to `sight`, nearest first, those alike far by row and column.

    Boxes round the place are looked at, each twice as wide as the one before, until enough words
    with wanted bits lie near enough; only the bits of the nearest of these are spread out.
    """
    held = held.worthwhile()
    reach = FIRST_REACH * max(sight.pitch.across_mm, sight.pitch.down_mm)
    while True:
        at = _in_box(layout, held.words, sight, reach)
        everything = len(at) == len(held.words)
        bits = held.bits[at]
        bits &= held.wanted(held.words[at])
        holding = np.flatnonzero(bits)
        words, bits = held.words[at[holding]], bits[holding]
        nearest, farthest = _bounds(layout, words, sight)
        enough = np.partition(farthest, most - 1)[most - 1] if len(words) >= most else np.inf
        if everything or enough <= reach:
            near = np.flatnonzero(nearest <= enough)
            return _spread(layout, words[near], bits[near], sight, most)
        reach *= 2


def squares_of_bits(layout: Layout, words: Positions, bits: Words) -> tuple[Positions, Positions]:
    """The columns and rows of the chart that the bits of some words stand for."""
    spread = np.unpackbits(bits.astype("<u8").view(np.uint8), bitorder="little").reshape(-1, WORD)
    at, bit = np.nonzero(spread)
    rows, word_columns = np.divmod(words[at], layout.stride)
    return word_columns * WORD + bit - MARGIN, rows - MARGIN


def _spread(layout: Layout, words: Positions, bits: Words, sight: Sight, most: int) -> Near:
    columns, rows = squares_of_bits(layout, words, bits)
    mm = sight.away(columns, rows)
    order = np.lexsort((columns, rows, mm))[:most]
    return Near(columns[order], rows[order], mm[order])


def _in_box(layout: Layout, words: Positions, sight: Sight, reach: float) -> Positions:
    """Which words hold squares that lie within a box of `reach` millimetres to each side."""
    down, across = reach / sight.pitch.down_mm, reach / sight.pitch.across_mm
    rows = math.ceil(sight.row - down) + MARGIN, math.floor(sight.row + down) + MARGIN + 1
    first, last = np.searchsorted(words, np.array(rows) * layout.stride)
    columns = words[first:last] % layout.stride * WORD - MARGIN
    kept = (columns + WORD > sight.column - across) & (columns <= sight.column + across)
    return np.flatnonzero(kept) + int(first)


def _bounds(layout: Layout, words: Positions, sight: Sight) -> tuple[Lengths, Lengths]:
    """How far the nearest and the farthest square that each word can hold lie away, in millimetres."""
    rows, columns = np.divmod(words, layout.stride)
    down = np.abs(rows - MARGIN - sight.row) * sight.pitch.down_mm
    left = columns * WORD - MARGIN - sight.column
    right = left + (WORD - 1)
    near = np.maximum(np.maximum(left, -right), 0) * sight.pitch.across_mm
    far = np.maximum(-left, right) * sight.pitch.across_mm
    return _rounded(near, down), _rounded(far, down)


def _rounded(across: NDArray[Any], down: NDArray[Any]) -> Lengths:
    return np.asarray(np.round(np.hypot(across, down), DIGITS), np.float64)
