"""Ready pictures of every square at one size: fill, symbol, grid and state baked in, lit and dimmed."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from stitchview.canvas.glyphs import SMALLEST_WITH_SYMBOL
from stitchview.canvas.mixing import Pixels
from stitchview.canvas.squarepictures import lit_and_dimmed, square_pictures
from stitchview.canvas.threads import Threads
from stitchview.done.change import FIRST_STATES, STATES

# Up to this many bytes an atlas holds every square from the first; above, those that came in view.
DENSE_BYTES = 1 << 18
MOST_BYTES = 12 << 20
FIRST_SLOTS = 48


@dataclass
class Atlas:
    """Pictures of squares, `pitch` pixels wide, for every code = state * (key entries + 1) + key number.

    `lit` and `dimmed` have shape (pitch * slots, pitch): row y * slots + slot is row y of the
    picture in that slot, so that one `take` composes a strip of the chart. `slot_of` is None when
    every code below `slots` is its own slot, else it gives the slot of a code, -1 where none is held yet.
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
            if codes.max(initial=0) < self.slots:
                return codes
            self.slot_of = self._opened_up()
        slots = self.slot_of.take(codes)
        if slots.min(initial=0) < 0:
            self._bring(np.unique(codes))
            slots = self.slot_of.take(codes)
        return slots

    def _opened_up(self) -> NDArray[np.intp]:
        """Go on with all states, their pictures drawn as they come up, because one came that is rare."""
        slot_of = np.full(STATES * self.threads.codes_a_state, -1, np.intp)
        slot_of[: self.slots] = np.arange(self.slots)
        self._next = self.slots
        return slot_of

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
    # Large squares of the other states are drawn when there are any: most evenings have none.
    common = codes if pitch < SMALLEST_WITH_SYMBOL else FIRST_STATES * threads.codes_a_state
    dense = 8 * common * pitch * pitch <= DENSE_BYTES
    slots = common if dense else min(codes, FIRST_SLOTS)
    lit, dim = (np.zeros((pitch * slots, pitch), np.uint32) for _ in range(2))
    atlas = Atlas(threads, pitch, slots, lit, dim)
    if dense:
        everything = np.arange(slots)
        atlas._fill(everything, everything)
    else:
        atlas.slot_of = np.full(codes, -1, np.intp)
    return atlas
