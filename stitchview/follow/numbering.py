"""How columns and rows are numbered: from the corner the stitcher chose, or out from the centre."""

from dataclasses import dataclass
from enum import Enum, StrEnum

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.int32]


class Numbering(StrEnum):
    """Where counting begins; the values are what files and settings hold."""

    TOP_LEFT = "top-left"
    TOP_RIGHT = "top-right"
    BOTTOM_LEFT = "bottom-left"
    BOTTOM_RIGHT = "bottom-right"
    CENTRE = "centre"

    @property
    def across(self) -> "Way":
        """Which way columns count up."""
        if self is Numbering.CENTRE:
            return Way.OUT
        return Way.BACK if self in (Numbering.TOP_RIGHT, Numbering.BOTTOM_RIGHT) else Way.ON

    @property
    def down(self) -> "Way":
        """Which way rows count up."""
        if self is Numbering.CENTRE:
            return Way.OUT
        return Way.BACK if self in (Numbering.BOTTOM_LEFT, Numbering.BOTTOM_RIGHT) else Way.ON


class Way(Enum):
    """Which way numbers grow along one side of the chart."""

    ON = "rightwards or downwards"
    BACK = "leftwards or upwards"
    OUT = "both ways from the centre"


@dataclass(frozen=True, slots=True)
class Counted:
    """A column or row as she counts it: its number from 1, its ten-by-ten block, its place in the block.

    `side` is "" counted from a corner, and "left", "right", "up", "down" or "centre" counted from
    the centre. The one square a centre line runs through (odd sizes only) has number, block and place 0.
    """

    number: int
    block: int
    place: int
    side: str = ""


def ruler_numbers(size: int, way: Way) -> Numbers:
    """The number of each of `size` squares, shape (size,), int32.

    Counted from a corner they run from 1 to `size`. From the centre they are below 0 on the left
    (or upper) side and above 0 on the right (or lower); 0 stands for the square that the centre
    line runs through, so even sizes have none: their centre is the line between two squares
    (halving both counts is how the public-domain handbook of 1886 finds the centre: checks.md, H2).
    """
    squares = np.arange(size, dtype=np.int32)
    if way is Way.ON:
        return squares + np.int32(1)
    if way is Way.BACK:
        return np.int32(size) - squares
    half = size // 2
    if size % 2:
        return squares - np.int32(half)
    return np.where(squares < half, squares - half, squares - half + 1).astype(np.int32)


def tens_lines(size: int, way: Way) -> tuple[int, ...]:
    """The lines between tens, counted from the corner or the centre, and both ends of the chart.

    A line is named by how many squares lie before it: 0 is the left (or top) end, `size` the other.
    Counted from the centre of an odd size, the centre square stands between two lines by itself.
    """
    if way is Way.ON:
        inner = set(range(0, size, 10))
    elif way is Way.BACK:
        inner = set(range(size, 0, -10))
    else:
        inner = {*range(size // 2, 0, -10), *range((size + 1) // 2, size, 10)}
    return tuple(sorted(inner | {0, size}))


def start_of(size: int, way: Way) -> float:
    """Where counting begins, on a scale on which squares are 0, 1, 2 ...: -0.5 is the left or top end."""
    if way is Way.OUT:
        return centre_line(size) - 0.5
    return -0.5 if way is Way.ON else size - 0.5


def number_of(index: int, size: int, way: Way) -> int:
    """The number of a column or row, as `ruler_numbers` has it; off the chart it goes on."""
    return _number(index, size, way)


def index_of(number: int, size: int, way: Way) -> int:
    """The column or row, from 0 in memory, that has this number; the way back of `number_of`.

    Raises `ValueError` for the 0 that an even size counted from the centre has not.
    """
    if way is Way.ON:
        return number - 1
    if way is Way.BACK:
        return size - number
    if number == 0 and size % 2 == 0:
        raise ValueError("counted from the centre of an even size nothing has the number 0")
    return number + size // 2 - (1 if number > 0 and size % 2 == 0 else 0)


def centre_line(size: int) -> float:
    """Where the centre line runs, in squares from the left (or top): 300.0 of 600, 300.5 of 601."""
    return size / 2


def column_counted(column: int, columns: int, numbering: Numbering) -> Counted:
    """How she counts `column` (from 0, in memory) of a chart `columns` wide."""
    return _counted(column, columns, numbering.across, ("left", "right"))


def row_counted(row: int, rows: int, numbering: Numbering) -> Counted:
    """How she counts `row` (from 0, in memory) of a chart `rows` high."""
    return _counted(row, rows, numbering.down, ("up", "down"))


def _counted(index: int, size: int, way: Way, sides: tuple[str, str]) -> Counted:
    signed = _number(index, size, way)
    if signed == 0:
        return Counted(0, 0, 0, "centre")
    number = abs(signed)
    side = (sides[0] if signed < 0 else sides[1]) if way is Way.OUT else ""
    return Counted(number, (number - 1) // 10 + 1, (number - 1) % 10 + 1, side)


def _number(index: int, size: int, way: Way) -> int:
    if way is Way.ON:
        return index + 1
    if way is Way.BACK:
        return size - index
    before_centre = index < size // 2
    return index - size // 2 + (0 if before_centre or size % 2 else 1)
