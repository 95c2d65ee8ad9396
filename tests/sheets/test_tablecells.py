"""Sheets lie beside each other on the table, one to a cell, and can be laid elsewhere."""

from hypothesis import given
from hypothesis import strategies as st

from stitchview.sheets.tablecells import (
    Cell,
    by_rows,
    cells_of,
    next_cell,
    packed,
    put_at,
    step,
    usual_cells,
)

CELLS = st.lists(st.tuples(st.integers(0, 4), st.integers(0, 4)), min_size=1, max_size=12, unique=True)


def test_sheets_lie_row_by_row_in_the_order_given() -> None:
    """Four make two rows of two, five a row of three and one of two; the next goes right of the last."""
    assert usual_cells(0) == ()
    assert usual_cells(4) == ((0, 0), (1, 0), (0, 1), (1, 1))
    assert usual_cells(5) == ((0, 0), (1, 0), (2, 0), (0, 1), (1, 1))
    assert next_cell(usual_cells(5)) == (2, 1)
    assert next_cell(()) == (0, 0)


def test_a_sheet_laid_on_another_changes_places_with_it() -> None:
    """Nothing else moves."""
    cells, order = put_at(usual_cells(4), 0, (1, 1))
    assert cells == usual_cells(4)
    assert order == (3, 1, 2, 0)


def test_a_sheet_laid_beside_the_others_goes_there() -> None:
    """Left of all it begins a new column; its old cell stays free."""
    cells, order = put_at(((0, 0), (1, 0)), 1, (-1, 0))
    assert (cells, order) == (((0, 0), (1, 0)), (1, 0))
    cells, order = put_at(((0, 0), (1, 0), (0, 1), (1, 1)), 3, (2, 0))
    assert (cells, order) == (((0, 0), (1, 0), (2, 0), (0, 1)), (0, 1, 3, 2))
    assert put_at(((0, 0), (1, 0)), 1, (2, 0)) == (((0, 0), (1, 0)), (0, 1))


@given(CELLS, st.integers(0, 11), st.tuples(st.integers(-1, 5), st.integers(-1, 5)))
def test_no_two_sheets_share_a_cell(cells: list[Cell], sheet: int, to: Cell) -> None:
    """Wherever a sheet is laid, every sheet is there once, and cells come row by row as the order does."""
    cells = [cells[at] for at in by_rows(cells)]
    laid, order = put_at(cells, sheet % len(cells), to)
    assert sorted(order) == list(range(len(cells)))
    assert len(set(laid)) == len(cells)
    assert by_rows(laid) == tuple(range(len(cells)))
    close = packed(laid)
    assert len(set(close)) == len(cells)
    assert {column for column, _ in close} == set(range(max(column for column, _ in close) + 1))


def test_places_on_the_chart_tell_the_cells() -> None:
    """Sheets that repeat some squares, a square or two off, lie in rows and columns."""
    places = [(45, 1), (0, 0), (46, 40), (1, 41)]
    sizes = [(50, 45), (50, 45), (20, 30), (50, 30)]
    assert cells_of(places, sizes) == ((1, 0), (0, 0), (1, 1), (0, 1))


def test_two_photographs_of_nearly_one_part_get_a_cell_each() -> None:
    """The second goes right of it, where no other sheet lies."""
    cells = cells_of([(0, 0), (2, 1), (40, 0)], [(50, 50)] * 3)
    assert cells[0] == (0, 0)
    assert cells[2] == (1, 0)
    assert len(set(cells)) == 3


def test_neighbours_are_those_right_beside() -> None:
    """Not those at a corner, and not the sheet itself."""
    assert step((1, 1), (2, 1)) == (1, 0)
    assert step((1, 1), (1, 0)) == (0, -1)
    assert step((1, 1), (2, 2)) is None
    assert step((1, 1), (1, 1)) is None
