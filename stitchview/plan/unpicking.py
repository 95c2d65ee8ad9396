"""Unpicking what went wrong: which marks are undone, and how much thread is lost with them."""

from dataclasses import dataclass, replace

import numpy as np

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.chart.stitches import Lines, Parts, Points
from stitchview.done.change import DONE, FIRST_LEG, MISTAKE, OPEN, Change, Selection
from stitchview.done.ids import new_name
from stitchview.done.marks import Marks, change_to
from stitchview.done.shapes import Takes, rectangle
from stitchview.done.unpicked import Unpicked
from stitchview.errors import CommandError
from stitchview.follow.clothpitch import Pitch
from stitchview.plan.manner import Manner
from stitchview.plan.need import need

WORKED = (DONE, FIRST_LEG, MISTAKE)


@dataclass(frozen=True, eq=False, slots=True)
class Unpicking:
    """The `change` of the marks, and a note for each thread that is lost."""

    change: Change
    notes: tuple[Unpicked, ...]

    @property
    def stitches(self) -> int:
        """How many stitches are unpicked."""
        return self.change.count

    @property
    def lost_mm(self) -> float:
        """Single strand lost, of all threads."""
        return sum(note.lost_mm for note in self.notes)


def unpicking(marks: Marks, area: Area, only: int | None, pitch: Pitch, manner: Manner) -> Unpicking:
    """What unpicking all that is worked in an area comes to, of one key number or of all.

    The thread is reckoned by plain geometry as if the area had been worked by itself, with tails and
    carries; a thread that is picked out is not used again (common practice). O(area).
    Raises `CommandError` where nothing is worked.
    """
    chart, chosen = marks.chart, rectangle(marks.chart, area, Takes(only=only))
    worked = Selection(
        *(
            indices[np.isin(states.reshape(-1)[indices], WORKED)]
            for indices, states in zip(chosen.families, marks.families, strict=True)
        )
    )
    change = change_to(marks, worked, OPEN)
    if change is None:
        raise CommandError("Nothing is marked as stitched there.", "Choose squares that are worked.")
    piece = _cut(chart, area.clipped(chart.area), worked)
    done = Marks(piece)
    everything = rectangle(piece, piece.area, Takes())
    if (marked := change_to(done, everything, DONE)) is not None:
        done.apply(marked)
    size = area.column, area.row, area.columns, area.rows
    notes = tuple(
        Unpicked(new_name(), each.name, each.number, *size, each.done.stitches, each.done.reckoned_mm)
        for each in need(piece, done, pitch, manner).threads
        if each.done.stitches
    )
    return Unpicking(change, notes)


def _cut(chart: Chart, area: Area, chosen: Selection) -> Chart:
    """Only the chosen stitches, on a chart of the area's size."""
    squares = np.zeros((area.rows, area.columns), np.uint16)
    rows, columns = np.divmod(chosen.squares, chart.columns)
    squares[rows - area.row, columns - area.column] = chart.squares[rows, columns]
    x, y = np.int32(2 * area.column), np.int32(2 * area.row)
    parts, lines, points = chart.parts, chart.lines, chart.points
    p, n, o = chosen.parts, chosen.lines, chosen.points
    return Chart(
        squares,
        chart.key,
        parts=Parts(parts.columns[p] - x // 2, parts.rows[p] - y // 2, parts.shapes[p], parts.keys[p]),
        lines=Lines(
            lines.x1[n] - x, lines.y1[n] - y, lines.x2[n] - x, lines.y2[n] - y, lines.kinds[n], lines.keys[n]
        ),
        points=Points(points.x[o] - x, points.y[o] - y, points.kinds[o], points.keys[o]),
    )


def with_lengths(unpicked: Unpicking, share: float) -> Unpicking:
    """The same with so much more or less thread lost, as she measured or guessed it."""
    return replace(
        unpicked,
        notes=tuple(replace(note, lost_mm=note.lost_mm * share) for note in unpicked.notes),
    )
