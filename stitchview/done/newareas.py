"""Where new stitches lie: counted by the blocks of ten that charts are ruled in, and by sheet of paper."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.change import Selection

TENS = 10


@dataclass(frozen=True, slots=True)
class Counted:
    """So many stitches in an area of squares; `name` is that of its sheet, if it is one."""

    area: Area
    stitches: int
    name: str = ""


def by_block(chart: Chart, chosen: Selection, side: int = TENS) -> tuple[Counted, ...]:
    """Stitches by blocks of `side` squares counted from the top left, the most first; empty ones left out."""
    columns, rows = homes_of(chart, chosen)
    across = -(-chart.columns // side)
    counts = np.bincount((rows // side) * across + columns // side, minlength=1)
    found = [
        Counted(
            Area(at % across * side, at // across * side, side, side).clipped(chart.area), int(counts[at])
        )
        for at in np.flatnonzero(counts).tolist()
    ]
    return tuple(sorted(found, key=lambda each: -each.stitches))


def by_sheet(chart: Chart, chosen: Selection) -> tuple[Counted, ...]:
    """Stitches by sheet of paper, in the chart's order; one on two sheets that overlap counts on both."""
    columns, rows = homes_of(chart, chosen)
    found = []
    for sheet in chart.sheets:
        area = sheet.area
        inside = (columns >= area.column) & (columns < area.right) & (rows >= area.row) & (rows < area.bottom)
        if count := int(np.count_nonzero(inside)):
            found.append(Counted(area, count, sheet.name))
    return tuple(found)


def homes_of(chart: Chart, chosen: Selection) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Columns and rows of the squares that stitches lie in; of lines that of their middle."""
    rows, columns = np.divmod(chosen.squares, chart.columns)
    parts, lines, points = chart.parts, chart.lines, chart.points
    xs = [columns, parts.columns[chosen.parts]]
    ys = [rows, parts.rows[chosen.parts]]
    # Lines and points count half squares, and on the far edges they touch the last square.
    xs += [(lines.x1[chosen.lines] + lines.x2[chosen.lines]) // 4, points.x[chosen.points] // 2]
    ys += [(lines.y1[chosen.lines] + lines.y2[chosen.lines]) // 4, points.y[chosen.points] // 2]
    whole = np.concatenate(xs).astype(np.int64), np.concatenate(ys).astype(np.int64)
    return np.clip(whole[0], 0, chart.columns - 1), np.clip(whole[1], 0, chart.rows - 1)
