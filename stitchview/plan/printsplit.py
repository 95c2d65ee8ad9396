"""How a row of squares is shared out over sheets, which begin at bold lines where that costs nothing."""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Span:
    """The squares of one sheet along one side: `begin` to `end` (from 0, `end` not included)."""

    begin: int
    end: int

    @property
    def squares(self) -> int:
        """How many they are."""
        return self.end - self.begin


def split(begin: int, end: int, fitting: int, overlap: int, bold: Sequence[int]) -> tuple[Span, ...]:
    """The spans of at most `fitting` squares that hold all of `begin` to `end`, as few as there can be.

    Each shares `overlap` squares with the next, or fewer where so few fit. The next begins at one of the
    `bold` lines if that takes no sheet more.
    """
    fitting = max(1, fitting)
    shared = min(overlap, (fitting - 1) // 2)
    step = fitting - shared
    plain = _starts(begin, end, (step, shared), ())
    tens = _starts(begin, end, (step, shared), bold)
    starts = tens if len(tens) == len(plain) else plain
    ends = [*(each + shared for each in starts[1:]), end]
    return tuple(Span(first, last) for first, last in zip(starts, ends, strict=True))


def _starts(begin: int, end: int, reach: tuple[int, int], bold: Sequence[int]) -> list[int]:
    step, shared = reach
    starts = [begin]
    while starts[-1] + step + shared < end:
        furthest = starts[-1] + step
        # Half a sheet at least, or three sheets would share squares.
        before = [line for line in bold if starts[-1] + max(shared, step // 2, 1) <= line <= furthest]
        starts.append(max(before, default=furthest))
    return starts
