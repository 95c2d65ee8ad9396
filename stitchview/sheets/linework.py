"""Lines in half squares: joined where one goes on in another, and cut where they may not lie."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from math import gcd

import numpy as np
from numpy.typing import NDArray

Ends = NDArray[np.int32]
Way = tuple[int, int, int, int]
Interval = tuple[int, int]


def on_its_way(ends: Sequence[int]) -> tuple[Way, Interval]:
    """The way that a line (x1, y1, x2, y2) lies on, and from which to which of its steps it goes.

    A way is (dx, dy, x, y): its smallest step, rightwards or straight down, and its first point from x = 0
    (or y = 0 where it is upright). Lines lie on one another, or go on in one another, only on the same way.
    """
    x1, y1, x2, y2 = (int(value) for value in ends)
    step = gcd(x2 - x1, y2 - y1)
    dx, dy = (x2 - x1) // step, (y2 - y1) // step
    if (dx, dy) < (0, 0):
        x1, y1, dx, dy = x2, y2, -dx, -dy
    first = x1 // dx if dx else y1 // dy
    return (dx, dy, x1 - first * dx, y1 - first * dy), (first, first + step)


def ends_of(way: Way, interval: Interval) -> tuple[int, int, int, int]:
    """The ends (x1, y1, x2, y2) of the steps ``interval`` of a way."""
    dx, dy, x, y = way
    first, last = interval
    return x + first * dx, y + first * dy, x + last * dx, y + last * dy


def joined_lines(lines: Iterable[Sequence[int]]) -> Ends:
    """Lines (n, 4) as few and long as they can be: overlapping or meeting ones on one way become one."""
    ways: dict[Way, list[Interval]] = defaultdict(list)
    for line in lines:
        way, interval = on_its_way(line)
        ways[way].append(interval)
    found = [ends_of(way, interval) for way in sorted(ways) for interval in union(ways[way])]
    return np.array(found, np.int32).reshape(-1, 4)


def lines_without(lines: Iterable[Sequence[int]], taken: Iterable[Sequence[int]]) -> Ends:
    """What is left of lines (n, 4) when whatever lies on ``taken`` ones (m, 4) is cut away."""
    cuts: dict[Way, list[Interval]] = defaultdict(list)
    for line in taken:
        way, interval = on_its_way(line)
        cuts[way].append(interval)
    found = []
    for line in lines:
        way, interval = on_its_way(line)
        found += [ends_of(way, part) for part in _difference(interval, union(cuts[way]))]
    return np.array(found, np.int32).reshape(-1, 4)


def lines_within(lines: Iterable[Sequence[int]], box: Sequence[int]) -> Ends:
    """The parts of lines in a box (x1, y1, x2, y2) of half squares, edges included, in whole steps."""
    found = []
    for line in lines:
        way, (first, last) = on_its_way(line)
        steps = [step for step in range(first, last) if _inside(ends_of(way, (step, step + 1)), box)]
        found += [ends_of(way, part) for part in union([(step, step + 1) for step in steps])]
    return np.array(found, np.int32).reshape(-1, 4)


def single_steps(lines: Iterable[Sequence[int]]) -> set[tuple[int, int, int, int]]:
    """All smallest steps of lines, each from its left (or upper) end."""
    found = set()
    for line in lines:
        way, (first, last) = on_its_way(line)
        found |= {ends_of(way, (step, step + 1)) for step in range(first, last)}
    return found


def union(intervals: Iterable[Interval]) -> list[Interval]:
    """Intervals of whole numbers in order, those that meet or overlap made one."""
    found: list[Interval] = []
    for first, last in sorted(intervals):
        if found and first <= found[-1][1]:
            found[-1] = found[-1][0], max(last, found[-1][1])
        else:
            found.append((first, last))
    return found


def _difference(whole: Interval, cuts: Sequence[Interval]) -> list[Interval]:
    left, found = whole[0], []
    for first, last in cuts:
        if last <= left or first >= whole[1]:
            continue
        if first > left:
            found.append((left, first))
        left = max(left, last)
    return [*found, (left, whole[1])] if left < whole[1] else found


def _inside(step: Sequence[int], box: Sequence[int]) -> bool:
    x1, y1, x2, y2 = step
    return min(x1, x2) >= box[0] and min(y1, y2) >= box[1] and max(x1, x2) <= box[2] and max(y1, y2) <= box[3]
