"""The marks on a chart: the state of every stitch, and what is noted beside, altered through one door."""

from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area, spanning
from stitchview.chart.model import Chart
from stitchview.done.change import (
    FIRST_LEG,
    KEPT,
    SQUARES,
    Altered,
    Change,
    Indices,
    Selection,
    States,
    no_indices,
)
from stitchview.done.counts import Tally
from stitchview.done.notebook import NOTHING_NOTED, Notes, NotesChange
from stitchview.done.usedinstead import UsedInstead
from stitchview.done.usedkey import used_chart


class Marks:
    """The state of every stitch of `chart`; read freely, alter only by `apply`.

    `squares` (rows, columns), `parts`, `lines` and `points` (n,) are uint8 and read-only to others.
    `tally` and `notes`, a value of its own, move along, and so does the key of `chart`: it has the threads
    that are used. A square without a stitch is always OPEN.
    `applied` counts the changes, so that what was made from the marks can be known to be fresh.
    """

    def __init__(
        self,
        chart: Chart,
        states: tuple[States, States, States, States] | None = None,
        notes: Notes = NOTHING_NOTED,
    ) -> None:
        self.chart, self.notes, self.applied = used_chart(chart, notes), notes, 0
        self._states = open_states(chart) if states is None else states
        self._flat = tuple(each.reshape(-1) for each in self._states)
        self.squares, self.parts, self.lines, self.points = (_read_only(each) for each in self._states)
        self.tally = Tally(chart, self._states)

    @property
    def families(self) -> tuple[States, States, States, States]:
        """The states in the order of `FAMILIES`, squares as (rows, columns)."""
        return self.squares, self.parts, self.lines, self.points

    def apply(self, change: Change) -> None:
        """Make `change` true; the tally follows what really was there before."""
        for family, altered in enumerate(change.families):
            if len(altered):
                flat = self._flat[family]
                self.tally.move(family, altered.indices, flat[altered.indices], altered.new)
                flat[altered.indices] = altered.new
        self.notes = self.notes.after(change.notes)
        if change.notes.about(UsedInstead):
            self.chart = used_chart(self.chart, self.notes)
        self.applied += 1


def open_states(chart: Chart) -> tuple[States, States, States, States]:
    """States of a chart on which nothing is done yet."""
    return (
        np.zeros(chart.squares.shape, np.uint8),
        np.zeros(len(chart.parts), np.uint8),
        np.zeros(len(chart.lines), np.uint8),
        np.zeros(len(chart.points), np.uint8),
    )


def change_to(marks: Marks, selection: Selection, state: int) -> Change | None:
    """What alters when a hand marks everything selected as `state`; None when nothing does.

    Squares without a stitch are left out: they can never be marked. So is what a hand leaves as it is:
    only whole crosses have a first leg, a done one keeps both (`KEPT`), and only what is open waits.
    """
    stitched = marks.chart.squares.reshape(-1)[selection.squares] != 0
    squares = selection.squares if stitched.all() else selection.squares[stitched]
    chosen = (squares, selection.parts, selection.lines, selection.points)
    altered = [
        _altered(states.reshape(-1), indices if can_be(family, state) else no_indices(), state)
        for family, (states, indices) in enumerate(zip(marks.families, chosen, strict=True))
    ]
    if not any(len(each) for each in altered):
        return None
    return Change(area_of(marks.chart, Selection(*(each.indices for each in altered))), *altered)


def can_be(family: int, state: int) -> bool:
    """Whether stitches of a family, by its place in `FAMILIES`, can be in a state."""
    return state != FIRST_LEG or family == SQUARES


def change_between(
    marks: Marks, states: tuple[States, States, States, States], notes: Notes = NOTHING_NOTED
) -> Change:
    """What alters when the marks become those of `states`, shaped as `Marks.families`, and `notes`."""
    altered = []
    for mine, wanted in zip(marks.families, states, strict=True):
        indices = np.flatnonzero(mine != wanted)
        altered.append(Altered(indices, mine.reshape(-1)[indices], wanted.reshape(-1)[indices]))
    change = Change(area_of(marks.chart, Selection(*(each.indices for each in altered))), *altered)
    return noting(marks.chart, marks.notes.towards(notes), change)


def noting(chart: Chart, notes: NotesChange, change: Change | None = None) -> Change:
    """The change that also rewrites `notes`; without another change it alters no stitch."""
    if change is None:
        change = Change(Area(0, 0, 0, 0))
    return replace(change, area=change.area.joined(notes.area.clipped(chart.area)), notes=notes)


def area_of(chart: Chart, selection: Selection) -> Area:
    """The squares of the chart that the selected stitches fill or touch."""
    squares, parts, lines, points = selection.families
    area = Area(0, 0, 0, 0)
    if len(squares):
        across, ends = squares % chart.columns, squares[[0, -1]] // chart.columns
        area = _bounding(across, ends)
    if len(parts):
        area = area.joined(_bounding(chart.parts.columns[parts], chart.parts.rows[parts]))
    if len(lines):
        x = np.concatenate((chart.lines.x1[lines], chart.lines.x2[lines]))
        y = np.concatenate((chart.lines.y1[lines], chart.lines.y2[lines]))
        area = area.joined(_touched(x, y))
    if len(points):
        area = area.joined(_touched(chart.points.x[points], chart.points.y[points]))
    return area.clipped(chart.area)


def _altered(states: States, indices: Indices, state: int) -> Altered:
    old = states[indices]
    differs = old != state
    for kept in KEPT.get(state, ()):
        differs &= old != kept
    if not differs.all():
        indices, old = indices[differs], old[differs]
    return Altered(indices, old, np.full(len(indices), state, np.uint8))


def _bounding(columns: NDArray[Any], rows: NDArray[Any]) -> Area:
    return spanning((int(columns.min()), int(rows.min())), (int(columns.max()), int(rows.max())))


def _touched(x: NDArray[np.int32], y: NDArray[np.int32]) -> Area:
    # In half squares; a lattice point on a grid line touches the squares on both of its sides.
    first = ((int(x.min()) - 1) // 2, (int(y.min()) - 1) // 2)
    return spanning(first, (int(x.max()) // 2, int(y.max()) // 2))


def _read_only(states: States) -> States:
    view = states.view()
    view.setflags(write=False)
    return view
