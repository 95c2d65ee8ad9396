"""From the picture to crosses: a square takes the nearest thread or, so that tones mix, the next."""

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.harbour.clusters import two_nearest
from stitchview.chart.harbour.easel import Painting, Stuff
from stitchview.chart.harbour.palette import CELLS, Cells, Palette, cell_numbers
from stitchview.chart.harbour.scatter import TILE, even_scatter
from stitchview.chart.harbour.view import bands

Reals = NDArray[np.float64]

Tables = tuple[NDArray[np.uint16], NDArray[np.uint16], NDArray[np.float32]]

# How sharply a material changes from one thread to the next: 1 mixes all the way, more mixes less.
SHARPNESS = dict(zip(Stuff, (1.5, 2.6, 2.0, 3.0, 1.0, 1.0), strict=True))


def work_squares(painting: Painting, cells: Cells, palette: Palette, salt: int) -> NDArray[np.uint16]:
    """The thread of every square, numbered from 0, shape (rows, columns)."""
    one, two, share = _tables(cells, palette)
    height, width = painting.area.rows, painting.area.columns
    tile = np.tile(even_scatter(salt), (1, width // TILE + 1))[:, :width]
    squares = np.empty((height, width), np.uint16)
    for rows in bands(0, height, width):
        numbers = cell_numbers(painting, rows)
        takes_next = tile[rows[:, 0] % TILE] < share[numbers]
        squares[rows[:, 0]] = np.where(takes_next, two[numbers], one[numbers])
    return squares


def _tables(cells: Cells, palette: Palette) -> Tables:
    """For each cell number: the thread, the next thread, and how often the next one is taken."""
    one = np.zeros(CELLS * len(Stuff), np.uint16)
    two = np.zeros_like(one)
    share = np.zeros(len(one), np.float32)
    for stuff, threads in palette.choices.items():
        own = cells.stuff == stuff
        if not own.any():
            continue
        colours, middles = cells.lab[own], palette.lab[threads]
        nearest, following = two_nearest(colours, middles)
        one[cells.numbers[own]] = threads[nearest]
        two[cells.numbers[own]] = threads[following]
        share[cells.numbers[own]] = _mixture(colours, middles[nearest], middles[following], SHARPNESS[stuff])
    return one, two, share


def _mixture(colours: Reals, start: Reals, end: Reals, sharpness: float) -> Reals:
    """How often the thread `end` is taken for each colour; never where it lies off the way between."""
    way = end - start
    length = np.maximum((way**2).sum(axis=1), 1e-12)
    along = ((colours - start) * way).sum(axis=1) / length
    aside = ((colours - start - along[:, None] * way) ** 2).sum(axis=1)
    mixed = np.clip(0.5 + (along - 0.5) * sharpness, 0, 1)
    return np.asarray(np.where(aside < 0.3 * length, mixed, 0))
