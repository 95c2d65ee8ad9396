"""Decide which side of a sheet is up by the numbers along its edges, and check the count by them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.edgenumbers import EdgeNumbers, edge_numbers

UNKNOWN = "No numbers along the edges could be read, so that it is not certain which side of the sheet is up."


@dataclass(frozen=True)
class Upright:
    """``turns`` quarters clockwise to be read, with doubted columns and rows as read, and why."""

    turns: int
    doubted_columns: frozenset[int] = frozenset()
    doubted_rows: frozenset[int] = frozenset()
    doubts: tuple[str, ...] = ()


def upright(
    grey: NDArray[np.uint8], nodes: NDArray[np.float64], columns: int | None = None, rows: int | None = None
) -> Upright:
    """How a lattice (rows + 1, columns + 1, 2) must be turned; as it lies, with a doubt, where none can tell.

    ``columns`` and ``rows`` are the chart's as a person gave them: they tell a sheet that lies on its side.
    """
    told = edge_numbers(grey, nodes)
    if told is not None:
        return _checked(told)
    lies = nodes.shape[1] - 1, nodes.shape[0] - 1
    sideways = None not in (columns, rows) and columns != rows and lies[::-1] == (columns, rows)
    return Upright(1 if sideways else 0, doubts=(UNKNOWN,))


def _checked(told: EdgeNumbers) -> Upright:
    """The turn, with doubts where the numbers do not go with the count."""
    doubts = []
    for what, breaks in (("columns", told.column_breaks), ("rows", told.row_breaks)):
        for first, last in breaks:
            doubts.append(
                f"The numbers along the edge do not fit the count between {what} {first + 1} and {last}."
            )
    for what, first_square in (("column", told.column), ("row", told.row)):
        if first_square in (-1, 1):
            wrong = "is missing from" if first_square == 1 else "too many was counted at"
            doubts.append(f"By the numbers along the edge, a {what} {wrong} the chart's beginning.")
    return Upright(
        told.turns,
        _squares(told.column_breaks, told.column),
        _squares(told.row_breaks, told.row),
        tuple(doubts),
    )


def _squares(breaks: tuple[tuple[int, int], ...], first: int | None) -> frozenset[int]:
    between = {square for start, end in breaks for square in range(start, end)}
    return frozenset(between | ({0} if first in (-1, 1) else set()))
