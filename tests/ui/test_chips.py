"""Symbol chips: what the key shows is what the chart shows."""

import io
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image
from PySide6.QtCore import QRect
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QApplication

from stitchview.canvas.items import ItemStates
from stitchview.canvas.looks import Look
from stitchview.canvas.painting import ChartPainter
from stitchview.canvas.showing import Showing
from stitchview.canvas.view import View
from stitchview.chart.model import Chart
from stitchview.ui.chips import Chips


def unlikeness(one: QImage, other: QImage) -> int:
    """The largest difference between two pictures of one size, in levels of 256."""
    assert one.size() == other.size()
    first, second = (np.frombuffer(each.constBits(), np.uint8).astype(np.int16) for each in (one, other))
    return int(np.abs(first - second).max())


LOOKS = [Look(), Look(paper=True), Look(night=True), Look(night=True, paper=True, symbol_size=0.8)]


@pytest.mark.parametrize("look", LOOKS)
@pytest.mark.parametrize("pitch", [24, 37, 48])
def test_a_chip_is_the_square_of_the_canvas(
    qapp: QApplication, small_chart: Callable[[], Chart], look: Look, pitch: int
) -> None:
    """The canvas paints the chart, and its square is cut out and laid beside the chip.

    Where done squares show as worked crosses, open ones are half paper; the chip keeps the thread's colour.
    Qt rounds the edge of a symbol by where on its sheet it is drawn, so 3 levels of 256 are let pass.
    """
    chart = small_chart()
    bare = Chart(chart.squares, chart.key)
    states = ItemStates(
        *(each[:0].astype("uint8") for each in (bare.parts.keys, bare.lines.keys, bare.points.keys))
    )
    painter_of_chart = ChartPainter(bare, (bare.squares * 0).astype("uint8"), states)
    canvas = QImage(bare.columns * pitch, bare.rows * pitch, QImage.Format.Format_RGB32)
    painter = QPainter(canvas)
    view = View(bare.columns, bare.rows, canvas.width(), canvas.height(), pitch)
    painter_of_chart.paint(painter, view, Showing(replace(look, worked=False)), canvas.rect())
    painter.end()
    chips = Chips(look)
    for number, entry in enumerate(chart.key[:3], 1):
        # Away from the bold lines of tens and the border, which belong to the chart and not to the square.
        row, column = next(
            (int(r), int(c))
            for r, c in zip(*(chart.squares == number).nonzero(), strict=True)
            if 1 < c < 9 and 1 < r < 9
        )
        square = canvas.copy(QRect(column * pitch, row * pitch, pitch, pitch))
        chip = chips.of(entry, pitch).toImage().convertToFormat(QImage.Format.Format_RGB32)
        assert unlikeness(chip, square) <= 3


def test_a_symbol_cut_from_paper_is_shown_as_cut(
    qapp: QApplication, small_chart: Callable[[], Chart]
) -> None:
    """The key shows what the paper shows."""
    entry = small_chart().key[0]
    cut = replace(entry, symbol=replace(entry.symbol, picture="pictures/a.png"))
    drawn = Chips(Look(paper=True)).of(entry, 32).toImage()
    black = io.BytesIO()
    Image.new("L", (40, 40), 0).save(black, "PNG")
    with_picture = Chips(Look(paper=True), {"pictures/a.png": black.getvalue()}).of(cut, 32).toImage()
    assert with_picture != drawn
    assert with_picture.pixelColor(16, 16) == QColor("black")
