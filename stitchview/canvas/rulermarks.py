"""Where a ruler has its ticks and its numbers, thinned out so that no two numbers touch."""

import functools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.follow.numbering import Way, ruler_numbers

Lines = NDArray[np.int32]

# Every tenth line has a number, or every twentieth, fiftieth and so on.
_STEPS = (10, 20, 50, 100, 200, 500, 1000, 2000, 5000)


@dataclass(frozen=True, slots=True)
class Label:
    """A number on a ruler, and the line it stands at (named by how many squares lie before it)."""

    line: int
    number: int


@functools.lru_cache(maxsize=4)
def counts_at_lines(size: int, way: Way) -> Lines:
    """Give how many squares she has counted when she comes to each of the `size` + 1 lines: int32.

    From a corner it is 0 at one end and `size` at the other; from the centre it is 0 at the centre
    line (or at both lines around the centre square) and grows both ways.
    """
    numbers, half = np.abs(ruler_numbers(size, way)), size // 2
    parts = {
        Way.ON: (numbers[:0], 1, numbers),
        Way.BACK: (numbers, 1, numbers[:0]),
        Way.OUT: (numbers[:half], 1 + size % 2, numbers[size - half :]),
    }
    before, zeros, after = parts[way]
    counts = np.concatenate([before, np.zeros(zeros, np.int32), after])
    counts.setflags(write=False)
    return counts


@functools.lru_cache(maxsize=16)
def labels(size: int, way: Way, pitch: float, room: float) -> tuple[Label, ...]:
    """Give the numbers of a ruler in rising order of their lines.

    `room` is how many pixels each takes along the ruler, its distance to the next included, at
    `pitch` pixels a square. The ends of the chart have their numbers too, where these find room.
    """
    counts = counts_at_lines(size, way)
    step = next((step for step in _STEPS if step * pitch >= room), 0)
    chosen = np.flatnonzero((counts > 0) & (counts % step == 0)).tolist() if step else []
    for end in (0, size):
        # The number at an end stands wholly beside the chart, and so half its length further in.
        near = [
            line
            for line in chosen
            if line != end and abs(end - line) * pitch < room * (2 if line in (0, size) else 1.5)
        ]
        if end in chosen:
            chosen = [line for line in chosen if line not in near]
        elif counts[end] and not near:
            chosen.append(end)
    return tuple(Label(line, int(counts[line])) for line in sorted(chosen))


def ticks(counts: Lines, first: int, last: int, pitch: float, smallest: float) -> list[Lines]:
    """Give the lines from `first` to `last` with a tick: at tens, at fives, at single squares.

    Ticks are nowhere closer than `smallest` pixels; a kind that would be is left out.
    """
    lines = np.arange(first, last + 1, dtype=np.int32)
    here = counts[first : last + 1]
    tens, fives = here % 10 == 0, here % 5 == 0
    kinds = ((10, tens), (5, fives & ~tens), (1, ~fives))
    return [lines[kind] if squares * pitch >= smallest else lines[:0] for squares, kind in kinds]
