"""Joined groups of the last stitches of a thread: squares by edges, lines by ends, points by blocks."""

from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from stitchview.chart.model import Chart
from stitchview.done.leftout import CROSSES, LINES, POINTS
from stitchview.follow.clothpitch import Pitch

Square = tuple[int, int]
Room = tuple[Square, Square]
"""The corner of a few squares (column, row), and how many there are (columns, rows)."""
TENS = 10
Thing = TypeVar("Thing", bound=Hashable)


@dataclass(frozen=True, slots=True)
class Group:
    """Stitches of one sort that belong together: the squares they lie on, and how many they are.

    `rooms` are the areas that hold just these stitches of their thread.
    """

    sort: str
    squares: tuple[Square, ...]
    stitches: int
    rooms: tuple[Room, ...]

    def nearest(self, place: Square, pitch: Pitch) -> tuple[Square, float]:
        """The square nearest to another one, and how far it is from middle to middle, in millimetres."""
        away = ((pitch.apart(column - place[0], row - place[1]), row, column) for column, row in self.squares)
        mm, row, column = min(away)
        return (column, row), mm


def square_groups(chart: Chart, squares: Sequence[int], parts: Sequence[int]) -> Iterator[Group]:
    """Whole stitches (flat indices) and part stitches whose squares touch, edge to edge."""
    held: dict[Square, int] = {}
    for at in squares:
        held[at % chart.columns, at // chart.columns] = 1
    for at in parts:
        square = int(chart.parts.columns[at]), int(chart.parts.rows[at])
        held[square] = held.get(square, 0) + 1
    beside = {square: [each for each in _around(square) if each in held] for square in held}
    for group in _joined(beside):
        ordered = sorted(group, key=lambda square: (square[1], square[0]))
        yield Group(CROSSES, tuple(ordered), sum(held[square] for square in group), tuple(_rows(ordered)))


def line_groups(chart: Chart, lines: Sequence[int]) -> Iterator[Group]:
    """Lines that meet end to end."""
    ends = {
        at: (
            (int(chart.lines.x1[at]), int(chart.lines.y1[at])),
            (int(chart.lines.x2[at]), int(chart.lines.y2[at])),
        )
        for at in lines
    }
    meeting: dict[Square, list[int]] = {}
    for at, both in ends.items():
        for end in both:
            meeting.setdefault(end, []).append(at)
    beside = {at: [other for end in both for other in meeting[end]] for at, both in ends.items()}
    for group in _joined(beside):
        ordered = sorted(group)
        squares = dict.fromkeys(_on_chart(chart, end) for at in ordered for end in ends[at])
        rooms = dict.fromkeys((line_home(chart, at), (1, 1)) for at in ordered)
        yield Group(LINES, tuple(squares), len(ordered), tuple(rooms))


def point_groups(chart: Chart, points: Sequence[int]) -> Iterator[Group]:
    """Knots and beads of one block of ten by ten squares."""
    blocks: dict[Square, list[int]] = {}
    for at in points:
        column, row = _on_chart(chart, (int(chart.points.x[at]), int(chart.points.y[at])))
        blocks.setdefault((column // TENS, row // TENS), []).append(at)
    for found in blocks.values():
        spots = [(int(chart.points.x[at]), int(chart.points.y[at])) for at in found]
        squares = dict.fromkeys(_on_chart(chart, spot) for spot in spots)
        rooms = dict.fromkeys(((x // 2, y // 2), (1, 1)) for x, y in spots)
        yield Group(POINTS, tuple(squares), len(found), tuple(rooms))


def _around(square: Square) -> Iterator[Square]:
    column, row = square
    return iter(((column - 1, row), (column + 1, row), (column, row - 1), (column, row + 1)))


def _joined(beside: Mapping[Thing, Iterable[Thing]]) -> Iterator[list[Thing]]:
    """The groups of things that are joined, directly or by others."""
    seen: set[Thing] = set()
    for start in beside:
        if start in seen:
            continue
        seen.add(start)
        group = [start]
        for thing in group:
            new = [each for each in beside[thing] if each not in seen]
            for each in new:
                if each not in seen:
                    seen.add(each)
                    group.append(each)
        yield group


def _rows(ordered: Sequence[Square]) -> Iterator[Room]:
    """Squares in reading order as runs of neighbours."""
    start, length = ordered[0], 1
    for column, row in ordered[1:]:
        if (column, row) == (start[0] + length, start[1]):
            length += 1
            continue
        yield start, (length, 1)
        start, length = (column, row), 1
    yield start, (length, 1)


def line_home(chart: Chart, line: int) -> Square:
    """The square in which the middle of a line lies; on an edge the lower, right one."""
    lines = chart.lines
    return int(lines.x1[line] + lines.x2[line]) // 4, int(lines.y1[line] + lines.y2[line]) // 4


def _on_chart(chart: Chart, spot: Square) -> Square:
    """The square on which a point in half squares lies; on the chart's last edges the one before."""
    return min(spot[0] // 2, chart.columns - 1), min(spot[1] // 2, chart.rows - 1)
