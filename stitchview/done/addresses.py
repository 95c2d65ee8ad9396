"""Addresses of stitches: what the file names them by, so that marks outlive corrections to the chart."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.joined import expanded
from stitchview.chart.model import MOST_COLUMNS, MOST_ROWS, Chart, Worked
from stitchview.done.change import FIRST_LEG, STATES, Altered, Change, Indices, Selection
from stitchview.done.deflated import MalformedStroke
from stitchview.done.marks import area_of
from stitchview.errors import LayerError

FARTHEST_ORIGIN = 1 << 28
WIDTHS = (4, 5, 7, 5)
"""Numbers in one row of each family in the file, the last of them the states."""
MOST_RUNS = MOST_COLUMNS * MOST_ROWS

Rows = NDArray[np.int32]
FamilyRows = tuple[Rows, Rows, Rows, Rows]
Keys = NDArray[Any]


class Addresses:
    """Translates between the indices of one chart and addresses, both ways.

    An address counts from the chart's `origin`: squares and parts in squares, lines and points in
    half squares. Every row of the file ends with its states, old + 256 * new:
    squares (row, column, length, states); parts (column, row, shape, nth, states);
    lines (x1, y1, x2, y2, kind, nth, states); points (x, y, kind, nth, states).
    `nth` tells apart stitches of the same address, in the chart's order, from 0.
    On a chart as it stands on the cloth they are the addresses where the stitches are printed.
    """

    def __init__(self, chart: Chart) -> None:
        column, row = chart.origin
        if max(abs(column), abs(row)) > FARTHEST_ORIGIN:
            raise LayerError(f"The chart's origin ({column}, {row}) is out of all bounds.", "Correct it.")
        self._chart, self._worked = chart, chart.worked or Worked(chart)
        worked, parts, points = self._worked, chart.printed.parts, chart.printed.points
        self._tables = (
            _Table(_stacked(parts.columns + column, parts.rows + row, parts.shapes), worked.parts),
            _Table(_line_addresses(chart.printed), worked.lines),
            _Table(_stacked(points.x + 2 * column, points.y + 2 * row, points.kinds), worked.points),
        )

    @property
    def origin(self) -> tuple[int, int]:
        """The address of the chart's top left square, (column, row)."""
        return self._chart.origin

    def rows_of(self, change: Change) -> FamilyRows:
        """The rows that the file keeps for a change, by family."""
        parts, lines, points = (
            np.column_stack((table.addresses[altered.indices], _packed(altered))).astype(np.int32)
            for table, altered in zip(self._tables, change.families[1:], strict=True)
        )
        return self._runs(change.squares), parts, lines, points

    def change_of(self, rows: FamilyRows) -> Change:
        """The change on this chart that the rows of one stroke mean; stitches it has not are left out.

        Raises `MalformedStroke` for rows that no change can have written.
        """
        altered = self.altered(rows, np.zeros(1, np.int64))
        return Change(area_of(self._chart, Selection(*(each.indices for each in altered))), *altered)

    def altered(self, rows: FamilyRows, strokes: Indices) -> tuple[Altered, Altered, Altered, Altered]:
        """What the rows of several strokes do, the last word on each stitch winning.

        `strokes` holds where in the runs of squares each stroke begins. Raises `MalformedStroke`.
        """
        squares, parts, lines, points = rows
        check_runs(squares, strokes)
        return (
            self._squares(squares),
            self._tables[0].altered(parts),
            self._tables[1].altered(lines),
            self._tables[2].altered(points),
        )

    def _runs(self, altered: Altered) -> Rows:
        flat, states = self._worked.as_printed(altered.indices), _packed(altered)
        if not (flat[1:] > flat[:-1]).all():
            order = np.argsort(flat)
            flat, states = flat[order], states[order]
        rows, columns = np.divmod(flat, self._chart.columns)
        breaks = np.ones(len(flat), bool)
        breaks[1:] = (flat[1:] != flat[:-1] + 1) | (rows[1:] != rows[:-1]) | (states[1:] != states[:-1])
        first = np.flatnonzero(breaks)
        lengths = np.diff(np.append(first, len(flat)))
        column, row = self._chart.origin
        runs = (rows[first] + row, columns[first] + column, lengths, states[first])
        return np.column_stack(runs).astype(np.int32)

    def _squares(self, runs: Rows) -> Altered:
        """The squares of runs; those off the chart or without a stitch are left out."""
        chart, (column, row) = self._chart, self._chart.origin
        rows = runs[:, 0].astype(np.int64) - row
        first = runs[:, 1].astype(np.int64) - column
        last = np.minimum(first + runs[:, 2], chart.columns)
        first = np.maximum(first, 0)
        there = (rows >= 0) & (rows < chart.rows) & (first < last)
        lengths = (last - first)[there]
        flat = expanded((rows * chart.columns + first)[there], lengths)
        states = np.repeat(runs[there, 3], lengths)
        if self._worked.shifts:
            flat, on_cloth = self._worked.on_cloth(flat)
            flat, states = flat[on_cloth], states[on_cloth]
        stitched = chart.squares.reshape(-1)[flat] != 0
        if not stitched.all():
            flat, states = flat[stitched], states[stitched]
        return _last_of_each(flat, states)


def check_numbers(rows: FamilyRows) -> None:
    """Raise `MalformedStroke` unless one stroke can have written these rows."""
    check_runs(rows[0], np.zeros(1, np.int64))
    for others in rows[1:]:
        _check_loose_states(others)


def check_runs(runs: Rows, strokes: Indices) -> None:
    """Raise `MalformedStroke` unless each stroke's runs rise, do not overlap and name states known here.

    `strokes` holds where each stroke's runs begin.
    """
    check_states(runs)
    rows, first, lengths = (runs[:, at].astype(np.int64) for at in range(3))
    if len(runs) and (lengths.min() < 1 or lengths.max() > MOST_COLUMNS):
        raise MalformedStroke("a run of squares has an impossible length")
    follows = (rows[1:] > rows[:-1]) | ((rows[1:] == rows[:-1]) & (first[1:] >= first[:-1] + lengths[:-1]))
    begins = strokes[(strokes > 0) & (strokes < len(runs))]
    follows[begins - 1] = True
    if not follows.all():
        raise MalformedStroke("the runs of squares overlap or are out of order")


def check_states(rows: Rows) -> None:
    """Raise `MalformedStroke` if the last column names a state not known here."""
    old, new = rows[:, -1] & 255, rows[:, -1] >> 8
    if len(rows) and (max(old.max(), new.max()) >= STATES or new.min() < 0):
        raise MalformedStroke("a state is unknown")


def _check_loose_states(rows: Rows) -> None:
    """The same for part stitches, lines and points, which have no first leg."""
    check_states(rows)
    states = rows[:, -1]
    if ((states & 255 == FIRST_LEG) | (states >> 8 == FIRST_LEG)).any():
        raise MalformedStroke("a state is unknown")


class _Table:
    """The addresses of one family's stitches, (n, k) with `nth` last, and the way back to indices.

    `plain` tells of all that are printed; where not all of them are on the cloth, `kept` tells which.
    """

    def __init__(self, plain: Rows, kept: Indices | None = None) -> None:
        keys = _keys(plain)
        self._order = np.argsort(keys, kind="stable")
        self._sorted = keys[self._order]
        nth = np.empty(len(plain), np.int32)
        first = np.searchsorted(self._sorted, self._sorted, side="left")
        nth[self._order] = np.arange(len(plain)) - first
        self.addresses = np.column_stack((plain, nth))
        self._here: Indices | None = None
        if kept is not None:
            self.addresses = self.addresses[kept]
            self._here = np.full(len(plain), -1)
            self._here[kept] = np.arange(len(kept))

    def altered(self, rows: Rows) -> Altered:
        """The stitches that rows of the file name; those that the chart has not are left out."""
        _check_loose_states(rows)
        at = np.searchsorted(self._sorted, _keys(rows[:, :-2]), side="left") + rows[:, -2]
        there = (at >= 0) & (at < len(self._sorted)) & (rows[:, -2] >= 0)
        there[there] = self._sorted[at[there]] == _keys(rows[there, :-2])
        found, states = self._order[at[there]], rows[there, -1]
        if self._here is not None:
            found = self._here[found]
            found, states = found[found >= 0], states[found >= 0]
        return _last_of_each(found, states)


def _stacked(*columns: NDArray[Any]) -> Rows:
    return np.column_stack(columns).astype(np.int32)


def _line_addresses(chart: Chart) -> Rows:
    """Line addresses with the end that comes first by (x, y) first, so that it counts how it lies only."""
    lines, (column, row) = chart.lines, chart.origin
    swap = (lines.x1 > lines.x2) | ((lines.x1 == lines.x2) & (lines.y1 > lines.y2))
    x1, x2 = np.where(swap, lines.x2, lines.x1), np.where(swap, lines.x1, lines.x2)
    y1, y2 = np.where(swap, lines.y2, lines.y1), np.where(swap, lines.y1, lines.y2)
    return _stacked(x1 + 2 * column, y1 + 2 * row, x2 + 2 * column, y2 + 2 * row, lines.kinds)


def _keys(plain: Rows) -> Keys:
    """One comparable value a row: its bytes (any fixed order serves, as long as equal rows are equal)."""
    width = 4 * plain.shape[1]
    return np.ascontiguousarray(plain, np.int32).view(f"S{width}").reshape(len(plain))


def _packed(altered: Altered) -> NDArray[np.int32]:
    return altered.old.astype(np.int32) + 256 * altered.new.astype(np.int32)


def _last_of_each(indices: Indices, states: NDArray[np.int32]) -> Altered:
    if not (indices[1:] > indices[:-1]).all():
        indices, last = np.unique(indices[::-1], return_index=True)
        states = states[::-1][last]
    return Altered(indices, (states & 255).astype(np.uint8), (states >> 8).astype(np.uint8))
