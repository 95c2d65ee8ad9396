"""A rectangle of squares."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Area:
    """`columns` x `rows` squares whose top left square is (`column`, `row`), counted from 0.

    Columns count rightwards and rows downwards from the chart's top left square; an area may
    reach beyond the chart until it is clipped. Empty when either size is 0 or less.
    """

    column: int
    row: int
    columns: int
    rows: int

    @property
    def right(self) -> int:
        """The first column after the area."""
        return self.column + self.columns

    @property
    def bottom(self) -> int:
        """The first row after the area."""
        return self.row + self.rows

    @property
    def empty(self) -> bool:
        """Whether no square lies in the area."""
        return self.columns <= 0 or self.rows <= 0

    @property
    def count(self) -> int:
        """How many squares lie in the area."""
        return 0 if self.empty else self.columns * self.rows

    def holds(self, column: int, row: int) -> bool:
        """Whether the square (`column`, `row`) lies in the area."""
        return self.column <= column < self.right and self.row <= row < self.bottom

    def clipped(self, other: "Area") -> "Area":
        """The part of this area that also lies in `other`; empty (0 x 0 in size) if none does."""
        column, row = max(self.column, other.column), max(self.row, other.row)
        columns = min(self.right, other.right) - column
        rows = min(self.bottom, other.bottom) - row
        if columns <= 0 or rows <= 0:
            return Area(column, row, 0, 0)
        return Area(column, row, columns, rows)

    def joined(self, other: "Area") -> "Area":
        """The smallest area that holds both; an empty one adds nothing."""
        if self.empty:
            return other
        if other.empty:
            return self
        column, row = min(self.column, other.column), min(self.row, other.row)
        return Area(column, row, max(self.right, other.right) - column, max(self.bottom, other.bottom) - row)

    def grown(self, margin: int) -> "Area":
        """The area with `margin` more squares on every side."""
        return Area(
            self.column - margin, self.row - margin, self.columns + 2 * margin, self.rows + 2 * margin
        )

    def slices(self) -> tuple[slice, slice]:
        """Row and column slices into an array of shape (rows, columns); the area must be clipped first."""
        return slice(self.row, self.bottom), slice(self.column, self.right)


def spanning(first: tuple[int, int], last: tuple[int, int]) -> Area:
    """The area between two squares (column, row), both included, in whichever order they come."""
    column, row = min(first[0], last[0]), min(first[1], last[1])
    return Area(column, row, abs(first[0] - last[0]) + 1, abs(first[1] - last[1]) + 1)
