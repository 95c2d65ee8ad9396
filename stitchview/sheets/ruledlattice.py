"""Make a lattice of what was seen of a ruled chart: check its edges, its count and its doubts."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from stitchview.sheets.lattice import Lattice
from stitchview.sheets.papererror import PaperError
from stitchview.sheets.paperpicture import PaperPicture
from stitchview.sheets.ruledcut import cut_sides, touching_sides
from stitchview.sheets.rulededges import Extent, drawn_share
from stitchview.sheets.ruledfinding import Sighting, sight, with_counts
from stitchview.sheets.ruledheavy import Heavy, heavy_upright
from stitchview.sheets.ruledproof import runs_through
from stitchview.sheets.ruledsides import pulled_straight
from stitchview.sheets.uprightness import Upright, upright

_LEAST_SQUARES = 5
_LEAST_DRAWN = 0.3
# Plain edges give 0.46 and more on sheets of the generator; faint grids under dense signs give less.
_CLEAR = 0.4
_TORN = 0.02
_FAINT_SHARE = 0.2


def find_ruled_lattice(
    picture: PaperPicture,
    columns: int | None = None,
    rows: int | None = None,
    corners: NDArray[np.float64] | None = None,
) -> Lattice | None:
    """The lattice of a ruled chart, None where there is none; PaperError where it is cut off.

    The arguments are those of `find_lattice`.
    """
    seen = sight(picture.grey)
    if seen is None:
        return None
    if corners is not None:
        seen, turns = _between_corners(seen, corners)
        lies = Upright(turns)
    elif not _worth_following(seen):
        return None
    else:
        nodes = seen.chart_nodes()
        if not runs_through(seen.darkness, nodes):
            return None
        lies = upright(picture.grey, seen.original(nodes), columns, rows)
    if columns is not None or rows is not None:
        wanted = (columns, rows) if lies.turns % 2 == 0 else (rows, columns)
        seen = with_counts(seen, *wanted)
    if not _worth_following(seen):
        return None
    nodes = seen.chart_nodes()
    cut = cut_sides(seen.darkness, nodes)
    if cut and corners is None:
        raise _cut_off(picture, cut)
    return _lattice(seen, nodes, lies)


def _between_corners(seen: Sighting, corners: NDArray[np.float64]) -> tuple[Sighting, int]:
    """The sighting with its edges nearest to the clicked corners, and how the sheet lies in the picture.

    The turns say how often the picture must be turned a quarter clockwise for the first corner to come to
    the top left.
    """
    at = (np.asarray(corners, np.float64) + 0.5) * seen.shrink - 0.5
    around = np.arctan2(*(at - at.mean(axis=0)).T[::-1])
    turns = int(
        np.argmin([np.abs(_angle(around[0] - corner)) for corner in np.radians([-135, 135, 45, -45])])
    )
    numbers = np.array([_nearest(seen.nodes, corner) for corner in at])
    rows, columns = np.sort(numbers[:, 0]), np.sort(numbers[:, 1])
    across = Extent(round(columns[:2].mean()), round(columns[2:].mean()), 1.0, 1.0)
    down = Extent(round(rows[:2].mean()), round(rows[2:].mean()), 1.0, 1.0)
    return replace(seen, across=across, down=down), turns


def _angle(difference: float) -> float:
    return float((difference + np.pi) % (2 * np.pi) - np.pi)


def _nearest(nodes: NDArray[np.float64], point: NDArray[np.float64]) -> tuple[int, int]:
    away = np.linalg.norm(nodes - point, axis=2)
    row, column = np.unravel_index(int(away.argmin()), away.shape)
    return int(row), int(column)


def _worth_following(seen: Sighting) -> bool:
    """Whether enough of the lattice is really drawn to call it a chart."""
    across, down = seen.across, seen.down
    if min(across.last - across.first, down.last - down.first) < _LEAST_SQUARES:
        return False
    share = min(drawn_share(seen.upright, across, down), drawn_share(seen.level, down, across))
    return share >= _LEAST_DRAWN


def _cut_off(picture: PaperPicture, sides: tuple[str, ...]) -> PaperError:
    where = " and ".join(sides)
    return PaperError(
        f"The chart in {picture.name} is cut off at the {where} edge of the picture.",
        "Photograph it again with a finger's breadth of paper around the grid.",
    )


def _lattice(seen: Sighting, nodes: NDArray[np.float64], lies: Upright) -> Lattice:
    """The nodes as the sheet is read upright, with bold lines and doubts."""
    upright_nodes = np.ascontiguousarray(np.rot90(nodes, -lies.turns))
    straight = pulled_straight(seen.darkness, upright_nodes)
    columns, rows = heavy_upright(straight), heavy_upright(np.ascontiguousarray(straight.T))
    doubted_columns, doubted_rows, doubts = _edge_doubts(seen, lies.turns)
    doubted_columns |= _astray(columns) | lies.doubted_columns
    doubted_rows |= _astray(rows) | lies.doubted_rows
    doubts += lies.doubts
    if columns.astray or rows.astray:
        doubts += ("Some bold lines are out of step; columns or rows beside them may be miscounted.",)
    if seen.torn > _TORN:
        doubts += ("The lines could not be followed everywhere without a jump; check the count.",)
    if seen.faint > _FAINT_SHARE:
        doubts += ("The lines are hardly seen in a good part of the chart; check the count.",)
        doubted_columns |= {0, upright_nodes.shape[1] - 2}
        doubted_rows |= {0, upright_nodes.shape[0] - 2}
    touching = touching_sides(seen.darkness.shape, nodes)
    if touching:
        doubts += (
            f"The picture ends at the {' and '.join(touching)} edge of the chart; it may go on there.",
        )
    return Lattice(
        nodes=seen.original(upright_nodes).astype(np.float32),
        heavy_columns=columns.lines,
        heavy_rows=rows.lines,
        doubted_columns=tuple(sorted(doubted_columns)),
        doubted_rows=tuple(sorted(doubted_rows)),
        doubts=doubts,
    )


def _astray(heavy: Heavy) -> set[int]:
    """Squares on both sides of bold lines that stand out of step."""
    return {square for line in heavy.astray for square in (line - 1, line)}


def _edge_doubts(seen: Sighting, turns: int) -> tuple[set[int], set[int], tuple[str, ...]]:
    """Outer columns and rows of which it is not plain that they are the chart's last."""
    sides = ("left", "top", "right", "bottom")
    clear = (seen.across.first_clear, seen.down.first_clear, seen.across.last_clear, seen.down.last_clear)
    unclear = {(place - turns * 3) % 4 for place, value in enumerate(clear) if value < _CLEAR}
    columns, rows = seen.across.last - seen.across.first, seen.down.last - seen.down.first
    if turns % 2:
        columns, rows = rows, columns
    ends = {0: 0, 2: columns - 1}, {1: 0, 3: rows - 1}
    doubted = [{end[side] for side in unclear if side in end} for end in ends]
    if not unclear:
        return doubted[0], doubted[1], ()
    where = " and ".join(sides[side] for side in sorted(unclear))
    return doubted[0], doubted[1], (f"It is not plain where the chart ends at the {where}; check the count.",)
