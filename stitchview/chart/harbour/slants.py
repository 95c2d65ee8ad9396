"""Part stitches: slanted edges smoothed by two threads in one square, and half crosses for haze."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.harbour.easel import Painting, Stuff, grain
from stitchview.chart.harbour.view import View
from stitchview.chart.stitches import Parts, PartShape

Wholes = NDArray[np.int64]
Labels = NDArray[np.unsignedinteger[Any]]

MOST_SHARE, WANTED_SHARE = 0.020, 0.011
MOST_HALVES_SHARE = 0.006
# Half crosses let the cloth show through, which would sparkle on anything dark.
PALE_FROM = 105
# Where the nearer thing lies, the quarter in its corner, the rest of the square, and the other way round.
CORNERS = (
    ((-1, -1), PartShape.QUARTER_TOP_LEFT, PartShape.THREE_QUARTER_BOTTOM_RIGHT),
    ((-1, 1), PartShape.QUARTER_TOP_RIGHT, PartShape.THREE_QUARTER_BOTTOM_LEFT),
    ((1, -1), PartShape.QUARTER_BOTTOM_LEFT, PartShape.THREE_QUARTER_TOP_RIGHT),
    ((1, 1), PartShape.QUARTER_BOTTOM_RIGHT, PartShape.THREE_QUARTER_TOP_LEFT),
)
SWAPPED = {
    PartShape.QUARTER_TOP_LEFT: PartShape.THREE_QUARTER_TOP_LEFT,
    PartShape.QUARTER_TOP_RIGHT: PartShape.THREE_QUARTER_TOP_RIGHT,
    PartShape.QUARTER_BOTTOM_LEFT: PartShape.THREE_QUARTER_BOTTOM_LEFT,
    PartShape.QUARTER_BOTTOM_RIGHT: PartShape.THREE_QUARTER_BOTTOM_RIGHT,
    PartShape.THREE_QUARTER_TOP_LEFT: PartShape.QUARTER_TOP_LEFT,
    PartShape.THREE_QUARTER_TOP_RIGHT: PartShape.QUARTER_TOP_RIGHT,
    PartShape.THREE_QUARTER_BOTTOM_LEFT: PartShape.QUARTER_BOTTOM_LEFT,
    PartShape.THREE_QUARTER_BOTTOM_RIGHT: PartShape.QUARTER_BOTTOM_RIGHT,
}


@dataclass
class PartTable:
    """Part stitches as they are found: rows of column, row, shape and thread."""

    found: list[Wholes]

    def add(self, places: Wholes, shape: Wholes, threads: Wholes) -> None:
        """Add one part stitch at each place (n, 2: row, column)."""
        self.found.append(np.column_stack([places[:, 1], places[:, 0], shape, threads]))

    def __len__(self) -> int:
        return sum(map(len, self.found))

    def parts(self) -> Parts:
        """All of them in reading order."""
        table = np.concatenate(self.found)
        table = table[np.lexsort((table[:, 2], table[:, 0], table[:, 1]))]
        columns, rows = (np.ascontiguousarray(table[:, at], np.int32) for at in (0, 1))
        return Parts(columns, rows, table[:, 2].astype(np.uint8), table[:, 3].astype(np.uint16))


def take_parts(painting: Painting, squares: NDArray[np.uint16], view: View) -> Parts:
    """Turn some crosses of `squares` (key numbers from 1) into part stitches; their squares become 0."""
    table = PartTable([np.zeros((0, 4), np.int64)])
    if min(squares.shape) >= 3:
        _split_corners(painting.labels, squares, table, MOST_SHARE)
    _thin_haze(painting, squares, view, table)
    wanted = WANTED_SHARE - len(table) / squares.size
    if wanted > 0 and min(squares.shape) >= 3:
        # Too few outlines are slanted in a large picture; edges between threads on things give more.
        _split_corners(np.where(painting.labels > 0, squares, 0), squares, table, wanted)
    return table.parts()


def _split_corners(labels: Labels, squares: NDArray[np.uint16], table: PartTable, share: float) -> None:
    """Two threads share a square where the edge between two labels runs through it, at most so many."""
    most = int(share * labels.size / len(CORNERS) / 2)
    for (down, across), quarter, rest in CORNERS:
        places = _thinned(np.argwhere(_steps(labels, down, across)) + 1, most)
        row, column = places.T
        own = squares[row, column].astype(np.int64)
        other = squares[row + down, column].astype(np.int64)
        split = (own != other) & (own > 0) & (other > 0)
        places, own, other = places[split], own[split], other[split]
        larger = _dice(places) < 0.35
        table.add(places, np.where(larger, SWAPPED[quarter], quarter), other)
        table.add(places, np.where(larger, SWAPPED[rest], rest), own)
        squares[places[:, 0], places[:, 1]] = 0


def _steps(labels: Labels, down: int, across: int) -> NDArray[np.bool_]:
    """Inner squares whose two neighbours that way show one thing, and the opposite two what it shows."""
    middle = labels[1:-1, 1:-1]
    beside = _shifted(labels, 0, across)
    step = (beside == _shifted(labels, down, 0)) & (beside != middle)
    step &= _shifted(labels, 0, -across) == middle
    step &= _shifted(labels, -down, 0) == middle
    # A slant goes on beyond this step one way or the other; at the corner of a window it does not.
    step &= (_shifted(labels, -down, across) == middle) | (_shifted(labels, down, -across) == middle)
    # Only one of the two sides may give way, or the edge would get teeth; sky and water (0) always do.
    return np.asarray(step & (beside > middle))


def _shifted(labels: Labels, down: int, across: int) -> Labels:
    height, width = labels.shape
    return labels[1 + down : height - 1 + down, 1 + across : width - 1 + across]


def _thin_haze(painting: Painting, squares: NDArray[np.uint16], view: View, table: PartTable) -> None:
    """Half crosses here and there in the farthest water and the lowest sky."""
    reach = round(0.10 * view.unit)
    low_sky = Area(0, view.horizon - reach, view.columns, reach)
    far_water = Area(0, view.horizon, view.columns, reach)
    for area, stuff, shape in (
        (low_sky, Stuff.SKY, PartShape.HALF_FALLING),
        (far_water, Stuff.WATER, PartShape.HALF_RISING),
    ):
        seen = area.clipped(painting.area)
        if seen.empty:
            continue
        place = seen.slices()
        hazy = (painting.labels[place] == 0) & (painting.stuff[place] == stuff) & (squares[place] > 0)
        hazy &= painting.colours[place].min(axis=2) > PALE_FROM
        places = np.argwhere(hazy & (grain(seen) < 0.06)) + np.array([seen.row, seen.column])
        places = _thinned(places, int(MOST_HALVES_SHARE * squares.size / 2))
        threads = squares[places[:, 0], places[:, 1]].astype(np.int64)
        table.add(places, np.full(len(places), shape, np.int64), threads)
        squares[places[:, 0], places[:, 1]] = 0


def _thinned(places: Wholes, most: int) -> Wholes:
    if len(places) <= most:
        return places
    return places[np.sort(np.argsort(_dice(places), kind="stable")[:most])]


def _dice(places: Wholes) -> NDArray[np.float64]:
    """A number from 0 to 1 for each place (row, column), the same every time."""
    mixed = (places[:, 0] * 7919 + places[:, 1] * 104729 + 13) * 2654435761 % (1 << 32)
    return np.asarray((mixed ^ (mixed >> 13)) * 40503 % 65536 / 65536)
