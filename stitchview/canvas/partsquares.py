"""Squares with part stitches as ready pictures, put into the strips like any other square."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from stitchview.canvas.atlas import (
    STATES,
    Floats,
    Pixels,
    Threads,
    bare_squares,
    laid,
    lit_and_dimmed,
)
from stitchview.canvas.itemindex import Indices
from stitchview.canvas.partforms import PartForms, part_forms
from stitchview.canvas.parthomes import MOST_IN_A_SQUARE, PartHomes
from stitchview.chart.area import Area

MOST_BYTES = 8 << 20
# Below this many pixels there is no room for a symbol inside a quarter.
SMALLEST_QUARTER_SYMBOL = 8

# What a square holds: for each part stitch its shape, key number and state.
Content = tuple[tuple[int, int, int], ...]


class PartPictures:
    """Pictures of squares with part stitches at one size, each drawn when it first comes in view.

    A square's content is its kind (which parts it has) and their states, as one number; squares of
    one content share a picture. `_slots` gives the picture of a content, -1 while there is none.
    """

    def __init__(self, threads: Threads, homes: PartHomes, pitch: int) -> None:
        self._threads, self._homes, self._pitch = threads, homes, pitch
        self._forms = part_forms(pitch)
        self._most = max(64, MOST_BYTES // (8 * pitch * pitch))
        self._pictures = np.zeros((2, min(64, self._most), pitch, pitch), np.uint32)
        self._slots = np.full(len(homes.kinds) * STATES**MOST_IN_A_SQUARE, -1, np.int32)
        self._drawn = 0

    @property
    def bytes(self) -> int:
        """How much memory the pictures take."""
        return self._pictures.nbytes

    def prepare(self, area: Area, states: NDArray[np.uint8]) -> None:
        """Draw at once what is missing in `area`: many together cost little more than one."""
        contents = self._homes.contents(self._homes.within(area), states)
        missing = contents[self._slots[contents] < 0]
        if len(missing):
            self._bring(np.unique(missing)[: self._most])

    def draw(self, pixels: Pixels, area: Area, states: NDArray[np.uint8], dimmed: bool) -> None:
        """Put the squares of `area` into a strip's pixels of shape (height, width)."""
        homes = self._homes
        found = homes.within(area)
        if not len(found):
            return
        cells = pixels.reshape(area.rows, self._pitch, area.columns, self._pitch)
        for chunk in np.array_split(found, -(-len(found) // self._most)):
            contents = homes.contents(chunk, states)
            if (self._slots[contents] < 0).any():
                self._bring(np.unique(contents))
            rows, columns = homes.rows[chunk] - area.row, homes.columns[chunk] - area.column
            cells[rows, :, columns, :] = self._pictures[int(dimmed)][self._slots[contents]]

    def _bring(self, wanted: Indices) -> None:
        missing = wanted[self._slots[wanted] < 0]
        if self._drawn + len(missing) > self._most:
            self._slots[:] = -1
            self._drawn, missing = 0, wanted
        first, last = self._drawn, self._drawn + len(missing)
        self._make_room(last)
        told = [self._homes.told(content) for content in missing.tolist()]
        drawn = part_squares(self._threads, told, self._forms)
        self._pictures[0, first:last], self._pictures[1, first:last] = lit_and_dimmed(self._threads, drawn)
        self._slots[missing] = np.arange(first, last)
        self._drawn = last

    def _make_room(self, pictures: int) -> None:
        held = self._pictures.shape[1]
        if pictures > held:
            more = min(self._most, max(pictures, 2 * held)) - held
            room = np.zeros((2, more, self._pitch, self._pitch), np.uint32)
            self._pictures = np.concatenate([self._pictures, room], 1)


def part_squares(threads: Threads, contents: Sequence[Content], forms: PartForms) -> Floats:
    """Draw squares that hold these part stitches: shape (n, pitch, pitch, 3), sRGB parts 0 to 255."""
    pictures = bare_squares(threads.look, len(contents), forms.pitch)
    for layer in range(max(len(content) for content in contents)):
        held = [index for index, content in enumerate(contents) if len(content) > layer]
        here = [contents[index][layer] for index in held]
        pictures[held] = _with_parts(threads, pictures[held], here, forms)
    return pictures


def _with_parts(
    threads: Threads, ground: Floats, here: Sequence[tuple[int, int, int]], forms: PartForms
) -> Floats:
    shapes = [shape for shape, _, _ in here]
    codes = [state * threads.codes_a_state + number for _, number, state in here]
    fills, inks = threads.fills[codes][:, None, None, :], threads.inks[codes][:, None, None, :]
    done = np.array([state != 0 for _, _, state in here])[:, None, None, None]
    if threads.look.worked and done.any():
        picture = laid(ground, fills * np.float32(0.6), _shares(forms.shade, shapes) * done)
        picture = laid(picture, fills, _shares(forms.leg, shapes) * done)
        flat = ~done
    else:
        picture, flat = ground, np.ones_like(done)
    picture = laid(picture, fills, _shares(forms.fill, shapes) * flat)
    picture = laid(picture, inks, _shares(forms.rim, shapes) * flat)
    if not threads.look.worked and done.any():
        picture = laid(picture, inks, _shares(forms.tick, shapes) * done)
    return laid(picture, inks, _symbols(threads, here, forms) * flat)


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
        place = {number: index for index, number in enumerate(numbers)}
        for index, (shape, number, _) in enumerate(here):
            x, y = forms.symbol[shape]
            sheet[index, y : y + half, x : x + half] = ink[place[number]]
    shares: Floats = sheet.astype(np.float32)[..., None] / np.float32(255)
    return shares
