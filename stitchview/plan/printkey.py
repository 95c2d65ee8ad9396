"""Where the lines of a printed key stand, and how many stitches of each thread there are."""

from dataclasses import dataclass

from stitchview.plan.cardpages import Box
from stitchview.plan.printplan import PrintPlan
from stitchview.plan.printwish import DoneAs

ROW, TOP, COLUMN, GAP = 10.0, 11.0, 88.0, 6.0
"""Millimetres: a line of the key, the words above it, and how wide a column is at least."""


@dataclass(frozen=True, slots=True)
class KeyLine:
    """One thread: its number in the key from 1, how many stitches are left of how many, and its place."""

    number: int
    left: int
    all: int
    row: Box


def key_pages(plan: PrintPlan) -> tuple[tuple[KeyLine, ...], ...]:
    """The lines of each page of the key, in the order of the key: only threads that are printed."""
    counts, left_only = plan.stitches.counts(plan.area), plan.wish.done is DoneAs.LEFT_OUT
    printed = counts.left if left_only else counts.all
    numbers = [number for number, count in enumerate(printed.tolist(), 1) if count]
    places = _places(plan.body)
    return tuple(
        tuple(
            KeyLine(number, int(counts.left[number - 1]), int(counts.all[number - 1]), place)
            for number, place in zip(numbers[begin : begin + len(places)], places, strict=False)
        )
        for begin in range(0, len(numbers), len(places))
    )


def _places(body: Box) -> list[Box]:
    """The places of a page's lines, one column after the other."""
    columns = max(1, int((body.width + GAP) // (COLUMN + GAP)))
    width = (body.width - (columns - 1) * GAP) / columns
    rows = max(1, int((body.height - TOP) // ROW))
    return [
        Box(body.left + column * (width + GAP), body.top + TOP + row * ROW, width, ROW)
        for column in range(columns)
        for row in range(rows)
    ]
