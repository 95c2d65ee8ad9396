"""The colours of lines, knots, beads and their outlines, lit and dimmed."""

import numpy as np
from numpy.typing import NDArray
from PySide6.QtGui import QColor

from stitchview.canvas.atlas import Threads, dimmed, packed
from stitchview.canvas.itemindex import Indices
from stitchview.chart.colour import Colour


class Inks:
    """Colours by code = state * (key entries + 1) + key number, as RGB32 and for pens."""

    def __init__(self, threads: Threads) -> None:
        self._look = threads.look
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

    def paper(self, dimmed: int) -> QColor:
        """Give the colour of bare paper."""
        return self._papers[dimmed]

    def outline(self, faded: bool, dimmed: int) -> QColor:
        """Give the colour of outlines."""
        return self._shown(self._look.ground.faded_ink if faded else self._look.ground.ink, dimmed)

    def _shown(self, colour: Colour, dimmed: int) -> QColor:
        shown = colour.mixed(self._look.ground.dim, self._look.dim) if dimmed else colour
        return QColor(shown.red, shown.green, shown.blue)
