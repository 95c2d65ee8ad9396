"""Where each thread lies on the chart, as bits, so that a patch is looked for in 64 squares at once."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.model import Chart
from stitchview.follow.clothpatch import BARE, LARGEST

MARGIN = LARGEST - 1
"""Bare squares kept on every side, because a patch may hang over the chart's edge."""

WORD = 64
_PART_ONLY = 0xFFFF
_ROWS_AT_ONCE = 512

Words = NDArray[np.uint64]
Places = NDArray[np.int32]
Bits = NDArray[np.bool_]
Counts = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Layout:
    """How squares lie in words: `stride` words a row, `rows` rows, the margin on every side included.

    The square (column, row) of the chart is bit `column + MARGIN` of row `row + MARGIN`; one word
    more at the end lets the word after the last be read.
    """

    columns: int
    stride: int
    rows: int

    @property
    def words(self) -> int:
        """All words, without the one more."""
        return self.stride * self.rows


@dataclass(frozen=True, eq=False, slots=True)
class _Table:
    """Bits by key number: `places` and `bits` of key k stand from `starts[k]` to `starts[k + 1]`."""

    places: Places
    bits: Words
    starts: Counts

    def of(self, key: int) -> tuple[Places, Words]:
        span = slice(int(self.starts[key]), int(self.starts[key + 1]))
        return self.places[span], self.bits[span]


class PatchPlanes:
    """A plane of bits for each key number of `chart`, and one for bare cloth; empty words are not kept.

    A thread is where its whole stitch or a part stitch of it lies; bare is what bears neither, all
    round the chart too. Made once for a chart; takes 12 bytes for each thread in each word of 64
    squares: about 4 a square on a drawn chart, never more than 12.
    """

    def __init__(self, chart: Chart) -> None:
        columns, rows = chart.columns, chart.rows
        self.layout = Layout(columns, -(-(columns + 2 * MARGIN) // WORD), rows + 2 * MARGIN)
        self._keys = len(chart.key) + 1
        self._whole = _table(*_whole_pieces(chart, self.layout), self._keys)
        self._parts = _table(*_part_pieces(chart, self.layout), self._keys)

    @property
    def weight(self) -> int:
        """Bytes kept."""
        return sum(
            array.nbytes for table in (self._whole, self._parts) for array in (table.places, table.bits)
        )

    def places(self, key: int) -> Places:
        """The words that have bits of `key`, some perhaps twice; none for a number the key has not."""
        if not BARE <= key < self._keys:
            return np.zeros(0, np.int32)
        return np.concatenate((self._whole.of(key)[0], self._parts.of(key)[0]))

    def count(self, key: int) -> int:
        """How many words have bits of `key`, or a little more."""
        if not BARE <= key < self._keys:
            return 0
        return sum(int(table.starts[key + 1] - table.starts[key]) for table in (self._whole, self._parts))

    def plane(self, key: int) -> Words:
        """All words of `key`, shape (words + 1,)."""
        words = np.zeros(self.layout.words + 1, np.uint64)
        if BARE <= key < self._keys:
            places, bits = self._whole.of(key)
            words[places] = bits
            places, bits = self._parts.of(key)
            words[places] |= bits
        return words

    def bits_at(self, key: int, words: NDArray[np.int64]) -> Words:
        """The bits of `key` in some words, shape (n,)."""
        bits = np.zeros(len(words), np.uint64)
        if BARE <= key < self._keys:
            for table in (self._whole, self._parts):
                places, known = table.of(key)
                if len(places):
                    at = np.minimum(np.searchsorted(places, words), len(places) - 1)
                    bits |= np.where(places[at] == words, known[at], np.uint64(0))
        return bits

    def plane_of(self, squares: Bits) -> Words:
        """A plane of any squares of the chart, from their mask of shape (rows, columns)."""
        padded = np.zeros((self.layout.rows, self.layout.stride * WORD), bool)
        padded[MARGIN : MARGIN + squares.shape[0], MARGIN : MARGIN + squares.shape[1]] = squares
        return np.append(np.packbits(padded, bitorder="little").view("<u8").astype(np.uint64), np.uint64(0))


def _whole_pieces(chart: Chart, layout: Layout) -> tuple[NDArray[np.uint16], Places, Words]:
    firsts = range(0, layout.rows, _ROWS_AT_ONCE)
    bands = [_pieces(_padded(chart, layout, first), first * layout.stride) for first in firsts]
    keys, places, bits = zip(*bands, strict=True)
    return np.concatenate(keys), np.concatenate(places), np.concatenate(bits)


def _padded(chart: Chart, layout: Layout, first: int) -> NDArray[np.uint16]:
    """So many rows of the layout from `first` on, with the chart's squares where it has any."""
    count = min(_ROWS_AT_ONCE, layout.rows - first)
    padded = np.zeros((count, layout.stride * WORD), np.uint16)
    top, bottom = max(0, first - MARGIN), min(chart.rows, first + count - MARGIN)
    if top < bottom:
        here = padded[top + MARGIN - first : bottom + MARGIN - first, MARGIN : MARGIN + chart.columns]
        here[:] = chart.squares[top:bottom]
        inside = (chart.parts.rows >= top) & (chart.parts.rows < bottom)
        rows, columns = chart.parts.rows[inside] - top, chart.parts.columns[inside]
        bare = here[rows, columns] == BARE
        here[rows[bare], columns[bare]] = _PART_ONLY
    return padded


def _pieces(padded: NDArray[np.uint16], first_word: int) -> tuple[NDArray[np.uint16], Places, Words]:
    """Runs of one number inside one word: their numbers, words and bits."""
    begins = np.empty(padded.shape, bool)
    begins[:, 0] = True
    np.not_equal(padded[:, 1:], padded[:, :-1], out=begins[:, 1:])
    begins[:, ::WORD] = True
    starts = np.flatnonzero(begins)
    lengths = np.diff(starts, append=padded.size).astype(np.uint64)
    bits = (~np.uint64(0) >> (np.uint64(WORD) - lengths)) << (starts % WORD).astype(np.uint64)
    keys = padded.reshape(-1)[starts]
    kept = keys != _PART_ONLY
    return keys[kept], (starts[kept] // WORD + first_word).astype(np.int32), bits[kept]


def _part_pieces(chart: Chart, layout: Layout) -> tuple[NDArray[np.uint16], Places, Words]:
    rows, columns = chart.parts.rows.astype(np.int64) + MARGIN, chart.parts.columns + MARGIN
    places = (rows * layout.stride + columns // WORD).astype(np.int32)
    return chart.parts.keys, places, np.uint64(1) << (columns % WORD).astype(np.uint64)


def _table(keys: NDArray[np.uint16], places: Places, bits: Words, count: int) -> _Table:
    """The pieces by key and word, those of the same key in the same word made one."""
    order = np.lexsort((places, keys)) if (np.diff(places) < 0).any() else np.argsort(keys, kind="stable")
    keys, places, bits = keys[order], places[order], bits[order]
    new = np.ones(len(keys), bool)
    new[1:] = (keys[1:] != keys[:-1]) | (places[1:] != places[:-1])
    firsts = np.flatnonzero(new)
    joined = np.bitwise_or.reduceat(bits, firsts) if len(firsts) else bits
    return _Table(places[firsts], joined, np.searchsorted(keys[firsts], np.arange(count + 1)))
