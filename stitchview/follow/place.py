"""Where am I: the square under the pointer, in the words of the chart she has in her hand."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.model import Chart, KeyEntry
from stitchview.chart.stitches import PartShape
from stitchview.done.change import DONE, FIRST_LEG, LATER, MISTAKE, OPEN
from stitchview.done.marks import Marks
from stitchview.done.usedkey import instead_words
from stitchview.follow.numbering import Counted, Numbering, column_counted, row_counted

PART_WORDS = {
    PartShape.HALF_RISING: "half stitch, rising",
    PartShape.HALF_FALLING: "half stitch, falling",
    PartShape.QUARTER_TOP_LEFT: "quarter stitch, top left",
    PartShape.QUARTER_TOP_RIGHT: "quarter stitch, top right",
    PartShape.QUARTER_BOTTOM_LEFT: "quarter stitch, bottom left",
    PartShape.QUARTER_BOTTOM_RIGHT: "quarter stitch, bottom right",
    PartShape.THREE_QUARTER_TOP_LEFT: "three-quarter stitch, top left",
    PartShape.THREE_QUARTER_TOP_RIGHT: "three-quarter stitch, top right",
    PartShape.THREE_QUARTER_BOTTOM_LEFT: "three-quarter stitch, bottom left",
    PartShape.THREE_QUARTER_BOTTOM_RIGHT: "three-quarter stitch, bottom right",
}

STATE_WORDS = {
    DONE: "Done.",
    FIRST_LEG: "A first leg, to be crossed.",
    LATER: "Left for later.",
    MISTAKE: "A mistake, to be unpicked.",
}

SIDE_WORDS = {
    "left": "left of the centre",
    "right": "right of the centre",
    "up": "up from the centre",
    "down": "down from the centre",
}


@dataclass(frozen=True, slots=True)
class OnSheet:
    """The same square on a paper sheet, column and row counted from 1 at the sheet's top left square."""

    name: str
    column: int
    row: int


@dataclass(frozen=True, slots=True)
class PartHere:
    """A part stitch in the square, and its line of the key."""

    shape: PartShape
    entry: KeyEntry


@dataclass(frozen=True, slots=True)
class Place:
    """One square: how she counts it, where it is on paper, and what is to be stitched there.

    `entry` is None where no whole stitch lies; `parts` holds the part stitches, in the chart's order.
    `differs` tells how the cloth differs from the printed chart there, if it does.
    """

    column: Counted
    row: Counted
    sheets: tuple[OnSheet, ...]
    entry: KeyEntry | None
    parts: tuple[PartHere, ...]
    state: int = OPEN
    differs: str = ""


def place_of(
    chart: Chart, column: int, row: int, numbering: Numbering, marks: Marks | None = None
) -> Place | None:
    """The place of square (`column`, `row`), counted from 0 at the chart's top left; None outside it.

    With `marks` it tells the state of its whole stitch, or of its first part stitch if it has none.
    """
    if not chart.area.holds(column, row):
        return None
    number = int(chart.squares[row, column])
    return Place(
        column_counted(column, chart.columns, numbering),
        row_counted(row, chart.rows, numbering),
        _on_sheets(chart, column, row),
        chart.key[number - 1] if number else None,
        _parts_at(chart, column, row),
        OPEN if marks is None else _state_at(marks, column, row),
    )


def sentence(place: Place) -> str:
    """The place in plain words: column and row with their blocks of ten, sheets, thread, part stitches."""
    told = [f"{_counted_words('Column', place.column)}, {_counted_words('row', place.row)}."]
    told += [f"On “{on.name}”: column {on.column}, row {on.row}." for on in place.sheets]
    if place.entry is not None:
        told.append(f"{thread_words(place.entry)}.")
    told += [f"{_part_words(part)}." for part in place.parts]
    if place.entry is None and not place.parts:
        told.append("No stitch here.")
    elif place.state in STATE_WORDS:
        told.append(STATE_WORDS[place.state])
    if place.differs:
        told.append(f"Here the cloth differs: {place.differs}.")
    return " ".join(told)


def thread_words(entry: KeyEntry) -> str:
    """A line of the key in words: name, number, the threads of a blend, and what they are used instead of."""
    name = entry.name or f"Thread of symbol {entry.symbol.text or entry.code}"
    number = f", number {entry.number}" if entry.number else ""
    blend = f" (blend of {_listed([thread.name for thread in entry.blend])})" if entry.blend else ""
    instead = f", {told}" if (told := instead_words(entry)) else ""
    return f"{name}{number}{blend}{instead}"


def left_words(left: int, squares: int, over: int = 0) -> str:
    """What is left in the band, in words: crosses, part stitches, and `over` them lines and knots."""
    lines = f"{over:,} lines, knots or beads" if over > 1 else "1 line, knot or bead"
    if squares == 0:
        told = "No crosses or part stitches in the band"
    elif left == 0:
        told = "All crosses and part stitches in the band are done"
    else:
        told = f"{left:,} of {squares:,} crosses and part stitches left in the band"
    if not over:
        return f"{told}."
    return f"{told}, and {lines}." if left else f"{told}; {lines} left."


def _on_sheets(chart: Chart, column: int, row: int) -> tuple[OnSheet, ...]:
    return tuple(
        OnSheet(sheet.name, column - sheet.area.column + 1, row - sheet.area.row + 1)
        for sheet in chart.sheets
        if sheet.area.holds(column, row)
    )


def _parts_at(chart: Chart, column: int, row: int) -> tuple[PartHere, ...]:
    parts, here = chart.parts, _parts_in(chart, column, row)
    return tuple(PartHere(PartShape(int(parts.shapes[n])), chart.key[int(parts.keys[n]) - 1]) for n in here)


def _parts_in(chart: Chart, column: int, row: int) -> NDArray[np.intp]:
    return np.flatnonzero((chart.parts.columns == column) & (chart.parts.rows == row))


def _state_at(marks: Marks, column: int, row: int) -> int:
    if marks.chart.squares[row, column]:
        return int(marks.squares[row, column])
    here = _parts_in(marks.chart, column, row)
    return int(marks.parts[here[0]]) if len(here) else OPEN


def _counted_words(name: str, counted: Counted) -> str:
    if counted.side == "centre":
        return f"{name} on the centre line"
    away = f" {SIDE_WORDS[counted.side]}" if counted.side else ""
    return f"{name} {counted.number}{away} (block {counted.block}, place {counted.place})"


def _part_words(part: PartHere) -> str:
    words = PART_WORDS[part.shape]
    return f"{words[0].upper()}{words[1:]}: {thread_words(part.entry)}"


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
