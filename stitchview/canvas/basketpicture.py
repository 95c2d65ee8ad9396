"""Small pictures of a piece, quickly made: what is done on its card, what is new in the diary."""

from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PySide6.QtGui import QImage

from stitchview.canvas.looks import EARLIER_SHARE, REST_SHARE
from stitchview.canvas.mixing import packed, parts_of_colour
from stitchview.canvas.picture import save_png
from stitchview.chart.model import CREAM, Chart
from stitchview.done.change import DONE
from stitchview.done.timeline import Arrays

LONGEST = 424
"""Pixels at the longer side: twice a card's picture, for screens with fine pixels."""


def card_picture(chart: Chart, states: Arrays) -> QImage:
    """The whole chart, each pixel one of its squares; of a large chart every so many squares one is shown."""
    step = max(1, -(-max(chart.columns, chart.rows) // LONGEST))
    done = (states[0][::step, ::step] == DONE).astype(np.uint8)
    return _enlarged(_small(chart, step, done, (REST_SHARE, 1.0)), LONGEST)


def small_new_picture(chart: Chart, before: Arrays, after: Arrays, longest: int) -> QImage:
    """What is new in full colour, what was done half, the rest pale, quickly: whole squares only.

    Of a large chart every so many squares one is shown, so that it takes as long as for a small one.
    """
    step = max(1, -(-max(chart.columns, chart.rows) // longest))
    was, now = (each[0][::step, ::step] == DONE for each in (before, after))
    kinds = now.astype(np.uint8) + (now & ~was)
    return _small(chart, step, kinds, (REST_SHARE / 2, EARLIER_SHARE, 1.0))


def _small(chart: Chart, step: int, kinds: NDArray[np.uint8], shares: Sequence[float]) -> QImage:
    """Every so many squares one, each of a kind that has `shares` of its colour, the rest cloth."""
    squares = chart.squares[::step, ::step]
    cloth = chart.cloth.colour if chart.cloth else CREAM
    ground = parts_of_colour(cloth)
    colours = np.array([ground, *(parts_of_colour(entry.colour) for entry in chart.key)], np.float32)
    coats = np.stack([ground + (colours - ground) * np.float32(share) for share in shares])
    pixels = packed((coats[kinds, squares] + 0.5).astype(np.uint8))
    height, width = pixels.shape
    return QImage(pixels.data, width, height, pixels.strides[0], QImage.Format.Format_RGB32).copy()


def _enlarged(small: QImage, longest: int) -> QImage:
    times = max(1, longest // max(small.width(), small.height()))
    return small if times == 1 else small.scaled(small.width() * times, small.height() * times)


def save_card_picture(image: QImage, path: Path) -> None:
    """Write it as PNG in one step; raises `OSError` or `StitchviewError` where that cannot be."""
    path.parent.mkdir(parents=True, exist_ok=True)
    save_png(image, path)
