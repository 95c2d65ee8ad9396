"""Ready pictures of every square at one size: fill, symbol, grid and done look baked in, lit and dimmed."""

import functools
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from stitchview.canvas.glyphs import SMALLEST_WITH_SYMBOL, GlyphPaths, cross_masks, tick_mask
from stitchview.canvas.looks import RECEDED_SHARE, Look
from stitchview.chart.colour import Colour
from stitchview.chart.model import KeyEntry

Pixels = NDArray[np.uint32]
Floats = NDArray[np.float32]

SMALLEST_WITH_GRID = 5
# Open and done, as `done.marks` numbers them.
STATES = 2
# Up to this many bytes an atlas holds every square from the first; above, those that came in view.
DENSE_BYTES = 1 << 20
MOST_BYTES = 12 << 20
FIRST_SLOTS = 48


@dataclass(frozen=True)
class Threads:
    """What an atlas is made from: the key, its symbols, the look and the thread in hand (0 for none).

    `held_back` numbers the threads that wait for the end: what is left of them stands back.
    The colours below are worked out once, for every code = state * (key entries + 1) + key number.
    """

    key: Sequence[KeyEntry]
    paths: GlyphPaths
    look: Look
    in_hand: int = 0
    held_back: frozenset[int] = frozenset()

    @property
    def codes_a_state(self) -> int:
        """How many codes each state has: the key entries and the empty square."""
        return len(self.key) + 1

    def recedes(self, number: int, state: int = 0) -> bool:
        """Whether the thread of key entry `number` stands back: for another one in hand, or till the end."""
        if self.in_hand:
            return number != self.in_hand
        return state == 0 and number in self.held_back

    @functools.cached_property
    def fills(self) -> Floats:
        """The fill of every code, sRGB parts 0 to 255, shape (codes, 3)."""
        return self._table(lambda number, state: self._colours(number, state)[0])

    @functools.cached_property
    def inks(self) -> Floats:
        """The ink of every code, sRGB parts 0 to 255, shape (codes, 3)."""
        return self._table(lambda number, state: self._colours(number, state)[1])

    @functools.cached_property
    def far(self) -> NDArray[np.uint8]:
        """The one colour of every code for squares without symbols, sRGB, shape (codes, 3)."""
        look, key = self.look, self.key
        colours = self._table(
            lambda number, state: self._pale(
                number, state, look.far_colour(key[number - 1].colour, state != 0)
            )
        )
        return colours.astype(np.uint8)

    @functools.cached_property
    def lines(self) -> NDArray[np.uint8]:
        """The colour of lines, knots and beads of every code, sRGB, shape (codes, 3)."""
        look, key = self.look, self.key
        colours = self._table(
            lambda number, state: self._pale(
                number, state, look.line_colour(key[number - 1].colour, state != 0)
            )
        )
        return colours.astype(np.uint8)

    def _table(self, colour: Callable[[int, int], Colour]) -> Floats:
        paper = self.look.ground.paper
        rows = [
            paper if number == 0 else colour(number, state)
            for state in range(STATES)
            for number in range(self.codes_a_state)
        ]
        return np.array([(row.red, row.green, row.blue) for row in rows], np.float32)

    def _colours(self, number: int, state: int) -> tuple[Colour, Colour]:
        look, thread = self.look, self.key[number - 1].colour
        if state:
            fill = self._pale(number, state, thread if look.worked else look.cleared_fill(thread))
            return fill, look.faded_ink(fill)
        fill = self._pale(number, state, look.open_fill(thread))
        return fill, look.faded_ink(fill) if self.recedes(number) else look.open_ink(fill)

    def _pale(self, number: int, state: int, colour: Colour) -> Colour:
        paper = self.look.ground.paper
        return colour.mixed(paper, RECEDED_SHARE) if self.recedes(number, state) else colour


@dataclass
class Atlas:
    """Pictures of squares, `pitch` pixels wide, for every code = state * (key entries + 1) + key number.

    `lit` and `dimmed` have shape (pitch * slots, pitch): row y * slots + slot is row y of the
    picture in that slot, so that one `take` composes a strip of the chart. `slot_of` is None when
    every code has its own slot, else it gives the slot of a code, -1 where none is held yet.
    """

    threads: Threads
    pitch: int
    slots: int
    lit: Pixels
    dimmed: Pixels
    slot_of: NDArray[np.intp] | None = None
    _next: int = field(default=0)

    def slots_for(self, codes: NDArray[np.uint16]) -> NDArray[np.integer]:
        """Give the slots of an array of codes (any shape), drawing the pictures that are missing."""
        if self.slot_of is None:
            return codes
        slots = self.slot_of.take(codes)
        if slots.min(initial=0) < 0:
            self._bring(np.unique(codes))
            slots = self.slot_of.take(codes)
        return slots

    def _bring(self, wanted: NDArray[np.uint16]) -> None:
        assert self.slot_of is not None
        missing = wanted[self.slot_of[wanted] < 0]
        if self._next + len(missing) > self.slots:
            missing = self._make_room(wanted, missing)
        places = np.arange(self._next, self._next + len(missing))
        self._next += len(missing)
        self.slot_of[missing] = places
        self._fill(missing.astype(np.intp), places)

    def _make_room(self, wanted: NDArray[np.uint16], missing: NDArray[np.uint16]) -> NDArray[np.uint16]:
        """Grow, or, when that would be too much, begin anew; gives what has to be drawn."""
        assert self.slot_of is not None
        most = max(len(wanted), MOST_BYTES // (8 * self.pitch * self.pitch))
        needed = self._next + len(missing)
        if needed > most:
            self.slot_of[:] = -1
            self._next, missing, needed = 0, wanted, len(wanted)
        slots = min(most, len(self.slot_of), max(needed, 2 * self.slots))
        self.lit, self.dimmed = (self._moved(sheet, slots) for sheet in (self.lit, self.dimmed))
        self.slots = slots
        return missing

    def _moved(self, sheet: Pixels, slots: int) -> Pixels:
        moved = np.empty((self.pitch, slots, self.pitch), np.uint32)
        moved[:, : self._next] = sheet.reshape(self.pitch, self.slots, self.pitch)[:, : self._next]
        return moved.reshape(-1, self.pitch)

    def _fill(self, codes: NDArray[np.intp], places: NDArray[np.intp]) -> None:
        pictures = square_pictures(self.threads, codes, self.pitch)
        both = lit_and_dimmed(self.threads, pictures)
        for sheet, drawn in zip((self.lit, self.dimmed), both, strict=True):
            sheet.reshape(self.pitch, self.slots, self.pitch)[:, places, :] = drawn.transpose(1, 0, 2)


def make_atlas(threads: Threads, pitch: int) -> Atlas:
    """Make the atlas for squares of `pitch` whole pixels; a large one fills itself as squares come up."""
    codes = STATES * threads.codes_a_state
    dense = 8 * codes * pitch * pitch <= DENSE_BYTES
    slots = codes if dense else min(codes, FIRST_SLOTS)
    lit, dim = (np.zeros((pitch * slots, pitch), np.uint32) for _ in range(2))
    atlas = Atlas(threads, pitch, slots, lit, dim)
    if dense:
        everything = np.arange(codes)
        atlas._fill(everything, everything)
    else:
        atlas.slot_of = np.full(codes, -1, np.intp)
    return atlas


def lit_and_dimmed(threads: Threads, pictures: Floats) -> tuple[Pixels, Pixels]:
    """Pack pictures of shape (..., 3), sRGB parts 0 to 255, as RGB32: as they are, and dimmed."""
    whole = (pictures + np.float32(0.5)).astype(np.uint8)
    return packed(whole), packed(dimmed(threads.look, whole))


def dimmed(look: Look, colours: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Lay the dimming over sRGB colours of shape (..., 3)."""
    veiled = np.empty_like(colours)
    every = np.arange(256)
    for channel, veil in enumerate(parts_of_colour(look.ground.dim).tolist()):
        table = np.floor(every + (veil - every) * look.dim + 0.5).astype(np.uint8)
        np.take(table, colours[..., channel], out=veiled[..., channel])
    return veiled


def square_pictures(threads: Threads, codes: NDArray[np.intp], pitch: int) -> Floats:
    """Draw squares of `codes` at `pitch` pixels: shape (n, pitch, pitch, 3), sRGB parts 0 to 255."""
    if pitch < SMALLEST_WITH_SYMBOL:
        flat = threads.far[codes].astype(np.float32)
        pictures = np.repeat(np.repeat(flat[:, None, None, :], pitch, 1), pitch, 2)
    else:
        pictures = _with_symbols(threads, codes, pitch)
    if pitch >= SMALLEST_WITH_GRID:
        _rule(pictures, threads.look)
    return pictures


def bare_square(look: Look, pitch: int) -> Floats:
    """Draw an empty square with its grid lines: shape (pitch, pitch, 3), sRGB parts 0 to 255."""
    bare = np.empty((1, pitch, pitch, 3), np.float32)
    bare[:] = parts_of_colour(look.ground.paper)
    if pitch >= SMALLEST_WITH_GRID:
        _rule(bare, look)
    square: Floats = bare[0]
    return square


def _with_symbols(threads: Threads, codes: NDArray[np.intp], pitch: int) -> Floats:
    numbers, states = codes % threads.codes_a_state, codes // threads.codes_a_state
    pictures = np.empty((len(codes), pitch, pitch, 3), np.float32)
    pictures[numbers == 0] = parts_of_colour(threads.look.ground.paper)
    stitched = numbers > 0
    to_do, done = np.flatnonzero(stitched & (states == 0)), np.flatnonzero(stitched & (states != 0))
    if len(to_do):
        ink = _symbols(threads, numbers[to_do], pitch)
        pictures[to_do] = laid(_flat(threads.fills[codes[to_do]]), _flat(threads.inks[codes[to_do]]), ink)
    if len(done) and threads.look.worked:
        pictures[done] = _worked(threads, codes[done], pitch)
    elif len(done):
        pictures[done] = _cleared(threads, codes[done], numbers[done], pitch)
    return pictures


def _symbols(threads: Threads, numbers: NDArray[np.intp], pitch: int) -> Floats:
    return _shares(threads.paths.coverage((numbers - 1).tolist(), pitch, threads.look.symbol_size))


def _cleared(threads: Threads, codes: NDArray[np.intp], numbers: NDArray[np.intp], pitch: int) -> Floats:
    fills, inks = _flat(threads.fills[codes]), _flat(threads.inks[codes])
    weight = np.array([0.5 if threads.recedes(number, 1) else 1.0 for number in numbers.tolist()], np.float32)
    weak = laid(fills, inks, _shares(tick_mask(pitch)) * np.float32(0.45))
    return laid(weak, inks, _symbols(threads, numbers, pitch) * weight[:, None, None, None])


def _worked(threads: Threads, codes: NDArray[np.intp], pitch: int) -> Floats:
    """Draw woven crosses: cloth that takes on a little of the thread, the leg below, the leg above."""
    colours = _flat(threads.fills[codes])
    masks = cross_masks(pitch)
    cloth = laid(parts_of_colour(threads.look.ground.paper), colours, np.float32(0.16))
    dark = colours * np.float32(0.62)
    picture = laid(cloth, laid(colours, dark, np.float32(0.45)), _shares(masks.under))
    picture = laid(picture, dark, _shares(masks.shade) * np.float32(0.8))
    return laid(picture, colours, _shares(masks.over))


def _flat(colours: Floats) -> Floats:
    return colours[:, None, None, :]


def _rule(pictures: Floats, look: Look) -> None:
    for lines in (pictures[:, 0, :, :], pictures[:, 1:, 0, :]):
        lines[...] = line_colours(lines, look)


def line_colours(fills: Floats, look: Look) -> Floats:
    """Give the colour of the grid line on squares of these colours, sRGB parts of shape (..., 3)."""
    if look.paper:
        return laid(fills, parts_of_colour(look.ground.thin), np.float32(1))
    return laid(fills, parts_of_colour(Colour(128, 126, 122)), np.float32(0.38))


def parts_of_colour(colour: Colour) -> Floats:
    """Give a colour's sRGB parts as float32 of shape (3,)."""
    return np.array((colour.red, colour.green, colour.blue), np.float32)


def _shares(mask: NDArray[np.uint8]) -> Floats:
    """Turn coverage of shape (..., pitch, pitch) into shares of 1, ready to be laid over colours."""
    shares: Floats = mask.astype(np.float32)[..., None] / np.float32(255)
    return shares


def laid(ground: Floats, ink: Floats, coverage: Floats | np.float32) -> Floats:
    """Lay ink over a ground, both of shape (..., 3), by coverage from 0 to 1."""
    result: Floats = ground + (ink - ground) * coverage
    return result


def packed(colours: NDArray[np.uint8]) -> Pixels:
    """Pack sRGB colours of shape (..., 3) as RGB32 of shape (...)."""
    pixels = np.full(colours.shape[:-1], 0xFF000000, np.uint32)
    for channel, shift in enumerate((16, 8, 0)):
        pixels |= colours[..., channel].astype(np.uint32) << np.uint32(shift)
    return pixels
