"""Which squares hold part stitches, where they are, and which of them hold the same."""

import numpy as np
from numpy.typing import NDArray

from stitchview.canvas.atlas import STATES
from stitchview.canvas.itemindex import Indices
from stitchview.chart.area import Area
from stitchview.chart.stitches import Parts

MOST_IN_A_SQUARE = 4
_NONE: Indices = np.zeros(0, np.intp)
_WEIGHTS = STATES ** np.arange(MOST_IN_A_SQUARE)


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
        self._first_content = kind_of.reshape(-1).astype(np.intp) * STATES**MOST_IN_A_SQUARE

    def __len__(self) -> int:
        return len(self.rows)

    def within(self, area: Area) -> Indices:
        """Give the squares with part stitches in `area`."""
        most = len(self._row_starts) - 1
        first, last = self._row_starts[min(area.row, most)], self._row_starts[min(area.bottom, most)]
        if first == last:
            return _NONE
        columns = self.columns[first:last]
        inside: Indices = np.flatnonzero((columns >= area.column) & (columns < area.right)) + first
        return inside

    def contents(self, homes: Indices, states: NDArray[np.uint8]) -> Indices:
        """Give what these squares hold as one number each; `states` has one entry a part stitch."""
        parts = self.parts[homes]
        worked = np.where(parts >= 0, states[parts], 0) @ _WEIGHTS if len(homes) else 0
        contents: Indices = self._first_content[homes] + worked
        return contents

    def told(self, content: int) -> tuple[tuple[int, int, int], ...]:
        """Give what a content number means: the shape, key number and state of each part."""
        kind, worked = divmod(content, STATES**MOST_IN_A_SQUARE)
        return tuple(
            (held % 16, held // 16, worked // int(weight) % STATES)
            for held, weight in zip(self.kinds[kind].tolist(), _WEIGHTS, strict=True)
            if held
        )
