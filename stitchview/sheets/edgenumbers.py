"""Read the numbers along the edges of a chart: which side is up, and where the sheet lies on its chart."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.digitshapes import digit_of
from stitchview.sheets.margins import PITCH, Mark, marks_around

_WITHIN = 0.35
_FEWEST = 3
_MOST_DIGITS = 4
_MOST_OFF = 5.5


@dataclass(frozen=True)
class EdgeNumber:
    """A number read beside the chart: its value, and how many squares from the first node it stands.

    ``axis`` is 0 for numbers along the top or bottom, 1 for those along the left or right.
    """

    value: int
    place: float
    axis: int


@dataclass(frozen=True)
class EdgeNumbers:
    """What the numbers tell that go up in step with the squares.

    ``turns``: how often the picture is to be turned a quarter clockwise to be read; ``column`` and ``row``:
    the chart's column and row, from 0, that the sheet begins with, None where no numbers tell; ``read`` how
    many numbers agree. ``column_breaks`` and ``row_breaks`` are (first, past the last) squares between two
    numbers that contradict each other, so that squares were missed or counted twice there.
    """

    turns: int
    column: int | None
    row: int | None
    read: int
    column_breaks: tuple[tuple[int, int], ...] = ()
    row_breaks: tuple[tuple[int, int], ...] = ()


def edge_numbers(grey: NDArray[np.uint8], nodes: NDArray[np.float64]) -> EdgeNumbers | None:
    """What stands around a lattice (rows + 1, columns + 1, 2); None where numbers do not tell it plainly."""
    size = nodes.shape[1] - 1, nodes.shape[0] - 1
    marks = marks_around(grey, nodes)
    told = [_told(numbers_read(marks, size, turns), turns) for turns in range(4)]
    best, second = sorted(told, key=_read, reverse=True)[:2]
    return best if best.read >= max(_FEWEST, 2 * second.read + 1) else None


def _read(numbers: EdgeNumbers) -> int:
    return numbers.read


def numbers_read(marks: list[Mark], size: tuple[int, int], turns: int) -> list[EdgeNumber]:
    """Numbers among marks round a lattice of ``size`` (columns, rows), read after so many turns."""
    turned = [_turned(mark, size, turns) for mark in marks]
    columns, rows = size if turns % 2 == 0 else size[::-1]
    numbers = []
    for side in range(4):
        for word in _words([mark for mark in turned if mark.side == side]):
            value = _value(word)
            if value is None:
                continue
            left, right = word[0].left, word[-1].left + word[-1].ink.shape[1]
            top, bottom = word[0].top, word[0].top + word[0].ink.shape[0]
            axis = 0 if side in (1, 3) else 1
            place = (left + right, top + bottom)[axis] / 2 / PITCH
            if -0.6 < place < (columns, rows)[axis] + 0.6:
                numbers.append(EdgeNumber(value, place, axis))
    return numbers


def _turned(mark: Mark, size: tuple[int, int], turns: int) -> Mark:
    """The mark as it is when the picture is turned clockwise by quarters."""
    for _ in range(turns):
        high = mark.ink.shape[0]
        mark = Mark(
            np.ascontiguousarray(np.rot90(mark.ink, -1)),
            size[1] * PITCH - mark.top - high,
            mark.left,
            (mark.side + 1) % 4,
        )
        size = size[::-1]
    return mark


def _words(marks: list[Mark]) -> list[list[Mark]]:
    """Marks of one height beside each other on one line, from left to right."""
    words: list[list[Mark]] = []
    for mark in sorted(marks, key=_left):
        for word in words:
            if _follows(word[-1], mark):
                word.append(mark)
                break
        else:
            words.append([mark])
    return words


def _left(mark: Mark) -> int:
    return mark.left


def _follows(before: Mark, after: Mark) -> bool:
    high = before.ink.shape[0]
    gap = after.left - before.left - before.ink.shape[1]
    level = abs(after.top - before.top) + abs(after.ink.shape[0] - high)
    return bool(-0.2 * high < gap < 0.55 * high and level < 0.35 * high)


def _value(word: list[Mark]) -> int | None:
    """The number that a word spells; None where it is none, or begins with a needless nought."""
    if len(word) > _MOST_DIGITS:
        return None
    read = [digit_of(mark.ink) for mark in word]
    digits = [digit[0] for digit in read if digit is not None]
    if len(digits) < len(word) or (digits[0] == 0 and len(digits) > 1):
        return None
    return int("".join(map(str, digits)))


def _told(numbers: list[EdgeNumber], turns: int) -> EdgeNumbers:
    """What most numbers of both directions agree on."""
    across, down = ([number for number in numbers if number.axis == axis] for axis in (0, 1))
    column, row = _in_step(across), _in_step(down)
    read = len(_different(across, column)) + len(_different(down, row))
    return EdgeNumbers(turns, _first(column), _first(row), read, _breaks(across, column), _breaks(down, row))


def _in_step(numbers: list[EdgeNumber]) -> float | None:
    """How much further on the chart than on the sheet most numbers stand; None if fewer than three agree."""
    ahead = np.array([number.value - number.place for number in numbers])
    best: list[int] = []
    middle = 0.0
    for one in ahead.tolist():
        agreeing = _different(numbers, one)
        if len(agreeing) > len(best):
            best, middle = agreeing, float(np.median(ahead[np.abs(ahead - one) < _WITHIN]))
    return middle if len(best) >= _FEWEST else None


def _different(numbers: list[EdgeNumber], ahead: float | None) -> list[int]:
    """The different values of numbers that stand that much ahead."""
    if ahead is None:
        return []
    return sorted({number.value for number in numbers if abs(number.value - number.place - ahead) < _WITHIN})


def _first(ahead: float | None) -> int | None:
    """A number stands at the line after its square, or in the square's middle, half a square before."""
    return None if ahead is None else int(np.floor(ahead + 0.3))


def _breaks(numbers: list[EdgeNumber], ahead: float | None) -> tuple[tuple[int, int], ...]:
    """Between which squares the numbers get out of step by a few, as three numbers at least say."""
    if ahead is None:
        return ()
    off = [number for number in numbers if _WITHIN < abs(number.value - number.place - ahead) < _MOST_OFF]
    astray = [number for number in off if len(_different(off, number.value - number.place)) >= _FEWEST]
    right = [number for number in numbers if abs(number.value - number.place - ahead) < _WITHIN]
    line = sorted((number.place, number in right) for number in {*astray, *right})
    kept = [one for at, one in enumerate(line) if any(one[1] == other[1] for other in _beside(line, at))]
    return tuple(
        (round(before[0]), round(after[0]))
        for before, after in pairwise(kept)
        if before[1] != after[1] and round(after[0]) > round(before[0])
    )


def _beside(line: list[tuple[float, bool]], at: int) -> list[tuple[float, bool]]:
    """What stands before and after: a number that agrees with neither was misread."""
    return line[max(at - 1, 0) : at] + line[at + 1 : at + 2]
