"""The proposed path of a needleful as it is kept over the evening: in addresses and code letters."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from stitchview.chart.model import Chart
from stitchview.done.change import DONE
from stitchview.follow.legs import CROSS
from stitchview.follow.needleful import Needleful, Wish, needleful_of
from stitchview.follow.route import Stitches
from stitchview.follow.threadwork import ThreadWork

Spot = tuple[int, int, int]
"""Column, row, and `CROSS` or the number of a `PartShape`."""

MOST = 100_000
"""No thread is long enough for so many stitches."""


@dataclass(frozen=True, slots=True)
class KeptPath:
    """The stitches of key entry `number` in the order of working, begun from `place` (column, row).

    `journeys` tells how many of them are worked together, one after the other.
    """

    number: int
    place: tuple[int, int]
    stitches: tuple[Spot, ...]
    journeys: tuple[int, ...]


def kept_path(path: Needleful) -> KeptPath:
    """What is kept of a path."""
    told = path.stitches
    spots = zip(told.columns.tolist(), told.rows.tolist(), told.shapes.tolist(), strict=True)
    return KeptPath(path.wish.number, path.wish.place, tuple(spots), tuple(map(len, path.journeys)))


def path_again(kept: KeptPath, work: ThreadWork, wish: Wish) -> Needleful | None:
    """The path with the needle of `wish`; None where the chart has not all of it, or it is all done."""
    chart, marks = work.chart, work.marks
    columns, rows, shapes = np.array(kept.stitches, np.int64).T
    parts = _part_stitches(chart, kept)
    crosses = shapes == CROSS
    if (chart.squares[rows[crosses], columns[crosses]] != kept.number).any():
        return None
    if parts is None:
        return None
    done = np.where(crosses, marks.squares[rows, columns] == DONE, False)
    if len(marks.parts):
        done |= ~crosses & (marks.parts[parts] == DONE)
    still = int(np.count_nonzero(~done))
    if not still:
        return None
    ends = np.cumsum(kept.journeys).tolist()
    journeys = [tuple(range(end - count, end)) for end, count in zip(ends, kept.journeys, strict=True)]
    left = work.left(kept.number).in_squares + len(done) - still
    return needleful_of(wish, Stitches(columns, rows, parts, shapes), journeys, left)


def path_written(kept: KeptPath, chart: Chart) -> dict[str, Any]:
    """The path as a JSON object."""
    column, row = chart.origin
    return {
        "code": chart.key[kept.number - 1].code,
        "column": kept.place[0] + column,
        "row": kept.place[1] + row,
        "stitches": [[x + column, y + row, shape] for x, y, shape in kept.stitches],
        "together": list(kept.journeys),
    }


def path_read(record: Mapping[str, Any], chart: Chart) -> KeptPath | None:
    """The path that was written, on the chart as it is now; None for one that makes no sense there."""
    codes = {entry.code: number for number, entry in enumerate(chart.key, start=1)}
    code, told, together = record.get("code"), record.get("stitches"), record.get("together")
    place = _spot([record.get("column"), record.get("row"), CROSS], chart)
    if not (
        isinstance(code, str) and code in codes and isinstance(told, list) and isinstance(together, list)
    ):
        return None
    stitches = [_spot(each, chart) for each in told[:MOST]]
    if place is None or not all(type(count) is int and 0 < count <= MOST for count in together):
        return None
    if not stitches or sum(together) != len(stitches):
        return None
    sound = tuple(each for each in stitches if each is not None)
    return KeptPath(codes[code], place[:2], sound, tuple(together)) if len(sound) == len(stitches) else None


def _part_stitches(chart: Chart, kept: KeptPath) -> np.ndarray[Any, np.dtype[np.int64]] | None:
    """The index of each stitch among the part stitches, -1 for a cross; None if the chart lacks one."""
    parts, found = chart.parts, np.full(len(kept.stitches), -1, np.int64)
    for at, (column, row, shape) in enumerate(kept.stitches):
        if shape == CROSS:
            continue
        here = (parts.columns == column) & (parts.rows == row) & (parts.shapes == shape)
        same = np.flatnonzero(here & (parts.keys == kept.number))
        if not len(same):
            return None
        found[at] = same[0]
    return found


def _spot(told: object, chart: Chart) -> Spot | None:
    if not isinstance(told, list) or len(told) != 3 or not all(type(each) is int for each in told):
        return None
    column, row, shape = told[0] - chart.origin[0], told[1] - chart.origin[1], told[2]
    return (column, row, shape) if chart.area.holds(column, row) and 0 <= shape < 256 else None
