"""Where sheets lie beside each other on a table: a cell each, as sheets of paper are laid out by hand."""

import math
from collections.abc import Sequence

Cell = tuple[int, int]
"""A place for one sheet, (column, row) of the table from 0."""

Place = tuple[int, int]
"""Where a sheet begins on the chart, (column, row) in squares."""

Size = tuple[int, int]
"""Columns and rows of a sheet, in squares."""


def usual_cells(number: int) -> tuple[Cell, ...]:
    """Cells for so many sheets in the order given: rows of a block that is about as wide as high."""
    wide = max(1, math.ceil(math.sqrt(number)))
    return tuple((at % wide, at // wide) for at in range(number))


def next_cell(cells: Sequence[Cell]) -> Cell:
    """The cell for one more sheet: right of the last one."""
    return (cells[-1][0] + 1, cells[-1][1]) if cells else (0, 0)


def packed(cells: Sequence[Cell]) -> tuple[Cell, ...]:
    """The cells without columns and rows of the table in which nothing lies, from (0, 0)."""
    columns = {column: at for at, column in enumerate(sorted({cell[0] for cell in cells}))}
    rows = {row: at for at, row in enumerate(sorted({cell[1] for cell in cells}))}
    return tuple((columns[column], rows[row]) for column, row in cells)


def put_at(cells: Sequence[Cell], sheet: int, to: Cell) -> tuple[tuple[Cell, ...], tuple[int, ...]]:
    """Lay a sheet at another cell; one that lies there changes places with it.

    Gives the cells row by row, and which sheet lies at each: its number in the order there was.
    """
    there = {cell: at for at, cell in enumerate(cells)}
    if to in there:
        other, order = there[to], list(range(len(cells)))
        order[sheet], order[other] = other, sheet
        return tuple(cells), tuple(order)
    there.pop(cells[sheet])
    there[to] = sheet
    laid = sorted(there, key=_by_rows)
    return packed(laid), tuple(there[cell] for cell in laid)


def cells_of(places: Sequence[Place], sizes: Sequence[Size]) -> tuple[Cell, ...]:
    """The cells of sheets whose places on the chart are known: what begins within a sheet's first half.

    Two sheets never share a cell: of photographs of nearly the same part one goes right of all others.
    """
    columns = _ranks([place[0] for place in places], [size[0] for size in sizes])
    rows = _ranks([place[1] for place in places], [size[1] for size in sizes])
    cells: list[Cell] = []
    for cell in zip(columns, rows, strict=True):
        free = cell
        while free in cells or (free != cell and free in zip(columns, rows, strict=True)):
            free = free[0] + 1, free[1]
        cells.append(free)
    return tuple(cells)


def by_rows(cells: Sequence[Cell]) -> tuple[int, ...]:
    """The sheets in reading order: row by row of the table, each from the left."""

    def place(sheet: int) -> Cell:
        return _by_rows(cells[sheet])

    return tuple(sorted(range(len(cells)), key=place))


def step(one: Cell, two: Cell) -> Cell | None:
    """The way from a cell to the one right beside, above or below it; None where they are not neighbours."""
    way = two[0] - one[0], two[1] - one[1]
    return way if abs(way[0]) + abs(way[1]) == 1 else None


def _by_rows(cell: Cell) -> Cell:
    return cell[1], cell[0]


def _ranks(starts: Sequence[int], lengths: Sequence[int]) -> list[int]:
    """Which beginnings are the same but for a few squares, counted from the first."""
    ranks, rank, first = [0] * len(starts), -1, 0
    for at in sorted(range(len(starts)), key=starts.__getitem__):
        if rank < 0 or starts[at] - first > lengths[at] / 2:
            rank, first = rank + 1, starts[at]
        ranks[at] = rank
    return ranks
