"""Make the sample chart of our harbour at dusk, in any size and any number of threads."""

import uuid
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.colour import Colour
from stitchview.chart.harbour.easel import Painting
from stitchview.chart.harbour.finishing import thread_lines, thread_points
from stitchview.chart.harbour.palette import allot, choose_threads, gather_cells, simplify_stuff
from stitchview.chart.harbour.scene import paint_harbour
from stitchview.chart.harbour.slants import take_parts
from stitchview.chart.harbour.threads import key_order, make_key
from stitchview.chart.harbour.view import View
from stitchview.chart.harbour.working import work_squares
from stitchview.chart.model import MOST_COLUMNS, MOST_KEY_ENTRIES, MOST_ROWS, Chart, Cloth, Sheet
from stitchview.errors import ChartError

# Samples of one size, key and seed are one and the same chart, so they share one identity.
HARBOUR_SPACE = uuid.UUID("6a4f2c1e-8f0b-4c57-9d7e-2b8f5d1c0a93")
CLOTH = Cloth("Sample evenweave, oat", 28, False, 2, Colour.from_hex("#EFE6D2"))
SHEET_COLUMNS, SHEET_ROWS = 60, 80
MOST_SHEETS_ACROSS = 25
ROUND_FROM = 40


def make_harbour(columns: int, rows: int, threads: int, seed: int) -> Chart:
    """A chart of `columns` x `rows` squares in `threads` key entries; the same `seed`, the same chart.

    Raises `ChartError` for a size or a number of threads that no chart can have.
    """
    _check(columns, rows, threads)
    view = View(columns, rows, seed)
    painting = paint_harbour(view)
    allotment = allot(threads)
    simplify_stuff(painting, allotment)
    cells = gather_cells(painting)
    palette = choose_threads(cells, allotment)
    places = key_order(palette)
    squares = places.astype(np.uint16)[work_squares(painting, cells, palette, view.chance("scatter").salt())]
    _round_corners(painting, squares, view)
    parts = take_parts(painting, squares, view)
    counts = np.bincount(squares.ravel(), minlength=threads + 1)
    return Chart(
        squares,
        make_key(palette, places, counts),
        title="Harbour at dusk",
        notes=f"Our own harbour, made by rule from seed {seed}. The threads are invented.",
        identity=str(uuid.uuid5(HARBOUR_SPACE, f"{columns} {rows} {threads} {seed}")),
        cloth=CLOTH,
        parts=parts,
        lines=thread_lines(painting.needlework, palette, places, (columns, rows)),
        points=thread_points(painting.needlework, palette, places, (columns, rows)),
        sheets=lay_out_sheets(columns, rows),
    )


def lay_out_sheets(columns: int, rows: int) -> tuple[Sheet, ...]:
    """Paper sheets of like size that cover the chart, named by row letter and column number."""
    across = _ends(columns, SHEET_COLUMNS)
    down = _ends(rows, SHEET_ROWS)
    return tuple(
        Sheet(f"Sheet {_letters(at)}{number}", Area(left, top, right - left, bottom - top))
        for at, (top, bottom) in enumerate(pairwise(down))
        for number, (left, right) in enumerate(pairwise(across), 1)
    )


def _check(columns: int, rows: int, threads: int) -> None:
    for value, most, noun in (
        (columns, MOST_COLUMNS, "columns"),
        (rows, MOST_ROWS, "rows"),
        (threads, MOST_KEY_ENTRIES, "threads"),
    ):
        if not 1 <= value <= most:
            raise ChartError(
                f"A chart cannot have {value:,} {noun}.", f"Choose a number of {noun} from 1 to {most:,}."
            )


def _round_corners(painting: Painting, squares: NDArray[np.uint16], view: View) -> None:
    """Leave the cloth bare outside gently rounded corners, with all that lies there."""
    if view.unit < ROUND_FROM:
        return
    radius = 0.035 * view.unit
    across, down = _beyond(view.columns, radius), _beyond(view.rows, radius)
    rows = np.flatnonzero(down > 0)
    bare = np.hypot(across[None, :], down[rows][:, None]) > radius
    squares[rows] = np.where(bare, 0, squares[rows])
    mask = np.zeros(squares.shape, np.bool_)
    mask[rows] = bare
    painting.needlework.hide(painting.area, mask)


def _beyond(length: int, radius: float) -> NDArray[np.float64]:
    """How far each square's middle lies beyond where the corners begin to turn, 0 in between."""
    middles = np.arange(length) + 0.5
    return np.asarray(np.maximum(np.abs(middles - length / 2) - length / 2 + radius, 0), np.float64)


def _ends(length: int, usual: int) -> list[int]:
    pieces = min(MOST_SHEETS_ACROSS, -(-length // usual))
    return [round(length * piece / pieces) for piece in range(pieces + 1)]


def _letters(number: int) -> str:
    return chr(ord("A") + number)
