"""Where the sheets of the reading table lie: as they came, as they were read, or as she laid them."""

from collections.abc import Sequence

from stitchview.chart.area import Area
from stitchview.sheets.tablecells import (
    Cell,
    by_rows,
    cells_of,
    next_cell,
    packed,
    put_at,
    usual_cells,
)

Order = tuple[int, ...]


class Laying:
    """A cell of the table for each sheet, row by row as the sheets' order is; sheets are told by that order.

    `areas` is what each shows of the chart, in squares; empty while that is not known of all. `by_hand`
    says that she laid one herself, `ordered` that she at least changed their order.
    """

    def __init__(self) -> None:
        self.cells: tuple[Cell, ...] = ()
        self.areas: tuple[Area, ...] = ()
        self.by_hand = self.ordered = False

    def added(self) -> None:
        """One sheet more, at the end; where it belongs is not known yet."""
        self.areas = ()
        if self.by_hand:
            self.cells = (*self.cells, next_cell(self.cells))
        else:
            self.cells = usual_cells(len(self.cells) + 1)

    def removed(self, sheet: int) -> None:
        """One sheet less; the others stay where they are as she laid them, or as they were read."""
        left = self.cells[:sheet] + self.cells[sheet + 1 :]
        self.areas = self.areas[:sheet] + self.areas[sheet + 1 :]
        self.cells = packed(left) if self.by_hand or self.areas else usual_cells(len(left))
        self.by_hand = self.by_hand and len(left) > 1

    def put(self, sheet: int, to: Cell) -> Order:
        """Lay a sheet at a cell, its own too; from now on that counts. Gives the new order of the sheets."""
        self.by_hand, self.ordered, self.areas = True, True, ()
        self.cells, order = put_at(self.cells, sheet, to)
        return order

    def moved(self) -> None:
        """Sheets have changed places in the list, which alone says nothing of what lies beside what."""
        self.ordered, self.areas = True, ()

    def know(self, areas: Sequence[Area]) -> Order:
        """Lay the sheets where they show so much of the chart; gives their new order."""
        cells = cells_of(
            [(area.column, area.row) for area in areas], [(area.columns, area.rows) for area in areas]
        )
        order = by_rows(cells)
        self.cells, self.areas = tuple(cells[at] for at in order), tuple(areas[at] for at in order)
        self.by_hand = self.ordered = False
        return order
