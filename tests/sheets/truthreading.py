"""Sheets as a perfect reader would read them, from the truth of printed test pages."""

import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.sheetreading import NO_PILE, FoundDots, FoundLines, Piles, SheetReading
from stitchview.sheets.straightening import Straight
from tests.paper.charts import Content
from tests.paper.printing import Page, PrintedChart

PITCH = 12


def plain_sheet(name: str, piles: Piles, **more: object) -> SheetReading:
    """A sheet with these piles, (rows, columns), on white paper, without any doubt."""
    rows, columns = piles.shape
    grey = np.full((rows * PITCH, columns * PITCH), 255, np.uint8)
    straight = Straight(grey, np.stack([grey] * 3, axis=2), PITCH, 0, columns, rows)
    second = np.full(piles.shape, NO_PILE, np.int32)
    doubt = np.full(piles.shape, 0.001, np.float32)
    reading = SheetReading(
        name, straight, piles.astype(np.int32), second, doubt, np.zeros(piles.shape, np.bool_)
    )
    return SheetReading(**{**reading.__dict__, **more})


def true_sheet(page: Page, name: str = "Sheet") -> SheetReading:
    """What a printed page says."""
    content = page.content
    return plain_sheet(
        name,
        content.codes,
        lines=true_lines(content),
        dots=true_dots(content),
        heavy_columns=page.heavy_columns,
        heavy_rows=page.heavy_rows,
    )


def true_sheets(printed: PrintedChart) -> list[SheetReading]:
    """All sheets of a printed chart, named A, B, ... in their order."""
    return [true_sheet(page, chr(65 + at)) for at, page in enumerate(printed.pages)]


def true_lines(content: Content) -> FoundLines:
    """The printed steps of back stitch, one by one."""
    ends = np.rint(content.steps * 2).astype(np.int32)
    return FoundLines(ends, content.dashed, np.ones(len(ends), np.float32))


def true_dots(content: Content) -> FoundDots:
    """The printed knots and beads."""
    places = np.rint(np.concatenate([content.knots, content.beads]) * 2).astype(np.int32)
    return FoundDots(places, np.arange(len(places)) >= len(content.knots))


def cut(codes: NDArray[np.int32], left: int, top: int, right: int, bottom: int) -> Piles:
    """A part of a chart's squares."""
    return codes[top:bottom, left:right].copy()
