"""Lays a patch over every square of the chart at once, and tells where it fits or all but fits."""

import functools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.follow.clothpatch import BARE, OPEN_SQUARE, Grid
from stitchview.follow.patchplanes import MARGIN, WORD, PatchPlanes, Words

FEW = 0.15
"""The share of all words up to which only those that may still fit are looked at, cell by cell."""

VERY_FEW = 1000
"""So many words are looked up one by one; for more, all words of a thread are laid out first."""

MANY = 300_000
"""After so many looks word by word whole rows are laid on all words, which then takes less."""

LEFT_OUT_EVERY = 3
"""After so many cells the words in which nothing fits any more are left out."""

Positions = NDArray[np.int64]
RowCells = tuple[tuple[int, int], ...]
"""The cells of one row of a patch: column and key."""

_ALL = ~np.uint64(0)


@dataclass(frozen=True, slots=True)
class Cell:
    """One square of a patch that is filled in: its place in the patch and what should lie there."""

    row: int
    column: int
    key: int


@dataclass(frozen=True, eq=False, slots=True)
class Fits:
    """Where the top left square of a patch may lie: words of the planes in rising order, bits in them; (n,).

    `right` has the places where every square fits, `one_wrong` those where all but one do.
    """

    words: Positions
    right: Words
    one_wrong: Words

    def worthwhile(self) -> "Fits":
        """Without the words in which nothing fits."""
        kept = np.flatnonzero(self.right | self.one_wrong)
        return self if len(kept) == len(self.words) else self.taken(kept)

    def taken(self, at: Positions) -> "Fits":
        """Only the words at those places."""
        return Fits(self.words[at], self.right[at], self.one_wrong[at])


def counted(bits: Words) -> int:
    """How many bits are set."""
    if hasattr(np, "bitwise_count"):  # from numpy 2 on
        return int(np.bitwise_count(bits).sum(dtype=np.int64))
    return int(_bit_counts()[bits.view(np.uint16)].sum(dtype=np.int64))


@functools.cache
def _bit_counts() -> NDArray[np.uint8]:
    """How many bits each number of 16 bits has."""
    return np.array([number.bit_count() for number in range(1 << 16)], np.uint8)


def cells_of(squares: Grid) -> list[Cell]:
    """The squares of a patch that are filled in, bare ones too."""
    filled = zip(*(each.tolist() for each in np.nonzero(squares != OPEN_SQUARE)), strict=True)
    return [Cell(row, column, int(squares[row, column])) for row, column in filled]


class Matching:
    """Looks for patches on the planes of a chart; what is laid out once serves the next patch too.

    Keeps up to 2 MB (on 4000 x 4000) for each thread of the patches and each different row of theirs.
    """

    def __init__(self, planes: PatchPlanes, one_wrong: bool) -> None:
        self._index, self._one_wrong = planes, one_wrong
        self._planes: dict[int, Words] = {}
        self._rows: dict[RowCells, tuple[Words, Words]] = {}
        self._stride = planes.layout.stride
        self._anchors = planes.layout.words - MARGIN * self._stride

    def fits(self, squares: Grid) -> Fits:
        """Where the patch `squares` fits; at least one of its threads is right there."""
        cells = cells_of(squares)
        middle = [(size - 1) / 2 for size in squares.shape]
        cells.sort(
            key=lambda cell: (
                self._index.count(cell.key),
                -abs(cell.row - middle[0]) - abs(cell.column - middle[1]),
            )
        )
        threads = [cell for cell in cells if cell.key != BARE]
        sure = threads if len(threads) == 1 else []
        words = self._words_with(sure or cells[: 2 if self._one_wrong else 1])
        if len(words) <= FEW * self._anchors:
            fits = Fits(words, np.full(len(words), _ALL), np.zeros(len(words), np.uint64))
        else:
            fits, cells = self._on_all_words(cells)
        for cell in sure:
            bits = self._bits(fits.words, cell)
            fits = Fits(fits.words, fits.right & bits, fits.one_wrong & bits)
        return self._cell_by_cell(fits, cells)

    def wrong_cells(self, squares: Grid, columns: Positions, rows: Positions) -> Positions:
        """The number (row by row) of the first cell that is not right in each of n places, -1 if all are."""
        words, bits = np.divmod(columns + MARGIN, WORD)
        words += (rows + MARGIN) * self._stride
        wrong = np.full(len(words), -1)
        for cell in reversed(cells_of(squares)):
            right = (self._bits(words, cell) >> bits.astype(np.uint64)) & np.uint64(1)
            wrong[right == 0] = cell.row * squares.shape[1] + cell.column
        return wrong

    def _words_with(self, cells: Sequence[Cell]) -> Positions:
        """The words in which one of the cells is right somewhere."""
        marked = np.zeros(self._anchors + 2, bool)
        for cell in cells:
            words = self._index.places(cell.key).astype(np.int64) - cell.row * self._stride
            words = words[(words >= 0) & (words <= self._anchors)]
            marked[words] = True
            if cell.column:
                marked[words - 1] = True  # -1 marks the last, which is cut off
        return np.flatnonzero(marked[: self._anchors])

    def _cell_by_cell(self, fits: Fits, cells: Sequence[Cell]) -> Fits:
        for number, cell in enumerate(cells, 1):
            if len(fits.words) == 0:
                break
            bits = self._bits(fits.words, cell)
            one_wrong = fits.one_wrong
            if self._one_wrong:
                one_wrong = (one_wrong & bits) | (fits.right & ~bits)
            fits = Fits(fits.words, fits.right & bits, one_wrong)
            if number % LEFT_OUT_EVERY == 0:
                fits = fits.worthwhile()
        return fits.worthwhile()

    def _bits(self, words: Positions, cell: Cell) -> Words:
        at = words + cell.row * self._stride
        if len(words) <= VERY_FEW and cell.key not in self._planes:
            low = self._index.bits_at(cell.key, at)
            high = self._index.bits_at(cell.key, at + 1) if cell.column else low
        else:
            plane = self._plane(cell.key)
            low, high = plane[at], plane[at + 1]
        return _shifted(low, high, cell.column)

    def _plane(self, key: int) -> Words:
        if key not in self._planes:
            self._planes[key] = self._index.plane(key)
        return self._planes[key]

    def _on_all_words(self, cells: list[Cell]) -> tuple[Fits, list[Cell]]:
        """The patch on all words until few are left; and the cells not looked at by then."""
        # Threads that lie scattered are soon told apart by a few cells; whole rows serve large plain areas.
        telling = 3 if self._one_wrong else 2
        words = np.flatnonzero(self._possible(cells[:telling]))
        if len(words) <= FEW * self._anchors:
            return Fits(words, np.full(len(words), _ALL), np.zeros(len(words), np.uint64)), cells
        return self._row_by_row(cells)

    def _possible(self, cells: Sequence[Cell]) -> Words:
        """Where all of a few cells may be right, or all but one if one may be wrong."""
        right, one_wrong = np.full(self._anchors, _ALL), np.zeros(self._anchors, np.uint64)
        for cell in cells:
            plane, first = self._plane(cell.key), cell.row * self._stride
            low, high = (plane[first + more : first + more + self._anchors] for more in (0, 1))
            bits = _shifted(low, high, cell.column)
            if self._one_wrong:
                one_wrong = (one_wrong & bits) | (right & ~bits)
            right &= bits
        return right | one_wrong

    def _row_by_row(self, cells: Sequence[Cell]) -> tuple[Fits, list[Cell]]:
        """Whole rows of the patch on all words, until few are left; and the cells not looked at by then."""
        right, one_wrong = np.full(self._anchors, _ALL), np.zeros(self._anchors, np.uint64)
        rows = list(dict.fromkeys(cell.row for cell in cells))
        while rows:
            row = rows.pop(0)
            first = row * self._stride
            row_right, row_wrong = (
                each[first : first + self._anchors] for each in self._row([c for c in cells if c.row == row])
            )
            if self._one_wrong:
                one_wrong &= row_right
                one_wrong |= right & row_wrong
            right &= row_right
            words = np.flatnonzero(right | one_wrong)
            if len(words) <= FEW * self._anchors:
                break
        fits = Fits(words, right[words], one_wrong[words])
        return fits, [cell for cell in cells if cell.row in rows]

    def _row(self, cells: Sequence[Cell]) -> tuple[Words, Words]:
        """Where a row of the patch is right, and where all but one of its cells are, on all words."""
        name = tuple((cell.column, cell.key) for cell in sorted(cells, key=lambda cell: cell.column))
        if name not in self._rows:
            right = np.full(self._index.layout.words, _ALL)
            one_wrong = np.zeros(len(right), np.uint64)
            for column, key in name:
                plane = self._plane(key)
                bits = _shifted(plane[:-1], plane[1:], column)
                if self._one_wrong:
                    one_wrong &= bits
                    one_wrong |= right & ~bits
                right &= bits
            self._rows[name] = right, one_wrong
        return self._rows[name]


class Lying:
    """Tells where patches lie with every thread on a bit of `plane`; whole rows are kept once laid out."""

    def __init__(self, plane: Words, stride: int) -> None:
        self._plane, self._stride = plane, stride
        self._rows: dict[tuple[int, ...], Words] = {}
        self._everywhere: dict[tuple[tuple[int, ...], ...], Words] = {}
        self._looked = 0

    def on(self, squares: Grid, words: Positions) -> Words:
        """In which places of `words` every thread of the patch `squares` lies so, shape (n,)."""
        rows = tuple(tuple(np.flatnonzero(row > BARE).tolist()) for row in squares)
        self._looked += len(words) * sum(map(len, rows))
        if rows in self._everywhere or self._looked > MANY:
            return self._on_all_words(rows)[words]
        bits = np.full(len(words), _ALL)
        for row, columns in enumerate(rows):
            for column in columns:
                at = words + row * self._stride
                bits &= _shifted(self._plane[at], self._plane[at + 1], column)
        return bits

    def _on_all_words(self, rows: tuple[tuple[int, ...], ...]) -> Words:
        if rows not in self._everywhere:
            anchors = len(self._plane) - 1 - MARGIN * self._stride
            on = np.full(anchors, _ALL)
            for row, columns in enumerate(rows):
                on &= self._row(columns)[row * self._stride : row * self._stride + anchors]
            self._everywhere[rows] = on
        return self._everywhere[rows]

    def _row(self, columns: tuple[int, ...]) -> Words:
        if columns not in self._rows:
            bits = np.full(len(self._plane) - 1, _ALL)
            for column in columns:
                bits &= _shifted(self._plane[:-1], self._plane[1:], column)
            self._rows[columns] = bits
        return self._rows[columns]


def _shifted(low: Words, high: Words, columns: int) -> Words:
    """So many columns on: what lies there is told in the place from where it is asked."""
    if columns == 0:
        return low
    return (low >> np.uint64(columns)) | (high << np.uint64(WORD - columns))
