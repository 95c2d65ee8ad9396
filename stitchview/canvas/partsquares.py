"""Squares with part stitches as ready pictures, put into the strips like any other square."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from stitchview.canvas.itemindex import Indices
from stitchview.canvas.mixing import Floats, Pixels
from stitchview.canvas.partforms import part_forms, part_weights
from stitchview.canvas.parthomes import PartHomes
from stitchview.canvas.squarepictures import bare_square, lit_and_dimmed
from stitchview.canvas.threads import Threads
from stitchview.chart.area import Area
from stitchview.done.change import DONE

MOST_BYTES = 8 << 20
# Room for so many pictures is made at first, and twice as much whenever it is full.
FIRST = 16
# Below this many pixels there is no room for a symbol inside a quarter.
SMALLEST_QUARTER_SYMBOL = 8

# What a square holds: for each part stitch its shape, key number and state.
Content = tuple[tuple[int, int, int], ...]


class PartPictures:
    """Pictures of squares with part stitches at one size, each drawn when it first comes in view.

    A square's content is its kind (which parts it has) and their states, as one number; squares of
    one content share a picture. `_slots` gives the picture of a content, -1 while there is none; `_rare`
    those of squares with a part that is later or a mistake, because there would be far too many.
    """

    def __init__(self, threads: Threads, homes: PartHomes, pitch: int) -> None:
        self._threads, self._homes, self._pitch = threads, homes, pitch
        self._brush = PartBrush(threads, pitch)
        self._most = max(64, MOST_BYTES // (8 * pitch * pitch))
        self._pictures = np.empty((2, min(FIRST, self._most), pitch, pitch), np.uint32)
        self._slots = np.full(homes.plain, -1, np.int32)
        self._rare: dict[int, int] = {}
        self._drawn = 0

    @property
    def bytes(self) -> int:
        """How much memory the pictures take, with what draws them."""
        return self._pictures.nbytes + self._slots.nbytes + self._brush.bytes

    def prepare(self, area: Area, states: NDArray[np.uint8]) -> None:
        """Draw at once what is missing in `area`: many together cost little more than one."""
        contents = self._homes.contents(self._homes.within(area), states)
        missing = contents[self._slots_of(contents) < 0]
        if len(missing):
            self._bring(np.unique(missing)[: self._most])

    def draw(self, pixels: Pixels, area: Area, states: NDArray[np.uint8], dimmed: bool) -> None:
        """Put the squares of `area` into a strip's pixels of shape (height, width)."""
        homes = self._homes
        found = homes.within(area)
        if not len(found):
            return
        cells = pixels.reshape(area.rows, self._pitch, area.columns, self._pitch)
        for start in range(0, len(found), self._most):
            chunk = found[start : start + self._most]
            contents = homes.contents(chunk, states)
            if ((slots := self._slots_of(contents)) < 0).any():
                self._bring(np.unique(contents))
                slots = self._slots_of(contents)
            rows, columns = homes.rows[chunk] - area.row, homes.columns[chunk] - area.column
            cells[rows, :, columns, :] = self._pictures[int(dimmed)][slots]

    def _slots_of(self, contents: Indices) -> NDArray[np.int32]:
        """Where the pictures of contents are, -1 for those there are none of."""
        if not len(contents) or contents.max() < self._homes.plain:
            return self._slots[contents]
        common = contents < self._homes.plain
        slots = np.empty(len(contents), np.int32)
        slots[common] = self._slots[contents[common]]
        slots[~common] = [self._rare.get(each, -1) for each in contents[~common].tolist()]
        return slots

    def _bring(self, wanted: Indices) -> None:
        missing = wanted[self._slots_of(wanted) < 0]
        if self._drawn + len(missing) > self._most:
            self._slots[:] = -1
            self._rare.clear()
            self._drawn, missing = 0, wanted
        first, last = self._drawn, self._drawn + len(missing)
        self._make_room(last)
        told = [self._homes.told(content) for content in missing.tolist()]
        drawn = self._brush.draw(told)
        self._pictures[0, first:last], self._pictures[1, first:last] = lit_and_dimmed(self._threads, drawn)
        places, common = np.arange(first, last), missing < self._homes.plain
        self._slots[missing[common]] = places[common]
        self._rare.update(zip(missing[~common].tolist(), places[~common].tolist(), strict=True))
        self._drawn = last

    def _make_room(self, pictures: int) -> None:
        held = self._pictures.shape[1]
        if pictures > held:
            more = np.empty(
                (2, min(self._most, max(pictures, 2 * held)), *self._pictures.shape[2:]), np.uint32
            )
            more[:, : self._drawn] = self._pictures[:, : self._drawn]
            self._pictures = more


class PartBrush:
    """Draws squares with part stitches at one size, by how much of each pixel is ground, fill and ink."""

    def __init__(self, threads: Threads, pitch: int) -> None:
        self._threads, self._pitch = threads, pitch
        self._forms = part_forms(pitch)
        self._by_state: dict[int, NDArray[np.float32]] = {}
        self._bare = bare_square(threads.look, pitch).reshape(-1, 3)
        self._symbols: dict[int, NDArray[np.uint8]] = {}

    @property
    def bytes(self) -> int:
        """How much memory the weights take."""
        return sum(weights.nbytes for weights in self._by_state.values())

    def _weights(self, state: int) -> NDArray[np.float32]:
        if state not in self._by_state:
            self._by_state[state] = part_weights(self._forms, state, self._threads.look.worked)
        return self._by_state[state]

    def draw(self, contents: Sequence[Content]) -> Floats:
        """Draw squares of these contents: shape (n, pitch, pitch, 3), sRGB parts 0 to 255."""
        pictures = np.repeat(self._bare[None], len(contents), 0)
        for layer in range(max(len(content) for content in contents)):
            held = [index for index, content in enumerate(contents) if len(content) > layer]
            pictures[held] = self._with_parts(pictures[held], [contents[index][layer] for index in held])
        return pictures.reshape(len(contents), self._pitch, self._pitch, 3)

    def _with_parts(self, ground: Floats, here: Sequence[tuple[int, int, int]]) -> Floats:
        shapes, numbers, states = (np.array(column) for column in zip(*here, strict=True))
        codes = states * self._threads.codes_a_state + numbers
        weights = np.empty((len(here), self._pitch * self._pitch, 3), np.float32)
        for state in np.unique(states).tolist():
            mine = states == state
            weights[mine] = self._weights(state)[shapes[mine]]
        fills, inks = self._threads.fills[codes], self._threads.inks[codes]
        if self._threads.look.worked:
            # The ink of a worked stitch is the shade under its thread.
            inks = np.where((states == DONE)[:, None], fills * np.float32(0.6), inks)
        picture: Floats = ground * weights[..., :1] + weights[..., 1:] @ np.stack([fills, inks], 1)
        if self._pitch // 2 >= SMALLEST_QUARTER_SYMBOL:
            self._add_symbols(picture, here, inks)
        return picture

    def _add_symbols(self, picture: Floats, here: Sequence[tuple[int, int, int]], inks: Floats) -> None:
        """Add the half-size symbols, each where its part's shape has room; a worked stitch shows none."""
        half, side = self._pitch // 2, self._pitch
        shapes, numbers, states = np.array(here).T
        shows = (states != DONE) if self._threads.look.worked else np.ones(len(here), np.bool_)
        self._fetch_symbols(set(numbers.tolist()))
        cells = picture.reshape(len(here), side, side, 3)
        for shape in np.unique(shapes[shows]).tolist():
            mine = np.flatnonzero(shows & (shapes == shape))
            x, y = self._forms.symbol[shape]
            masks = np.stack([self._symbols[number] for number in numbers[mine].tolist()])
            corners = cells[mine, y : y + half, x : x + half]
            corners += (inks[mine, None, None] - corners) * (masks[..., None] * np.float32(1 / 255))
            cells[mine, y : y + half, x : x + half] = corners

    def _fetch_symbols(self, numbers: set[int]) -> None:
        missing = sorted(numbers - self._symbols.keys())
        if missing:
            half = self._pitch // 2
            masks = self._threads.paths.coverage([number - 1 for number in missing], half, 0.66)
            self._symbols.update(zip(missing, masks, strict=True))
