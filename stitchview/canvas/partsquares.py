"""Squares with part stitches as ready pictures, put into the strips like any other square."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from stitchview.canvas.atlas import (
    Floats,
    Pixels,
    Threads,
    colours_of,
    laid,
    lit_or_dimmed,
    parts_of_colour,
    square_pictures,
)
from stitchview.canvas.itemindex import Indices
from stitchview.canvas.partforms import PartForms, part_forms
from stitchview.canvas.partmeans import PartMeans
from stitchview.chart.area import Area
from stitchview.chart.stitches import Parts

MOST_BYTES = 6 << 20
# Below this many pixels there is no room for a symbol inside a quarter.
SMALLEST_QUARTER_SYMBOL = 8

# What a square holds: for each part stitch its shape, key number and state.
Content = tuple[tuple[int, int, int], ...]


class PartPictures:
    """Pictures of squares with part stitches at one size, each drawn when it first comes in view.

    `_slots` gives the picture of the m-th square of `squares`, -1 while there is none; squares that
    look the same share a picture.
    """

    def __init__(self, threads: Threads, parts: Parts, squares: PartMeans, pitch: int) -> None:
        self._threads, self._parts, self._squares, self._pitch = threads, parts, squares, pitch
        self._forms = part_forms(pitch)
        self._most = max(64, MOST_BYTES // (8 * pitch * pitch))
        self._pictures = np.zeros((2, min(64, self._most), pitch, pitch), np.uint32)
        self._slot_by_content: dict[Content, int] = {}
        self._slots = np.full(len(squares), -1, np.int32)

    def forget(self, squares: Indices) -> None:
        """Take note that these squares look different now."""
        self._slots[squares] = -1

    def prepare(self, area: Area, states: NDArray[np.uint8]) -> None:
        """Draw at once what is missing in `area`: many together cost little more than one."""
        found = self._squares.within(area)
        missing = found[self._slots[found] < 0]
        if len(missing) and len(self._slot_by_content) + len(missing) <= self._most:
            self._bring(found, missing, states)

    def draw(self, pixels: Pixels, area: Area, states: NDArray[np.uint8], dimmed: bool) -> None:
        """Put the squares of `area` into a strip's pixels of shape (height, width)."""
        found = self._squares.within(area)
        if not len(found):
            return
        cells = pixels.reshape(area.rows, self._pitch, area.columns, self._pitch)
        for chunk in np.array_split(found, -(-len(found) // self._most)):
            missing = chunk[self._slots[chunk] < 0]
            if len(missing):
                self._bring(chunk, missing, states)
            rows, columns = self._squares.rows[chunk] - area.row, self._squares.columns[chunk] - area.column
            cells[rows, :, columns, :] = self._pictures[int(dimmed)][self._slots[chunk]]

    def _bring(self, chunk: Indices, missing: Indices, states: NDArray[np.uint8]) -> None:
        if len(self._slot_by_content) + len(missing) > self._most:
            self._slots[:] = -1
            self._slot_by_content.clear()
            missing = chunk
        contents = [self._content(square, states) for square in missing.tolist()]
        new = [content for content in dict.fromkeys(contents) if content not in self._slot_by_content]
        if new:
            self._draw(new)
        self._slots[missing] = [self._slot_by_content[content] for content in contents]

    def _content(self, square: int, states: NDArray[np.uint8]) -> Content:
        own = self._squares.parts_of(square)
        columns = self._parts.shapes[own].tolist(), self._parts.keys[own].tolist(), states[own].tolist()
        return tuple(zip(*columns, strict=True))

    def _draw(self, contents: Sequence[Content]) -> None:
        first = len(self._slot_by_content)
        last = first + len(contents)
        held = self._pictures.shape[1]
        if last > held:
            more = min(self._most, max(last, 2 * held)) - held
            self._pictures = np.concatenate(
                [self._pictures, np.zeros((2, more, self._pitch, self._pitch), np.uint32)], 1
            )
        drawn = part_squares(self._threads, contents, self._forms)
        for dimmed in (0, 1):
            self._pictures[dimmed, first:last] = lit_or_dimmed(self._threads, drawn, bool(dimmed))
        self._slot_by_content.update(zip(contents, range(first, last), strict=True))


def part_squares(threads: Threads, contents: Sequence[Content], forms: PartForms) -> Floats:
    """Draw squares that hold these part stitches: shape (n, pitch, pitch, 3), sRGB parts 0 to 255."""
    pictures = square_pictures(threads, np.zeros(len(contents), np.intp), forms.pitch)
    for layer in range(max(len(content) for content in contents)):
        held = [index for index, content in enumerate(contents) if len(content) > layer]
        here = [contents[index][layer] for index in held]
        pictures[held] = _with_parts(threads, pictures[held], here, forms)
    return pictures


def _with_parts(
    threads: Threads, ground: Floats, here: Sequence[tuple[int, int, int]], forms: PartForms
) -> Floats:
    shapes = [shape for shape, _, _ in here]
    fills, inks = (
        np.stack([parts_of_colour(colour) for colour in colours])[:, None, None, :]
        for colours in zip(
            *(colours_of(threads, number, state != 0) for _, number, state in here), strict=True
        )
    )
    worked = np.array([state != 0 and threads.look.worked for _, _, state in here])[:, None, None, None]
    cleared = np.array([state != 0 and not threads.look.worked for _, _, state in here])[:, None, None, None]
    picture = laid(ground, fills * np.float32(0.6), _shares(forms.shade, shapes) * worked)
    picture = laid(picture, fills, _shares(forms.leg, shapes) * worked)
    picture = laid(picture, fills, _shares(forms.fill, shapes) * ~worked)
    picture = laid(picture, inks, _shares(forms.rim, shapes) * ~worked)
    picture = laid(picture, inks, _shares(forms.tick, shapes) * cleared)
    return laid(picture, inks, _symbols(threads, here, forms) * ~worked)


def _shares(sheet: NDArray[np.uint8], shapes: Sequence[int]) -> Floats:
    shares: Floats = sheet[shapes].astype(np.float32)[..., None] / np.float32(255)
    return shares


def _symbols(threads: Threads, here: Sequence[tuple[int, int, int]], forms: PartForms) -> Floats:
    """Give the ink of the half-size symbols, each where its part's shape has room: (n, pitch, pitch, 1)."""
    half = forms.pitch // 2
    sheet = np.zeros((len(here), forms.pitch, forms.pitch), np.uint8)
    if half >= SMALLEST_QUARTER_SYMBOL:
        numbers = sorted({number for _, number, _ in here})
        ink = threads.paths.coverage([number - 1 for number in numbers], half, 0.66)
        for index, (shape, number, _) in enumerate(here):
            x, y = forms.symbol[shape]
            sheet[index, y : y + half, x : x + half] = ink[numbers.index(number)]
    shares: Floats = sheet.astype(np.float32)[..., None] / np.float32(255)
    return shares
