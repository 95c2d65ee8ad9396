"""Draw squares of every thread and state at one size: fill, symbol, grid line and the state's own drawing."""

import numpy as np
from numpy.typing import NDArray

from stitchview.canvas.glyphs import SMALLEST_WITH_SYMBOL, cross_masks, tick_mask
from stitchview.canvas.looks import Look
from stitchview.canvas.mixing import Floats, Pixels, laid, packed, parts_of_colour, shares
from stitchview.canvas.stateforms import far_form, half_done, half_woven, waiting, wrong
from stitchview.canvas.threads import Threads
from stitchview.chart.colour import Colour
from stitchview.done.change import DONE, FIRST_LEG, LATER, MISTAKE, STATES

SMALLEST_WITH_GRID = 5


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
        pictures = _without_symbols(threads, codes, pitch)
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
    for state in range(STATES):
        here = np.flatnonzero((numbers > 0) & (states == state))
        if len(here):
            pictures[here] = _in_state(threads, numbers[here], state, pitch)
    return pictures


def _in_state(threads: Threads, numbers: NDArray[np.intp], state: int, pitch: int) -> Floats:
    """Draw squares of these key numbers, all in one state, large enough for their symbols."""
    codes = numbers + state * threads.codes_a_state
    if state == DONE:
        return (_woven if threads.look.worked else _cleared)(threads, numbers, pitch)
    if state == FIRST_LEG and threads.look.worked:
        inks = threads.inks[numbers + DONE * threads.codes_a_state]
        return half_woven(_woven(threads, numbers, pitch, crossed=False), inks, pitch)
    plain = laid(_flat(threads.fills[codes]), _flat(threads.inks[codes]), _symbols(threads, numbers, pitch))
    if state == FIRST_LEG:
        return half_done(plain, _cleared(threads, numbers, pitch), threads.inks[codes], pitch)
    if state == LATER:
        return waiting(plain, threads.inks[codes], pitch)
    return wrong(plain, threads.inks[codes], pitch) if state == MISTAKE else plain


def _without_symbols(threads: Threads, codes: NDArray[np.intp], pitch: int) -> Floats:
    """Draw squares too small for their symbols."""
    numbers, states = codes % threads.codes_a_state, codes // threads.codes_a_state
    flat = threads.far.astype(np.float32)
    pictures = np.empty((len(codes), pitch, pitch, 3), np.float32)
    for state in range(STATES):
        here = np.flatnonzero(states == state)
        if len(here):
            beside = flat[numbers[here] + threads.codes_a_state]
            if state == MISTAKE:
                beside = np.broadcast_to(parts_of_colour(threads.look.ground.paper), beside.shape)
            told = numbers[here] if state == FIRST_LEG and pitch > 1 else codes[here]
            pictures[here] = far_form(state, flat[told], beside, pitch)
    pictures[numbers == 0] = parts_of_colour(threads.look.ground.paper)
    return pictures


def _symbols(threads: Threads, numbers: NDArray[np.intp], pitch: int) -> Floats:
    return shares(threads.paths.coverage((numbers - 1).tolist(), pitch, threads.look.symbol_size))


def _cleared(threads: Threads, numbers: NDArray[np.intp], pitch: int) -> Floats:
    codes = numbers + DONE * threads.codes_a_state
    fills, inks = _flat(threads.fills[codes]), _flat(threads.inks[codes])
    weight = np.array(
        [0.5 if threads.recedes(number, DONE) else 1.0 for number in numbers.tolist()], np.float32
    )
    weak = laid(fills, inks, shares(tick_mask(pitch)) * np.float32(0.45))
    return laid(weak, inks, _symbols(threads, numbers, pitch) * weight[:, None, None, None])


def _woven(threads: Threads, numbers: NDArray[np.intp], pitch: int, crossed: bool = True) -> Floats:
    """Draw woven crosses: cloth that takes on a little of the thread, the leg below, the leg above.

    Those that are not `crossed` have the leg below only.
    """
    colours = _flat(threads.fills[numbers + DONE * threads.codes_a_state])
    masks = cross_masks(pitch, threads.swapped)
    cloth = laid(parts_of_colour(threads.look.ground.paper), colours, np.float32(0.16))
    dark = colours * np.float32(0.62)
    picture = laid(cloth, laid(colours, dark, np.float32(0.45)), shares(masks.under))
    if not crossed:
        return picture
    picture = laid(picture, dark, shares(masks.shade) * np.float32(0.8))
    return laid(picture, colours, shares(masks.over))


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
