"""Compose pictures of the chart's squares, a strip of rows at a time, from an atlas."""

import functools
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.canvas.atlas import Atlas
from stitchview.canvas.glyphs import SMALLEST_WITH_SYMBOL
from stitchview.canvas.looks import Look
from stitchview.canvas.mixing import Pixels
from stitchview.canvas.qtcolours import as_rgb32
from stitchview.canvas.squarepictures import SMALLEST_WITH_GRID
from stitchview.chart.area import Area
from stitchview.chart.model import Squares
from stitchview.done.change import FIRST_STATES

# Measured: a quarter of this costs a tenth more in calls, twice as much gains nothing.
STRIP_PIXELS = 480_000
SMALLEST_WITH_TENS = 3
SMALLEST_WITH_BROAD_TENS = 10


@dataclass(frozen=True)
class Tens:
    """Where the bold lines stand: every ten squares, a line at square `column` (and `row`) modulo ten.

    Counted from the centre of an odd size, the square there, `centre_column` (or `centre_row`), lies
    between two lines by itself, and all lines after it stand one further on.
    """

    column: int = 0
    row: int = 0
    centre_column: int | None = None
    centre_row: int | None = None


@dataclass(frozen=True)
class Printed:
    """What the strips show: squares and states, shape (rows, columns), and the area that is lit, if any."""

    squares: Squares
    states: NDArray[np.uint8]
    lit: Area | None


class Composer:
    """Composes strips into buffers that are kept, because fresh memory costs more than drawing."""

    def __init__(self) -> None:
        self._pixels = np.empty(0, np.uint32)
        self._codes = np.empty(0, np.uint16)
        self._index = np.empty(0, np.intp)
        # The rows of pixels of a strip that differ, where not all do.
        self._rows = np.empty(0, np.uint32)

    def prepare(self, printed: Printed, area: Area, atlas: Atlas) -> None:
        """Have all pictures in the atlas that `area` needs."""
        if atlas.slot_of is not None:
            atlas.slots_for(np.unique(self._codes_of(printed, area, atlas)))

    def strips(self, printed: Printed, area: Area, atlas: Atlas) -> Iterator[tuple[Area, bool, Pixels]]:
        """Give the pictures of `area`, strip by strip: the squares, whether dimmed, and their pixels.

        The pixels have shape (height, width), are RGB32 and hold only until the next strip is asked for.
        """
        most = max(1, STRIP_PIXELS // (atlas.pitch * atlas.pitch))
        for piece, dimmed in lights(area, printed.lit):
            if piece.columns * piece.rows <= most:
                yield piece, dimmed, self._compose(printed, piece, atlas, dimmed)
                continue
            columns = min(piece.columns, most)
            for part in _cut(piece, columns, max(1, most // columns)):
                yield part, dimmed, self._compose(printed, part, atlas, dimmed)

    def _compose(self, printed: Printed, area: Area, atlas: Atlas, dimmed: bool) -> Pixels:
        pitch, rows, columns = atlas.pitch, area.rows, area.columns
        squares = rows * columns
        if len(self._pixels) < squares * pitch * pitch or len(self._index) < squares * pitch:
            self._make_room(squares, pitch)
        codes = self._codes_of(printed, area, atlas)
        slots = atlas.slots_for(codes)
        sheet = atlas.dimmed if dimmed else atlas.lit
        pixels = self._pixels[: squares * pitch * pitch]
        cells = pixels.reshape(rows, pitch, columns, pitch)
        distinct = _distinct_rows(pitch)
        if distinct < pitch and codes.max() >= FIRST_STATES * atlas.threads.codes_a_state:
            distinct = pitch
        index = self._index[: squares * distinct].reshape(rows, distinct, columns)
        np.add(slots[:, None, :], _rows_of_a_square(distinct, atlas.slots), out=index)
        # The method, because numpy's function of this name takes as long as drawing a few squares.
        if distinct == pitch:
            sheet.take(index, 0, cells, "clip")
        else:
            if len(self._rows) < index.size * pitch:
                self._rows = np.empty(index.size * pitch, np.uint32)
            differing = self._rows[: index.size * pitch].reshape(*index.shape, pitch)
            sheet.take(index, 0, differing, "clip")
            cells[:, :distinct] = differing
            cells[:, distinct:] = differing[:, -1:]
        return pixels.reshape(rows * pitch, columns * pitch)

    def _codes_of(self, printed: Printed, area: Area, atlas: Atlas) -> NDArray[np.uint16]:
        """Give the codes of the squares of `area`, shape (rows, columns), until they are next asked for."""
        here, squares = area.slices(), area.rows * area.columns
        if len(self._codes) < squares:
            self._codes = np.empty(squares, np.uint16)
        codes = self._codes[:squares].reshape(area.rows, area.columns)
        np.multiply(printed.states[here], atlas.threads.codes_a_state, out=codes, dtype=np.uint16)
        np.add(codes, printed.squares[here], out=codes)
        return codes

    def _make_room(self, squares: int, pitch: int) -> None:
        if len(self._index) < squares * pitch:
            self._index = np.empty(squares * pitch, np.intp)
        if len(self._pixels) < squares * pitch * pitch:
            self._pixels = np.empty(squares * pitch * pitch, np.uint32)


@functools.lru_cache(64)
def _rows_of_a_square(rows: int, slots: int) -> NDArray[np.intp]:
    """Give where each row of pixels of the first picture of an atlas lies: shape (1, rows, 1)."""
    return np.arange(rows, dtype=np.intp)[None, :, None] * slots


def _distinct_rows(pitch: int) -> int:
    """Give how many rows of pixels of a square differ: without a symbol, all below the grid line are one."""
    if pitch >= SMALLEST_WITH_SYMBOL:
        return pitch
    return 2 if pitch >= SMALLEST_WITH_GRID else 1


def lights(area: Area, lit: Area | None) -> list[tuple[Area, bool]]:
    """Cut an area into what lies in the lit one and what does not, each with whether it is dimmed."""
    if lit is None:
        return [(area, False)]
    inner = area.clipped(lit)
    if inner.empty:
        return [(area, True)]
    if inner == area:
        return [(area, False)]
    return [(piece, True) for piece in around(area, inner)] + [(inner, False)]


def around(area: Area, inner: Area) -> Iterator[Area]:
    """Give the up to four areas that make up `area` without `inner`, which must lie in it."""
    if inner.row > area.row:
        yield Area(area.column, area.row, area.columns, inner.row - area.row)
    if inner.bottom < area.bottom:
        yield Area(area.column, inner.bottom, area.columns, area.bottom - inner.bottom)
    if inner.column > area.column:
        yield Area(area.column, inner.row, inner.column - area.column, inner.rows)
    if inner.right < area.right:
        yield Area(inner.right, inner.row, area.right - inner.right, inner.rows)


def _cut(area: Area, columns: int, rows: int) -> Iterator[Area]:
    for row in range(area.row, area.bottom, rows):
        for column in range(area.column, area.right, columns):
            yield Area(column, row, min(columns, area.right - column), min(rows, area.bottom - row))


# Asked at every strip.
@functools.lru_cache(16)
def bold_ink(look: Look, dimmed: bool) -> int:
    """Give the colour of every tenth line, RGB32."""
    ink = look.ground.bold.mixed(look.ground.dim, look.dim) if dimmed else look.ground.bold
    return as_rgb32(ink)


def draw_tens(pixels: Pixels, tens: Tens, area: Area, pitch: int, ink: int) -> None:
    """Draw every tenth line of `area`, in `ink` (RGB32), into its pixels of shape (height, width).

    A line lies on the first pixel of the square behind it and, when squares are large, also on
    the last pixel of the square before it. Far out there are none.
    """
    if pitch < SMALLEST_WITH_TENS:
        return
    height, width = pixels.shape
    for rows in _lines_drawn(tens.row, tens.centre_row, area.row, pitch):
        if rows.start < height:
            pixels[rows] = ink
    for columns in _lines_drawn(tens.column, tens.centre_column, area.column, pitch):
        if columns.start < width:
            pixels[:, columns] = ink


# Asked at every strip, also of a single square.
@functools.lru_cache(256)
def _lines_drawn(tenth: int, centre: int | None, start: int, pitch: int) -> tuple[slice, ...]:
    """Give the pixels of bold lines along one axis of a strip that begins at square `start`."""
    if centre is None:
        return tuple(_series(tenth, start, None, start, pitch))
    before = _series(tenth, start, centre + 1, start, pitch)
    return (*before, *_series(centre + 1, max(start, centre + 1), None, start, pitch))


def _series(tenth: int, low: int, high: int | None, start: int, pitch: int) -> Iterator[slice]:
    """Give the pixels of the lines `tenth` modulo ten that stand from `low` up to before `high`."""
    step = 10 * pitch
    end = None if high is None else max(0, (high - start) * pitch)
    first = (low + (tenth - low) % 10 - start) * pitch
    yield slice(first, end, step)
    if pitch >= SMALLEST_WITH_BROAD_TENS:
        yield slice(first - 1 if first else step - 1, end and max(0, end - 1), step)
