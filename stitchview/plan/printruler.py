"""What stands along the sides of a printed sheet: numbers at the tens, bold lines, and the centre."""

from dataclasses import dataclass

from stitchview.follow.numbering import (
    Way,
    centre_line,
    tens_lines,
)

# Every tenth line has a number, or every twentieth, fiftieth and so on.
_STEPS = (10, 20, 50, 100, 200, 500, 1000, 5000)


@dataclass(frozen=True, slots=True)
class Side:
    """One side of a sheet: all lines are named by how many squares of the chart lie before them.

    `bold` are the lines at tens, `numbers` pairs of a line and the number there, `centre` the centre line
    if it crosses the sheet.
    """

    bold: tuple[int, ...]
    numbers: tuple[tuple[int, int], ...]
    centre: float | None


def side_of(begin: int, end: int, size: int, way: Way, squares_apart: float) -> Side:
    """The side of a sheet from square `begin` to `end` of `size`; numbers stand `squares_apart` at least."""
    bold = tuple(line for line in tens_lines(size, way) if begin <= line <= end)
    step = next((step for step in _STEPS if step >= squares_apart), _STEPS[-1])
    counted = [(line, count_at(line, size, way)) for line in bold]
    numbers = [each for each in counted if each[1] and each[1] % step == 0]
    for line, count in counted:
        # An end of the chart has its number too, if that is not squeezed beside another.
        if line in (0, size) and count % step and all(abs(line - at) >= squares_apart for at, _ in numbers):
            numbers.append((line, count))
    centre = centre_line(size)
    return Side(bold, tuple(sorted(numbers)), centre if begin <= centre <= end else None)


def count_at(line: int, size: int, way: Way) -> int:
    """How many squares she has counted when she comes to a line: 0 where counting begins."""
    if way is Way.ON:
        return line
    if way is Way.BACK:
        return size - line
    return max(size // 2 - line, line - (size + 1) // 2, 0)
