"""Calling out: one run after the other, each marked as it is worked, and the way back."""

from dataclasses import dataclass, replace

import numpy as np

from stitchview.done.change import Selection
from stitchview.follow.runs import Run, RunList


@dataclass(frozen=True, slots=True)
class CallOut:
    """Where she is in `runs`: `position` is the run to work now, `len(runs)` when all are worked.

    A step is: mark `selection`, then go on with `after_step()`. Back is: take `before()`, then
    unpick its `selection`. The runs stay as they were called first, whatever is marked meanwhile.
    """

    runs: RunList
    position: int = 0

    @property
    def current(self) -> Run | None:
        """The run to work now; None at the end."""
        return None if self.finished else self.runs[self.position]

    @property
    def finished(self) -> bool:
        """Whether every run was worked."""
        return self.position >= len(self.runs)

    @property
    def selection(self) -> Selection:
        """The stitches of the current run; none at the end."""
        return self.runs.selection(self.position, self.position + 1)

    @property
    def stitches_left(self) -> int:
        """How many stitches are still to be called, those of the current run among them."""
        return int(self.runs.lengths[self.position :].sum())

    def after_step(self) -> "CallOut":
        """The call-out after the current run is worked; at the end the same."""
        return replace(self, position=min(self.position + 1, len(self.runs)))

    def before(self) -> "CallOut":
        """The call-out one run earlier; at the beginning the same."""
        return replace(self, position=max(self.position - 1, 0))

    def at_square(self, column: int, row: int) -> "CallOut":
        """The call-out at the run that holds a square, of the present thread if it can be.

        Else at the present thread's first run in that line or after it; else where it is.
        """
        runs = self.runs
        line, along = (column, row) if runs.down else (row, column)
        low = runs.starts - np.where(runs.backwards, runs.lengths - 1, 0)
        holds = (runs.lines == line) & (low <= along) & (along < low + runs.lengths)
        present = runs.numbers == runs.numbers[min(self.position, len(runs) - 1)] if len(runs) else holds
        after = runs.lines <= line if runs.course.from_last else runs.lines >= line
        for fits in (holds & present, holds, present & after):
            if fits.any():
                return replace(self, position=int(fits.argmax()))
        return self
