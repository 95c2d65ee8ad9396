"""The colours of lines, knots, beads and their outlines, lit and dimmed."""

import numpy as np
from numpy.typing import NDArray
from PySide6.QtGui import QColor

from stitchview.canvas.itemindex import Indices
from stitchview.canvas.mixing import packed
from stitchview.canvas.qtcolours import as_qt
from stitchview.canvas.squarepictures import dimmed
from stitchview.canvas.threads import Threads
from stitchview.chart.colour import Colour, contrast
from stitchview.done.change import DONE, LATER, MISTAKE

LEAST_CONTRAST = 3
# How many pixels broader the outside of a hollow line is than its inside.
HOLLOW = 2


class Inks:
    """Colours by code = state * (key entries + 1) + key number, as RGB32 and for pens."""

    def __init__(self, threads: Threads) -> None:
        self._look = threads.look
        self._threads = threads
        self._rims: dict[tuple[int, int], QColor | None] = {}
        self._papers = [self._shown(threads.look.ground.paper, dimmed) for dimmed in (0, 1)]
        self._thread_inks: tuple[dict[int, QColor], dict[int, QColor]] = ({}, {})
        self.count = threads.codes_a_state
        self.packed = packed(threads.lines), packed(dimmed(threads.look, threads.lines))

    def codes(self, keys: NDArray[np.uint16], states: NDArray[np.uint8]) -> Indices:
        """Give the codes of items of these key numbers and states."""
        return states.astype(np.intp) * self.count + keys

    def state(self, code: int) -> int:
        """Give the state that a code stands for."""
        return code // self.count

    def thread(self, code: int, dimmed: int) -> QColor:
        """Give the colour of a code."""
        kept = self._thread_inks[dimmed]
        ink = kept.get(code)
        if ink is None:
            ink = kept[code] = QColor.fromRgb(int(self.packed[dimmed][code]))
        return ink

    def rim(self, code: int, dimmed: int) -> QColor | None:
        """Give the colour beside a line: paper's, or grey where paper itself must be told from it.

        A line that stands at less than 3 : 1 to the paper (WCAG 2.2, 1.4.11) could not be found on it,
        such as charcoal at night or white by day. Lines that are done or step back have none.
        """
        if (code, dimmed) not in self._rims:
            self._rims[code, dimmed] = self._new_rim(code, dimmed)
        return self._rims[code, dimmed]

    def _new_rim(self, code: int, dimmed: int) -> QColor | None:
        # What steps back for the thread in hand must not lie across its squares as a broad white bar.
        state, number = divmod(code, self.count)
        if state in (DONE, MISTAKE) or self._threads.recedes(number, state):
            return None
        ground = self._look.ground
        line = Colour(*self._threads.lines[code].tolist())
        if contrast(line, ground.paper) < LEAST_CONTRAST:
            return self._shown(ground.faded_ink, dimmed)
        return None if self._look.paper else self._papers[dimmed]

    def coats(self, code: int, dimmed: int, rim: float) -> list[tuple[QColor, float]]:
        """Give what a line is drawn with, from below: each coat's colour and how much broader it is.

        A line left for later is hollow, a mistake black (at night white) between two rails; `rim` is the
        breadth of the rim on either side.
        """
        state, thread = code // self.count, self.thread(code, dimmed)
        beside = self.rim(code, dimmed)
        below: list[tuple[QColor, float]] = (
            [] if beside is None else [(beside, 2 * rim + HOLLOW * (state == LATER))]
        )
        if state == LATER:
            return [*below, (thread, HOLLOW), (self.paper(dimmed), 0)]
        if state == MISTAKE:
            return [(thread, 2 * HOLLOW), (self.paper(dimmed), HOLLOW), (thread, 0)]
        return [*below, (thread, 0)]

    def paper(self, dimmed: int) -> QColor:
        """Give the colour of bare paper."""
        return self._papers[dimmed]

    def outline(self, faded: bool, dimmed: int) -> QColor:
        """Give the colour of outlines."""
        return self._shown(self._look.ground.faded_ink if faded else self._look.ground.ink, dimmed)

    def _shown(self, colour: Colour, dimmed: int) -> QColor:
        shown = colour.mixed(self._look.ground.dim, self._look.dim) if dimmed else colour
        return as_qt(shown)
