"""A run of rows or of columns, and how it moves over the lines its ends may lie on.

A line is named by how many squares lie before it. `lines` are the allowed ones in rising order,
at least two: the first and the last are the ends of the chart.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Span:
    """`count` rows (or columns) beginning at `first`, counted from 0 at the chart's top left square."""

    first: int
    count: int

    def __post_init__(self) -> None:
        if self.count < 1:
            raise ValueError("a span holds at least one row or column")

    @property
    def end(self) -> int:
        """The first row (or column) after the span."""
        return self.first + self.count


def fitted(span: Span, lines: Sequence[int]) -> Span:
    """The span brought back onto the chart, its ends on the nearest lines."""
    return _between(lines, *_indices(span, lines))


def steps(span: Span, lines: Sequence[int]) -> int:
    """How many steps from line to line the span is long."""
    start, end = _indices(span, lines)
    return end - start


def moved(span: Span, by: int, lines: Sequence[int]) -> Span:
    """The span moved on by so many lines, kept whole between the first line and the last."""
    start, end = _indices(span, lines)
    by = min(max(by, -start), len(lines) - 1 - end)
    return _between(lines, start + by, end + by)


def grown(span: Span, by: int, lines: Sequence[int]) -> Span:
    """The span longer by so many steps at its end; where there is no room left, at its start."""
    start, end = _indices(span, lines)
    end = max(end + by, start + 1)
    spill = max(0, end - (len(lines) - 1))
    return _between(lines, max(0, start - spill), end - spill)


def with_start(span: Span, line: int, lines: Sequence[int]) -> Span:
    """The span with its start dragged to the allowed line nearest to `line`, never past its end."""
    _, end = _indices(span, lines)
    return _between(lines, min(_nearest(line, lines), end - 1), end)


def with_end(span: Span, line: int, lines: Sequence[int]) -> Span:
    """The span with its end dragged to the allowed line nearest to `line`, never past its start."""
    start, _ = _indices(span, lines)
    return _between(lines, start, max(_nearest(line, lines), start + 1))


def centred(span: Span, square: int, lines: Sequence[int]) -> Span:
    """The span with row (or column) `square` in its middle, as near as the chart's ends allow."""
    length = steps(span, lines)
    start = bisect_right(lines, square) - 1 - (length - 1) // 2
    start = min(max(start, 0), len(lines) - 1 - length)
    return _between(lines, start, start + length)


def onward(span: Span, lines: Sequence[int]) -> Iterator[Span]:
    """All places the span comes to in steps of its own length, from the next one to the end.

    Then those from the start up to its own place, so that together they cover everything.
    """
    start, end = _indices(span, lines)
    length = end - start
    last = len(lines) - 1 - length
    ahead = range(start + length, last + length, length)
    behind = range(start % length, start, length)
    first = (0,) if start % length else ()
    for index in (*ahead, *first, *behind):
        index_on_chart = min(index, last)
        yield _between(lines, index_on_chart, index_on_chart + length)


def _indices(span: Span, lines: Sequence[int]) -> tuple[int, int]:
    first, last = lines[0], lines[-1]
    count = min(span.count, last - first)
    begin = min(max(span.first, first), last - count)
    start, end = _nearest(begin, lines), _nearest(begin + count, lines)
    if end > start:
        return start, end
    return (start, start + 1) if start < len(lines) - 1 else (start - 1, start)


def _nearest(line: int, lines: Sequence[int]) -> int:
    after = min(bisect_left(lines, line), len(lines) - 1)
    if after == 0:
        return 0
    return after if lines[after] - line < line - lines[after - 1] else after - 1


def _between(lines: Sequence[int], start: int, end: int) -> Span:
    return Span(lines[start], lines[end] - lines[start])
