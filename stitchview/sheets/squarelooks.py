"""Describe every square of a chart by its paper, so that squares that look alike are found at once."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.model import Chart
from stitchview.sheets.adding import straight_of
from stitchview.sheets.cleaning import SIDE, at_side, squares, without_light, without_lines
from stitchview.sheets.describing import described
from stitchview.sheets.gathering import turned_to_tell
from stitchview.sheets.nearness import grouped

Numbers = NDArray[np.float32]
Places = NDArray[np.intp]

AXES = 24
_LENGTH = 100
_LEARNT_FROM = 12_000
_AT_ONCE = 4000
_FEW = 4
_ALIKE_WITHIN = np.float32(1.5)
"""Up to this many usual squared distances two squares are as alike as can be.

On three printed test sheets (447 doubts) no two doubtful squares of two signs were nearer than 2.
"""


class LookingStopped(Exception):
    """Nobody wants to know any more how the squares look."""


@dataclass(frozen=True, eq=False)
class Looks:
    """How the squares of a chart look.

    ``numbers`` (rows * columns, AXES) in which squares of one sign vary by about one along each axis, not a
    number where no picture shows the square; ``usual`` is how far two squares of one sign usually are apart.
    """

    columns: int
    numbers: Numbers
    usual: float

    def places(self, columns: NDArray[np.int32], rows: NDArray[np.int32]) -> Places:
        """Where squares stand in ``numbers``."""
        return np.asarray(rows.astype(np.intp) * self.columns + columns, np.intp)

    def nearness(self, of: Places | slice, to: int) -> Numbers:
        """How alike squares (n,) look to one, from 1 (the same) to 0; 0 where no picture shows them."""
        rest = self.numbers[of] - self.numbers[to]
        far = np.einsum("nd,nd->n", rest, rest) / np.float32(self.usual**2)
        near = np.exp(-np.maximum(far - _ALIKE_WITHIN, 0))
        return np.asarray(np.nan_to_num(near, nan=0.0), np.float32)


def looks_of(chart: Chart, stopped: Callable[[], bool]) -> Looks | None:
    """The looks of all squares that the chart's pictures show; None where there is no picture.

    Takes seconds: for a thread of its own. Raises `LookingStopped` soon after ``stopped`` says so, and
    `PaperError` where a picture is damaged.
    """
    raw = _described_squares(chart, stopped)
    if raw is None:
        return None
    shown = np.flatnonzero(np.isfinite(raw[:, 0]))
    piles = chart.squares.ravel()
    sure = np.setdiff1d(shown, _doubted(chart), assume_unique=True)
    learnt = (sure if len(sure) > _LENGTH else shown)[:: max(1, len(sure) // _LEARNT_FROM)]
    centre, axes = _principal(raw[learnt])
    short = np.asarray((raw - centre) @ axes, np.float32)
    groups = grouped(short[learnt], piles[learnt].astype(np.intp))
    axes = np.linalg.lstsq(
        short[learnt], turned_to_tell(short[learnt], groups, min(AXES, short.shape[1])), rcond=None
    )[0]
    turned = np.asarray(short @ axes, np.float32)
    return Looks(chart.columns, turned, _usual(turned[learnt], groups.of))


def _described_squares(chart: Chart, stopped: Callable[[], bool]) -> Numbers | None:
    """The descriptions (rows * columns, D) of all squares, not a number where no sheet's picture is."""
    whole: Numbers | None = None
    for sheet in reversed(chart.sheets):
        if sheet.picture not in chart.attachments:
            continue
        ink = without_lines(without_light(at_side(straight_of(chart, sheet))))
        cut = squares(ink)
        rows, columns = sheet.area.rows, sheet.area.columns
        step = max(1, _AT_ONCE // columns)
        for top in range(0, rows, step):
            if stopped():
                raise LookingStopped
            part = np.ascontiguousarray(cut[top : top + step].reshape(-1, SIDE, SIDE))
            numbers = described(part)
            if whole is None:
                whole = np.full((chart.rows, chart.columns, numbers.shape[1]), np.nan, np.float32)
            high = min(step, rows - top)
            first, left = sheet.area.row + top, sheet.area.column
            whole[first : first + high, left : left + columns] = numbers.reshape(high, columns, -1)
    return None if whole is None else whole.reshape(-1, whole.shape[2])


def _doubted(chart: Chart) -> Places:
    return np.unique(chart.doubts.rows.astype(np.intp) * chart.columns + chart.doubts.columns)


def _principal(numbers: Numbers) -> tuple[Numbers, Numbers]:
    """The middle (D,) and the principal axes (D, up to ``_LENGTH``) of some squares."""
    centre = numbers.mean(axis=0)
    rest = numbers - centre
    powers, axes = np.linalg.eigh(rest.T @ rest / np.float32(len(rest)))
    kept = min(_LENGTH, int((powers > powers[-1] * 1e-6).sum()))
    return centre, np.asarray(axes[:, ::-1][:, :kept], np.float32)


def _usual(turned: Numbers, of: NDArray[np.intp]) -> float:
    """The middle distance between a square and the next one of its pile."""
    order = np.argsort(of, kind="stable")
    same = of[order[1:]] == of[order[:-1]]
    rest = (turned[order[1:]] - turned[order[:-1]])[same]
    if len(rest) < _FEW:
        return float(np.sqrt(2 * turned.shape[1]))
    return max(1e-3, float(np.median(np.sqrt(np.einsum("nd,nd->n", rest, rest)))))
