"""Level and upright lines joined end to end, because outlines are mostly drawn square by square."""

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from stitchview.canvas.itemindex import BlockIndex, Indices, Reaches
from stitchview.chart.area import Area
from stitchview.chart.stitches import LineKind, Lines
from stitchview.done.change import STATES

States = NDArray[np.uint8]
Wholes = NDArray[np.int32]

# What a bar has for a state while its lines differ.
MIXED = STATES
# After so many changes at once all bars are looked through anew.
MANY = 500
# Groups of lines are set so far apart that the furthest end reached never reaches another one.
_FAR = 1 << 24
_NONE: Indices = np.zeros(0, np.intp)


class Form(IntEnum):
    """How lines of one kind and state are drawn: as bars, each by itself, or not at all."""

    BAR = 0
    ALONE = 1
    LEFT_OUT = 2
    SPLIT = 3


def forms(changes: dict[tuple[int, int], Form]) -> NDArray[np.uint8]:
    """Give the form of every kind and state, shape (kinds + 1, STATES + 1): bars but for these `changes`."""
    table = np.full((max(LineKind) + 1, STATES + 1), Form.BAR, np.uint8)
    table[:, MIXED] = Form.SPLIT
    for (kind, state), form in changes.items():
        table[kind, state] = form
    return table


@dataclass(frozen=True)
class Drawn:
    """Bars from `ends` (x1, y1, x2, y2 in half squares, shape (4, n)) with their key numbers and states.

    `alone` are the lines that are drawn each by itself, in the chart's order.
    """

    ends: Wholes
    keys: NDArray[np.uint16]
    states: States
    alone: Indices


class Bars:
    """The b bars that a chart's level and upright lines make, each of lines of one thread and kind."""

    def __init__(self, lines: Lines, columns: int, rows: int) -> None:
        self._chart_lines = lines
        straight = np.flatnonzero(is_straight(lines, slice(None)))
        self._lines, first = _joined(lines, straight)
        self._starts = np.append(first, len(self._lines)).astype(np.intp)
        self._bar_of = np.full(len(lines), -1, np.int32)
        self._bar_of[self._lines] = np.repeat(np.arange(len(first)), np.diff(self._starts))
        ends = _ends(lines, self._lines)
        self._ends: Wholes = np.concatenate(
            [np.minimum.reduceat(ends[:2], first, 1), np.maximum.reduceat(ends[2:], first, 1)]
            if len(first)
            else [ends[:2], ends[2:]]
        )
        self._keys, self._kinds = lines.keys[self._lines[first]], lines.kinds[self._lines[first]]
        self._states: States | None = None
        self._index = BlockIndex(Reaches(*(self._ends // 2)), columns, rows)

    def changed(self, states: States, lines: Indices) -> None:
        """Take note that the states of these lines have changed; `states` has one entry a line."""
        if self._states is None or not len(lines):
            return
        if len(lines) > MANY:
            self._states = None
            return
        bars = self._bar_of[lines]
        for bar in np.unique(bars[bars >= 0]).tolist():
            held = states[self._lines[self._starts[bar] : self._starts[bar + 1]]]
            self._states[bar] = held[0] if (held == held[0]).all() else MIXED

    def near(self, area: Area) -> Indices:
        """Give the bars that may be in `area`: more are given than are."""
        return self._index.near(area)

    def drawn(self, found: Indices, area: Area, states: States, form_of: NDArray[np.uint8]) -> Drawn:
        """Give what of the bars `found` is in `area`, its border included, in the forms asked for."""
        kept = _inside(self._ends[:, found], area)
        found = found[kept]
        held = self._held(states)[found]
        form = form_of[self._kinds[found], held]
        if not form.any():
            return Drawn(self._ends[:, found], self._keys[found], held, _NONE)
        bars = found[form == Form.BAR]
        pieces = [self._lines[self._starts[bar] : self._starts[bar + 1]] for bar in self._apart(found, form)]
        lines = np.concatenate(pieces) if pieces else _NONE
        ends = _ends(self._chart_lines, lines)
        kept = _inside(ends, area)
        lines, ends = lines[kept], ends[:, kept]
        keys, their = self._chart_lines.keys[lines], states[lines]
        form = form_of[self._chart_lines.kinds[lines], their]
        single = form == Form.BAR
        return Drawn(
            np.concatenate([self._ends[:, bars], ends[:, single]], 1),
            np.concatenate([self._keys[bars], keys[single]]),
            np.concatenate([self._held(states)[bars], their[single]]),
            np.sort(lines[form == Form.ALONE]),
        )

    def _apart(self, found: Indices, form: NDArray[np.uint8]) -> list[int]:
        apart: list[int] = found[(form == Form.SPLIT) | (form == Form.ALONE)].tolist()
        return apart

    def _held(self, states: States) -> States:
        """Give the state of each bar, `MIXED` where its lines differ."""
        if self._states is None:
            held, first = states[self._lines], self._starts[:-1]
            if not len(first):
                return held
            low, high = np.minimum.reduceat(held, first), np.maximum.reduceat(held, first)
            self._states = np.where(low == high, low, np.uint8(MIXED))
        return self._states


def is_straight(lines: Lines, found: Indices | slice) -> NDArray[np.bool_]:
    """Tell which of the lines `found` are level or upright."""
    straight: NDArray[np.bool_] = (lines.x1[found] == lines.x2[found]) | (lines.y1[found] == lines.y2[found])
    return straight


def _ends(lines: Lines, found: Indices) -> Wholes:
    """Give left, top, right and bottom of lines: shape (4, n)."""
    x1, y1, x2, y2 = lines.x1[found], lines.y1[found], lines.x2[found], lines.y2[found]
    return np.stack([np.minimum(x1, x2), np.minimum(y1, y2), np.maximum(x1, x2), np.maximum(y1, y2)])


def _inside(ends: Wholes, area: Area) -> NDArray[np.bool_]:
    kept: NDArray[np.bool_] = (ends[2] >= 2 * area.column) & (ends[0] <= 2 * area.right)
    kept &= ends[3] >= 2 * area.row
    kept &= ends[1] <= 2 * area.bottom
    return kept


def _joined(lines: Lines, straight: Indices) -> tuple[Indices, Indices]:
    """Sort straight lines by the bars they make; gives them, and where each bar begins among them."""
    left, top, right, bottom = _ends(lines, straight)
    upright = left == right
    low, high, beside = (
        np.where(upright, top, left),
        np.where(upright, bottom, right),
        np.where(upright, left, top),
    )
    thread = (lines.keys[straight].astype(np.int64) * 4 + lines.kinds[straight]) * 2 + upright
    order = np.lexsort((low, beside, thread))
    low, high, beside, thread = low[order], high[order], beside[order], thread[order]
    other = (beside[1:] != beside[:-1]) | (thread[1:] != thread[:-1])
    group = np.append(0, np.cumsum(other)) * _FAR if len(order) else np.zeros(0, np.int64)
    reached = np.maximum.accumulate(group + high)
    begins = np.append(True, (group + low)[1:] > reached[:-1]) if len(order) else np.zeros(0, np.bool_)
    return straight[order], np.flatnonzero(begins)
