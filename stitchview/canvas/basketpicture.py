"""The small picture of a piece on its card: what is done in colour, the rest pale."""

from pathlib import Path

import numpy as np
from PySide6.QtGui import QImage

from stitchview.canvas.atlas import packed, parts_of_colour
from stitchview.canvas.looks import REST_SHARE
from stitchview.canvas.picture import save_png
from stitchview.chart.model import CREAM, Chart
from stitchview.done.change import DONE
from stitchview.done.timeline import Arrays

LONGEST = 424
"""Pixels at the longer side: twice a card's picture, for screens with fine pixels."""


def card_picture(chart: Chart, states: Arrays) -> QImage:
    """The whole chart, each pixel one of its squares; of a large chart every so many squares one is shown."""
    step = max(1, -(-max(chart.columns, chart.rows) // LONGEST))
    squares, done = chart.squares[::step, ::step], states[0][::step, ::step] == DONE
    cloth = chart.cloth.colour if chart.cloth else CREAM
    ground = parts_of_colour(cloth)
    colours = np.array([ground, *(parts_of_colour(entry.colour) for entry in chart.key)], np.float32)
    pale = ground + (colours - ground) * np.float32(REST_SHARE)
    pixels = packed((np.where(done[..., None], colours[squares], pale[squares]) + 0.5).astype(np.uint8))
    height, width = pixels.shape
    small = QImage(pixels.data, width, height, pixels.strides[0], QImage.Format.Format_RGB32)
    times = max(1, LONGEST // max(width, height))
    return small.copy() if times == 1 else small.scaled(width * times, height * times)


def save_card_picture(image: QImage, path: Path) -> None:
    """Write it as PNG in one step; raises `OSError` or `StitchviewError` where that cannot be."""
    path.parent.mkdir(parents=True, exist_ok=True)
    save_png(image, path)
