"""Which squares hold part stitches, where they are, and which of them hold the same."""

import numpy as np
from numpy.typing import NDArray

from stitchview.canvas.itemindex import Indices
from stitchview.chart.area import Area
from stitchview.chart.stitches import Parts
from stitchview.done.change import FIRST_STATES, STATES

MOST_IN_A_SQUARE = 4
_NONE: Indices = np.zeros(0, np.intp)
_WEIGHTS = STATES ** np.arange(MOST_IN_A_SQUARE)
_PLAIN_WEIGHTS = FIRST_STATES ** np.arange(MOST_IN_A_SQUARE)
PLAIN: int = FIRST_STATES**MOST_IN_A_SQUARE
ALL: int = STATES**MOST_IN_A_SQUARE
"""How many contents there are of one kind of square with the first states only, and with all."""


class PartHomes:
    """The m squares of a chart that hold part stitches, sorted by row and column.

    `rows` and `columns` have shape (m,). `parts` has shape (m, 4): the part stitches of each, in
    the chart's order, -1 where there are fewer. `kinds` has shape (k, 4): every different set of
    parts as shape + 16 * key number, 0 for none.
    """

    def __init__(self, parts: Parts, columns: int) -> None:
        place = parts.rows.astype(np.int64) * max(1, columns) + parts.columns
        order = np.argsort(place, kind="stable")
        squares, starts = np.unique(place[order], return_index=True)
        self.columns: Indices = (squares % max(1, columns)).astype(np.intp)
        self.rows: Indices = (squares // max(1, columns)).astype(np.intp)
        # Where each row begins, up to the one after the last that has any.
        every_row = np.arange(self.rows[-1] + 2 if len(self.rows) else 1)
        self._row_starts: list[int] = np.searchsorted(self.rows, every_row).tolist()
        self.home_of = np.empty(len(parts), np.intp)
        home = np.repeat(np.arange(len(squares)), np.diff(np.append(starts, len(parts))))
        self.home_of[order] = home
        turn = np.arange(len(parts)) - starts[home] if len(parts) else np.zeros(0, np.intp)
        kept = turn < MOST_IN_A_SQUARE
        self.parts = np.full((len(squares), MOST_IN_A_SQUARE), -1, np.int32)
        self.parts[home[kept], turn[kept]] = order[kept]
        told = parts.shapes.astype(np.int32) + parts.keys.astype(np.int32) * 16
        held = np.where(self.parts >= 0, np.append(told, 0)[self.parts], 0).astype(np.int32)
        self.kinds, kind_of = np.unique(held, axis=0, return_inverse=True)
        self._kind_of = kind_of.reshape(-1).astype(np.intp)
        # What each square holds, -1 where that is not known yet.
        self._known = np.full(len(squares), -1, np.intp)

    def __len__(self) -> int:
        return len(self.rows)

    def within(self, area: Area) -> Indices:
        """Give the squares with part stitches in `area`."""
        most = len(self._row_starts) - 1
        first, last = self._row_starts[min(area.row, most)], self._row_starts[min(area.bottom, most)]
        if first == last:
            return _NONE
        # What lies left of the area comes out huge, because it is counted without a sign.
        along = (self.columns[first:last] - area.column).view(np.uintp)
        inside: Indices = (along < area.columns).nonzero()[0]
        inside += first
        return inside

    @property
    def plain(self) -> int:
        """How many contents there are in which each part is open or done; their numbers come first."""
        return len(self.kinds) * PLAIN

    def contents(self, homes: Indices, states: NDArray[np.uint8]) -> Indices:
        """Give what these squares hold as one number each; `states` has one entry a part stitch.

        What was once told is kept until its states are said to have `changed`.
        """
        contents = self._known.take(homes)
        if len(homes) and contents.min() < 0:
            missing = homes[contents < 0]
            self._known[missing] = self._reckoned(missing, states)
            contents = self._known.take(homes)
        return contents

    def changed(self, parts: Indices) -> None:
        """Take note that the states of these part stitches have changed."""
        self._known[self.home_of[parts]] = -1

    def _reckoned(self, homes: Indices, states: NDArray[np.uint8]) -> Indices:
        parts = self.parts[homes]
        held = np.where(parts >= 0, states[parts], 0).astype(np.intp)
        contents: Indices = self._kind_of[homes] * PLAIN + held @ _PLAIN_WEIGHTS
        if held.max() >= FIRST_STATES:
            rare = self.plain + self._kind_of[homes] * ALL + held @ _WEIGHTS
            contents = np.where(held.max(1) >= FIRST_STATES, rare, contents)
        return contents

    def told(self, content: int) -> tuple[tuple[int, int, int], ...]:
        """Give what a content number means: the shape, key number and state of each part."""
        rare = content >= self.plain
        kind, worked = divmod(content - self.plain, ALL) if rare else divmod(content, PLAIN)
        base, weights = (STATES, _WEIGHTS) if rare else (FIRST_STATES, _PLAIN_WEIGHTS)
        return tuple(
            (held % 16, held // 16, worked // int(weight) % base)
            for held, weight in zip(self.kinds[kind].tolist(), weights, strict=True)
            if held
        )
