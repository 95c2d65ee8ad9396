"""The colours of lines, knots, beads and their outlines, lit and dimmed."""

import numpy as np
from numpy.typing import NDArray
from PySide6.QtGui import QColor

from stitchview.canvas.atlas import Threads, dimmed, packed
from stitchview.canvas.itemindex import Indices
from stitchview.canvas.qtcolours import as_qt
from stitchview.chart.colour import Colour, contrast

LEAST_CONTRAST = 3


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

    def is_done(self, code: int) -> bool:
        """Whether a code stands for something stitched."""
        return code >= self.count

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
        if self.is_done(code) or self._threads.recedes(code):
            return None
        ground = self._look.ground
        line = Colour(*self._threads.lines[code].tolist())
        if contrast(line, ground.paper) < LEAST_CONTRAST:
            return self._shown(ground.faded_ink, dimmed)
        return None if self._look.paper else self._papers[dimmed]

    def paper(self, dimmed: int) -> QColor:
        """Give the colour of bare paper."""
        return self._papers[dimmed]

    def outline(self, faded: bool, dimmed: int) -> QColor:
        """Give the colour of outlines."""
        return self._shown(self._look.ground.faded_ink if faded else self._look.ground.ink, dimmed)

    def _shown(self, colour: Colour, dimmed: int) -> QColor:
        shown = colour.mixed(self._look.ground.dim, self._look.dim) if dimmed else colour
        return as_qt(shown)
