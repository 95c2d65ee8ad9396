"""Ready pictures of every square at one size: fill, symbol, grid and done look baked in, lit and dimmed."""

from collections.abc import Sequence
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
# Above this many bytes the atlas holds only the squares in view, and is filled as they come.
MOST_BYTES = 12 << 20


@dataclass(frozen=True)
class Threads:
    """What an atlas is made from: the key, its symbols, the look and the thread in hand (0 for none)."""

    key: Sequence[KeyEntry]
    paths: GlyphPaths
    look: Look
    in_hand: int = 0


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

    @property
    def codes_a_state(self) -> int:
        """How many codes each state has: the key entries and the empty square."""
        return len(self.threads.key) + 1

    def slots_for(self, codes: NDArray[np.uint16]) -> NDArray[np.integer]:
        """Give the slots of an array of codes (any shape), drawing the pictures that are missing."""
        if self.slot_of is None:
            return codes
        slots = self.slot_of[codes]
        if slots.min(initial=0) < 0:
            self._bring(np.unique(codes))
            slots = self.slot_of[codes]
        return slots

    def _bring(self, wanted: NDArray[np.uint16]) -> None:
        assert self.slot_of is not None
        missing = wanted[self.slot_of[wanted] < 0]
        if self._next + len(missing) > self.slots:
            self.slot_of[:] = -1
            self._next, missing = 0, wanted
        places = np.arange(self._next, self._next + len(missing))
        self._next += len(missing)
        self.slot_of[missing] = places
        self._fill(missing.astype(np.intp), places)

    def _fill(self, codes: NDArray[np.intp], places: NDArray[np.intp]) -> None:
        pictures = square_pictures(self.threads, codes, self.pitch)
        for sheet, dimmed in ((self.lit, False), (self.dimmed, True)):
            drawn = lit_or_dimmed(self.threads, pictures, dimmed)
            sheet.reshape(self.pitch, self.slots, self.pitch)[:, places, :] = drawn.transpose(1, 0, 2)


def make_atlas(threads: Threads, pitch: int) -> Atlas:
    """Make the atlas for squares of `pitch` whole pixels; a huge one fills itself as squares come in view."""
    codes = STATES * (len(threads.key) + 1)
    sparse = 2 * codes * pitch * pitch * 4 > MOST_BYTES
    # A strip can show at most as many pictures as it has squares, so this many slots are always enough.
    slots = min(codes, max(256, MOST_BYTES // (8 * pitch * pitch))) if sparse else codes
    lit = np.zeros((pitch * slots, pitch), np.uint32)
    atlas = Atlas(threads, pitch, slots, lit, np.zeros_like(lit))
    if sparse:
        atlas.slot_of = np.full(codes, -1, np.intp)
    else:
        everything = np.arange(codes)
        atlas._fill(everything, everything)
    return atlas


def far_colours(threads: Threads) -> NDArray[np.uint8]:
    """Give the one colour of every code for squares without symbols: shape (codes, 3), sRGB."""
    look = threads.look
    rows = []
    for state in range(STATES):
        rows.append(look.ground.paper)
        for number, entry in enumerate(threads.key, 1):
            rows.append(_receded(threads, number, look.far_colour(entry.colour, state != 0)))
    return np.array([(c.red, c.green, c.blue) for c in rows], np.uint8)


def lit_or_dimmed(threads: Threads, pictures: Floats, dimmed: bool) -> Pixels:
    """Pack pictures of shape (..., 3), sRGB parts 0 to 255, as RGB32, with the dimming over them or not."""
    if not dimmed:
        return packed((pictures + np.float32(0.5)).astype(np.uint8))
    veiled = laid(pictures, parts_of_colour(threads.look.ground.dim), np.float32(threads.look.dim))
    return packed((veiled + np.float32(0.5)).astype(np.uint8))


def square_pictures(threads: Threads, codes: NDArray[np.intp], pitch: int) -> Floats:
    """Draw squares of `codes` at `pitch` pixels: shape (n, pitch, pitch, 3), sRGB parts 0 to 255."""
    if pitch < SMALLEST_WITH_SYMBOL:
        flat = far_colours(threads)[codes].astype(np.float32)
        pictures = np.repeat(np.repeat(flat[:, None, None, :], pitch, 1), pitch, 2)
    else:
        pictures = _with_symbols(threads, codes, pitch)
    if pitch >= SMALLEST_WITH_GRID:
        _rule(pictures, threads.look)
    return pictures


def bare_squares(look: Look, count: int, pitch: int) -> Floats:
    """Draw empty squares with their grid lines: shape (count, pitch, pitch, 3), sRGB parts 0 to 255."""
    bare = np.empty((1, pitch, pitch, 3), np.float32)
    bare[:] = parts_of_colour(look.ground.paper)
    if pitch >= SMALLEST_WITH_GRID:
        _rule(bare, look)
    return np.repeat(bare, count, 0)


def _with_symbols(threads: Threads, codes: NDArray[np.intp], pitch: int) -> Floats:
    count = len(threads.key) + 1
    numbers, done = codes % count, codes // count != 0
    held = np.unique(numbers[numbers > 0]) - 1
    place = np.zeros(count, np.intp)
    place[held + 1] = np.arange(len(held))
    ink = threads.paths.coverage(held.tolist(), pitch, threads.look.symbol_size)
    pictures = np.empty((len(codes), pitch, pitch, 3), np.float32)
    cross = [_shares(mask) for mask in _cross(pitch)]
    tick = _shares(tick_mask(pitch))
    for index, (number, is_done) in enumerate(zip(numbers.tolist(), done.tolist(), strict=True)):
        if number == 0:
            pictures[index] = parts_of_colour(threads.look.ground.paper)
        elif is_done and threads.look.worked:
            pictures[index] = _worked(threads, number, cross)
        elif is_done:
            pictures[index] = _cleared(threads, number, _shares(ink[place[number]]), tick)
        else:
            pictures[index] = _open(threads, number, _shares(ink[place[number]]))
    return pictures


def _cross(pitch: int) -> tuple[NDArray[np.uint8], ...]:
    masks = cross_masks(pitch)
    return masks.under, masks.shade, masks.over


def colours_of(threads: Threads, number: int, done: bool) -> tuple[Colour, Colour]:
    """Give the fill and the ink of a stitch of key entry `number` (from 1), pale beside a thread in hand."""
    look, thread = threads.look, threads.key[number - 1].colour
    if done:
        fill = thread if look.worked else look.cleared_fill(thread)
        return _receded(threads, number, fill), look.ground.faded_ink
    fill = look.open_fill(thread)
    if _is_receded(threads, number):
        return _receded(threads, number, fill), look.ground.faded_ink
    return fill, look.open_ink(fill)


def _open(threads: Threads, number: int, ink: Floats) -> Floats:
    fill, pen = colours_of(threads, number, done=False)
    return laid(parts_of_colour(fill), parts_of_colour(pen), ink)


def _cleared(threads: Threads, number: int, ink: Floats, tick: Floats) -> Floats:
    fill, pen = (parts_of_colour(colour) for colour in colours_of(threads, number, done=True))
    weak = laid(fill, pen, tick * np.float32(0.45))
    return laid(weak, pen, ink * np.float32(0.5 if _is_receded(threads, number) else 1.0))


def _worked(threads: Threads, number: int, cross: Sequence[Floats]) -> Floats:
    colour, _ = colours_of(threads, number, done=True)
    ground = threads.look.ground
    under, shade, over = cross
    cloth = parts_of_colour(ground.paper.mixed(colour, 0.16))
    dark = colour.mixed(Colour(0, 0, 0), 0.38)
    picture = laid(cloth, parts_of_colour(colour.mixed(dark, 0.45)), under)
    picture = laid(picture, parts_of_colour(dark), shade * 0.8)
    return laid(picture, parts_of_colour(colour), over)


def _rule(pictures: Floats, look: Look) -> None:
    thin = parts_of_colour(look.ground.thin if look.paper else Colour(128, 126, 122))
    share = 1.0 if look.paper else 0.38
    for lines in (pictures[:, 0, :, :], pictures[:, 1:, 0, :]):
        lines[...] = laid(lines, thin, np.float32(share))


def _is_receded(threads: Threads, number: int) -> bool:
    return threads.in_hand not in (0, number)


def _receded(threads: Threads, number: int, colour: Colour) -> Colour:
    if not _is_receded(threads, number):
        return colour
    return colour.mixed(threads.look.ground.paper, RECEDED_SHARE)


def parts_of_colour(colour: Colour) -> Floats:
    """Give a colour's sRGB parts as float32 of shape (3,)."""
    return np.array((colour.red, colour.green, colour.blue), np.float32)


def _shares(mask: NDArray[np.uint8]) -> Floats:
    """Turn coverage of shape (pitch, pitch) into shares of 1, ready to be laid over colours."""
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
