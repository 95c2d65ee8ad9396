"""Charts for the tests of the canvas: every kind of stitch in every place, to the very edge."""

from dataclasses import dataclass, replace

import numpy as np

from stitchview.chart.colour import Colour
from stitchview.chart.model import Chart, KeyEntry, Symbol
from stitchview.chart.stitches import LineKind, Lines, Parts, PartShape, PointKind, Points

SYMBOLS = "#o+%Xv*=&T"


@dataclass(frozen=True)
class Making:
    """What a chart is made from; the same making makes the same chart in every process."""

    columns: int
    rows: int
    seed: int
    threads: int = 5


def full_chart(making: Making, bare: bool = False) -> Chart:
    """A chart with squares and, unless `bare`, part stitches, lines and points anywhere, also on the edge."""
    random = np.random.default_rng(making.seed)
    squares = random.integers(0, making.threads + 1, (making.rows, making.columns), np.uint16)
    chart = Chart(squares, key_of(making.threads, random), identity=f"full {making}")
    if bare:
        return chart
    many = 2 + making.columns * making.rows // 6
    parts = _parts(making, many, random)
    free = squares.copy()
    # A square with part stitches has no cross.
    free[parts.rows, parts.columns] = 0
    return replace(
        chart,
        squares=free,
        parts=parts,
        lines=_lines(making, many, random),
        points=_points(making, many, random),
    )


def key_of(threads: int, random: np.random.Generator) -> tuple[KeyEntry, ...]:
    """Key entries of random colours."""
    colours = random.integers(0, 256, (threads, 3)).tolist()
    codes = [chr(0x4E00 + number) for number in range(threads)]
    return tuple(
        KeyEntry(
            code,
            Symbol(SYMBOLS[number % len(SYMBOLS)]),
            f"Sample cotton {number}",
            colour=Colour(*colours[number]),
        )
        for number, code in enumerate(codes)
    )


def _parts(making: Making, many: int, random: np.random.Generator) -> Parts:
    """Up to three different part stitches in some squares, not in all of them."""
    total = making.columns * making.rows
    homes = np.sort(random.choice(total, min(many // 2, total // 2), replace=False))
    counts = random.integers(1, 4, len(homes))
    order = np.repeat(homes, counts)
    turn = np.arange(len(order)) - np.repeat(np.cumsum(counts) - counts, counts)
    first = np.repeat(random.integers(0, len(PartShape), len(homes)), counts)
    return Parts(
        (order % making.columns).astype(np.int32),
        (order // making.columns).astype(np.int32),
        ((first + 3 * turn) % len(PartShape) + 1).astype(np.uint8),
        random.integers(1, making.threads + 1, len(order), np.uint16),
    )


def _lines(making: Making, many: int, random: np.random.Generator) -> Lines:
    """Short lines anywhere, and some from edge to edge, longer than any ready picture."""
    x1 = random.integers(0, 2 * making.columns + 1, many, np.int32)
    y1 = random.integers(0, 2 * making.rows + 1, many, np.int32)
    x2 = np.clip(x1 + random.integers(-4, 5, many), 0, 2 * making.columns).astype(np.int32)
    y2 = np.clip(y1 + random.integers(-4, 5, many), 0, 2 * making.rows).astype(np.int32)
    far = max(1, many // 8)
    x1[:far], x2[:far] = 0, 2 * making.columns
    y2[:far] = random.integers(0, 2 * making.rows + 1, far)
    # A line must lead somewhere.
    still = (x1 == x2) & (y1 == y2)
    x1[still], x2[still] = 0, 2 * making.columns
    kinds = random.choice(list(LineKind), many).astype(np.uint8)
    return Lines(x1, y1, x2, y2, kinds, random.integers(1, making.threads + 1, many, np.uint16))


def _points(making: Making, many: int, random: np.random.Generator) -> Points:
    x = random.integers(0, 2 * making.columns + 1, many, np.int32)
    y = random.integers(0, 2 * making.rows + 1, many, np.int32)
    corners = [(0, 0), (2 * making.columns, 2 * making.rows)]
    for place, (across, down) in enumerate(corners):
        x[place], y[place] = across, down
    kinds = random.choice(list(PointKind), many).astype(np.uint8)
    return Points(x, y, kinds, random.integers(1, making.threads + 1, many, np.uint16))
