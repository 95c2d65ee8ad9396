"""The printed list of where the cloth differs from the chart as it was bought."""

from collections.abc import Sequence

from PySide6.QtGui import QPainter

from stitchview.canvas.cardtext import fitted
from stitchview.canvas.printpen import INK, UNITS, write
from stitchview.follow.differencewords import difference_words
from stitchview.plan.cardpages import Box
from stitchview.plan.printplan import PrintPlan

LINE = 6.5
"""Millimetres from line to line."""


def differ_pages(plan: PrintPlan) -> tuple[tuple[str, ...], ...]:
    """The lines of the list, page by page; no page where nothing differs."""
    told = [difference_words(plan.chart, each, plan.wish.numbering) for each in plan.differs]
    most = max(1, int(plan.body.height / LINE))
    return tuple(tuple(told[at : at + most]) for at in range(0, len(told), most))


def draw_differences(painter: QPainter, plan: PrintPlan, lines: Sequence[str]) -> None:
    """Draw one page of the list."""
    body = plan.body
    for at, line in enumerate(lines):
        words = fitted(line, body.width * UNITS, (340, 300, 260), 1)
        write(painter, words, Box(body.left, body.top + at * LINE, body.width, 0), INK)
