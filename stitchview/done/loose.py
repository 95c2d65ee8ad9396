"""Part stitches, lines or points as they lie on the cloth: which are there, how far off, in which thread."""

from dataclasses import fields, replace
from typing import Any, Generic, TypeVar

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.stitches import Lines, Parts, Points

Mask = NDArray[np.bool_]
Ends = NDArray[np.int32]
Table = TypeVar("Table", Parts, Lines, Points)

_ACROSS, _DOWN = ("columns", "x", "x1", "x2"), ("rows", "y", "y1", "y2")


class Loose(Generic[Table]):
    """One table of a printed chart, altered step by step; each stitch by one difference at most.

    A stitch lies in an area when all of it does, the area's edge included, just as a region that is
    marked takes it: so the outline of a block goes with the block.
    """

    def __init__(self, table: Table) -> None:
        self._table: Table = table
        self.keys = table.keys
        # End by end, because comparing whole columns is several times faster than pairs of numbers.
        self._x: list[Ends] = [getattr(table, name) for name in _ACROSS if hasattr(table, name)]
        self._y: list[Ends] = [getattr(table, name) for name in _DOWN if hasattr(table, name)]
        # Squares are counted in whole ones and have no edge in common; the others in half ones.
        self._step, self._edge = (1, 0) if isinstance(table, Parts) else (2, 1)
        self._kept, self._free = np.ones((2, len(table)), np.bool_)
        self._across, self._down = np.zeros((2, len(table)), np.int32)

    @property
    def kept(self) -> NDArray[np.int64] | None:
        """Which of the printed ones are on the cloth; None when all are."""
        return None if self._kept.all() else np.flatnonzero(self._kept)

    def within(self, area: Area) -> Mask:
        """Those lying in an area that no difference is about yet."""
        return self._free & self._lying(area)

    def leave_out(self, chosen: Mask) -> None:
        """Have these not worked."""
        self._kept &= ~chosen
        self._free &= ~chosen

    def move(self, chosen: Mask, across: int, down: int) -> None:
        """Have these lie so many columns and rows off."""
        self._across[chosen], self._down[chosen] = across, down
        self._free &= ~chosen

    def change(self, chosen: Mask, number: int) -> None:
        """Have these worked in the thread of another key number."""
        self.keys = np.where(chosen, np.uint16(number), self.keys)
        self._free &= ~chosen

    def under(self, area: Area) -> Mask:
        """Those that a block lying in an area covers: what lies along the block's edge is not covered."""
        if not self._edge:
            return self.within(area)
        left, right, top, bottom = (2 * each for each in (area.column, area.right, area.row, area.bottom))
        along = np.zeros(len(self.keys), np.bool_)
        for ends, side in ((self._x, left), (self._x, right), (self._y, top), (self._y, bottom)):
            along |= np.logical_and.reduce([each == side for each in ends])
        return self.within(area) & ~along

    def worked(self) -> Table:
        """The table of what is on the cloth, in the printed order; the printed one where none differs."""
        table: Table = self._table
        if self._free.all():
            return table
        columns: dict[str, Any] = {
            each.name: self._column(each.name)[self._kept]
            for each in fields(self._table)
            if each.name != "extra"
        }
        places = np.cumsum(self._kept) - 1
        extra = {int(places[at]): told for at, told in self._table.extra.items() if self._kept[at]}
        table = replace(table, **columns, extra=extra)
        return table

    def _column(self, name: str) -> NDArray[Any]:
        column: NDArray[Any] = getattr(self._table, name)
        if name == "keys":
            return self.keys
        if name in _ACROSS:
            return column + self._step * self._across
        return column + self._step * self._down if name in _DOWN else column

    def _lying(self, area: Area) -> Mask:
        lying = np.ones(len(self.keys), np.bool_)
        for ends, first, after in ((self._x, area.column, area.right), (self._y, area.row, area.bottom)):
            for each in ends:
                lying &= each >= self._step * first
                lying &= each < self._step * after + self._edge
        return lying
