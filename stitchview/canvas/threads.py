"""What the pictures of squares are made from: the key, the look, and the colours of each thread and state."""

import functools
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.canvas.glyphs import GlyphPaths
from stitchview.canvas.looks import RECEDED_SHARE, Look
from stitchview.canvas.mixing import Floats
from stitchview.chart.colour import Colour
from stitchview.chart.model import KeyEntry
from stitchview.done.change import DONE, FIRST_LEG, MISTAKE, OPEN, STATES


@dataclass(frozen=True)
class Threads:
    """What an atlas is made from: the key, its symbols, the look and the thread in hand (0 for none).

    `held_back` numbers the threads that wait for the end: what is left of them stands back. `swapped`
    tells that the chart is seen so that rising legs fall.
    The colours below are worked out once, for every code = state * (key entries + 1) + key number.
    """

    key: Sequence[KeyEntry]
    paths: GlyphPaths
    look: Look
    in_hand: int = 0
    held_back: frozenset[int] = frozenset()
    swapped: bool = False

    @property
    def codes_a_state(self) -> int:
        """How many codes each state has: the key entries and the empty square."""
        return len(self.key) + 1

    def recedes(self, number: int, state: int = OPEN) -> bool:
        """Whether the thread of key entry `number` stands back: for another one in hand, or till the end."""
        if self.in_hand:
            return number != self.in_hand
        return state != DONE and number in self.held_back

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
        return self._table(self._far_colour).astype(np.uint8)

    @functools.cached_property
    def lines(self) -> NDArray[np.uint8]:
        """The colour of lines, knots and beads of every code, sRGB, shape (codes, 3)."""
        return self._table(self._line_colour).astype(np.uint8)

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
        if state == MISTAKE:
            return look.ground.ink, look.ground.paper
        if state == DONE:
            fill = self._pale(number, state, thread if look.worked else look.cleared_fill(thread))
            return fill, look.faded_ink(fill)
        fill = self._pale(number, state, look.open_fill(thread))
        return fill, look.faded_ink(fill) if self.recedes(number) else look.open_ink(fill)

    def _far_colour(self, number: int, state: int) -> Colour:
        look, thread = self.look, self.key[number - 1].colour
        if state == MISTAKE:
            return look.ground.ink
        todo, done = (look.far_colour(thread, is_done) for is_done in (False, True))
        colour = {DONE: done, FIRST_LEG: todo.mixed(done, 0.5)}.get(state, todo)
        return self._pale(number, state, colour)

    def _line_colour(self, number: int, state: int) -> Colour:
        if state == MISTAKE:
            return self.look.ground.ink
        return self._pale(number, state, self.look.line_colour(self.key[number - 1].colour, state == DONE))

    def _pale(self, number: int, state: int, colour: Colour) -> Colour:
        paper = self.look.ground.paper
        return colour.mixed(paper, RECEDED_SHARE) if self.recedes(number, state) else colour
