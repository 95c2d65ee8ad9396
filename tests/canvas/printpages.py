"""Printed pages as PDFium draws and reads them, for the tests of printing."""

from dataclasses import replace

import numpy as np
import pypdfium2  # type: ignore[import-untyped]
from numpy.typing import NDArray
from PIL import Image

from stitchview.canvas.printsheets import print_pdf
from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.change import DONE
from stitchview.done.marks import Marks, change_to
from stitchview.done.shapes import Takes, rectangle
from stitchview.follow.clothpitch import Pitch
from stitchview.plan.cardpages import Box
from stitchview.plan.printplan import PrintPlan, PrintSheet

Pixels = NDArray[np.uint8]
Numbers = NDArray[np.float64]
MM = 25.4 / 72
"""A point of PDF in millimetres (ISO 32000-1, 8.3.2.3: 1/72 inch)."""


class Pages:
    """The pages of a plan as PDFium draws and reads them."""

    def __init__(self, plan: PrintPlan) -> None:
        self._document = pypdfium2.PdfDocument(print_pdf(plan))
        self.count = len(self._document)

    def __enter__(self) -> "Pages":
        return self

    def __exit__(self, *fault: object) -> None:
        self._document.close()

    def size(self, page: int) -> list[float]:
        """Width and height in millimetres."""
        return [side * MM for side in self._document[page].get_size()]

    def grey(self, page: int, dots_per_mm: float) -> Pixels:
        """A page in grey, shape (rows, columns)."""
        return np.asarray(self.picture(page, dots_per_mm).convert("L")).copy()

    def picture(self, page: int, dots_per_mm: float) -> Image.Image:
        """A page in colour."""
        drawn: Image.Image = self._document[page].render(scale=dots_per_mm * MM).to_pil()
        return drawn

    def text(self, page: int) -> str:
        """The words of a page."""
        return " ".join(self._document[page].get_textpage().get_text_range().split())

    def letters(self, page: int) -> tuple[list[str], Numbers]:
        """Every letter of a page, and its box as left, top, right, bottom in millimetres."""
        text, height = self._document[page].get_textpage(), self._document[page].get_height()
        found, boxes = [], []
        for place in range(text.count_chars()):
            left, bottom, right, top = text.get_charbox(place)
            if right > left:
                found.append(text.get_text_range(place, 1))
                boxes.append((left * MM, (height - top) * MM, right * MM, (height - bottom) * MM))
        return found, np.array(boxes)


def bare(chart: Chart) -> Chart:
    """The chart without its thread names, whose letters are not symbols of squares."""
    return replace(chart, title="")


def symbols_on(pages: Pages, page: int, plan: PrintPlan, sheet: PrintSheet) -> NDArray[np.str_]:
    """The symbol read in each square of a sheet, "" where there is none."""
    letters, boxes = pages.letters(page)
    read = np.full((sheet.area.rows, sheet.area.columns), "", dtype="<U4")
    pitch, grid = plan.wish.pitch, sheet.grid
    for letter, (left, top, right, bottom) in zip(letters, boxes.tolist(), strict=True):
        column, row = (left + right) / 2 - grid.left, (top + bottom) / 2 - grid.top
        if 0 < column < grid.width and 0 < row < grid.height:
            read[int(row / pitch.down_mm), int(column / pitch.across_mm)] += letter
    return read


def expected_symbols(chart: Chart, area: Area) -> NDArray[np.str_]:
    signs = np.array(["", *(entry.symbol.text for entry in chart.key)])
    return signs[chart.squares[area.slices()]]


def marked(chart: Chart, area: Area) -> Marks:
    """Marks with everything in an area done."""
    marks = Marks(chart)
    change = change_to(marks, rectangle(chart, area, Takes()), DONE)
    assert change is not None
    marks.apply(change)
    return marks


def middle_ink(page: Pixels, sheet: PrintSheet, pitch: Pitch, dots: float) -> Numbers:
    """How dark the middle of each square is, 0 for paper to 1 for black, shape (rows, columns)."""
    ink = np.empty((sheet.area.rows, sheet.area.columns))
    for row in range(sheet.area.rows):
        for column in range(sheet.area.columns):
            left, top = sheet.grid.left + column * pitch.across_mm, sheet.grid.top + row * pitch.down_mm
            inner = page[
                round((top + 0.12 * pitch.down_mm) * dots) : round((top + 0.88 * pitch.down_mm) * dots),
                round((left + 0.12 * pitch.across_mm) * dots) : round((left + 0.88 * pitch.across_mm) * dots),
            ]
            ink[row, column] = 1 - inner.mean() / 255
    return ink


def dark_lines(page: Pixels, box: Box, dots: float) -> tuple[Numbers, Numbers]:
    """Where dark lines run through a whole box, upright and level, in millimetres from its corner."""
    top, left = round((box.top + 0.5) * dots), round((box.left + 0.5) * dots)
    bottom, right = round((box.bottom - 0.5) * dots), round((box.right - 0.5) * dots)
    reach = round(dots)
    across = (page[top:bottom, left - reach : right + reach] < 120).mean(axis=0) > 0.97
    down = (page[top - reach : bottom + reach, left:right] < 120).mean(axis=1) > 0.97
    start_x, start_y = (left - reach) / dots - box.left, (top - reach) / dots - box.top
    return _middles(across) / dots + start_x, _middles(down) / dots + start_y


def _middles(dark: NDArray[np.bool_]) -> Numbers:
    """The middle of each run of dark pixels."""
    ends = np.flatnonzero(np.diff(np.concatenate([[False], dark, [False]]).astype(np.int8)))
    middles: Numbers = ends.reshape(-1, 2).mean(axis=1)
    return middles
