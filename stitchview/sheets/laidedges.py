"""Lay sheets that show nothing in common edge to edge, as a person has laid them on the table."""

from collections.abc import Sequence
from itertools import combinations

from stitchview.sheets.overlap import Fit, Offset, fit_at
from stitchview.sheets.sheetreading import SheetReading
from stitchview.sheets.tablecells import Cell, step

MOST_NAME = 60

Link = tuple[int, int, Fit]


def links_as_laid(sheets: Sequence[SheetReading]) -> list[Link]:
    """For every two sheets that lie right beside each other on the table: edge to edge, tops or lefts level.

    Sheets that nobody has laid have no links. Which squares they share is not asked: where that could be
    told, it has been.
    """
    links = []
    for one, two in combinations(range(len(sheets)), 2):
        first, second = sheets[one].cell, sheets[two].cell
        way = step(first, second) if first is not None and second is not None else None
        if way is not None:
            links.append(
                (one, two, fit_at(sheets[one].piles, sheets[two].piles, _edge(sheets, one, two, way)))
            )
    return links


def edge_doubt(other: SheetReading) -> str:
    """What a person is to look at where a sheet lies against ``other`` only because she laid it so."""
    return (
        f"It lies edge to edge with “{other.name[:MOST_NAME]}” because you laid it so: look whether squares "
        "are missing there, or shown twice."
    )


def _edge(sheets: Sequence[SheetReading], one: int, two: int, way: Cell) -> Offset:
    """The offset of sheet two from sheet one that is right beside it, or above or below it."""
    across, down = way
    columns = sheets[one].columns if across > 0 else sheets[two].columns
    rows = sheets[one].rows if down > 0 else sheets[two].rows
    return across * columns, down * rows
