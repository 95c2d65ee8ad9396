"""What the panel beside the chart lists: islands, stragglers, and the threads a block still needs."""

import numpy as np

from stitchview.chart.joined import Indices
from stitchview.follow.islands import Distances, islands_of
from stitchview.follow.numbering import column_counted, row_counted
from stitchview.follow.stragglers import stragglers
from stitchview.ui.asidepanel import Aside, Line, Listed
from stitchview.ui.keywords import name_of
from stitchview.ui.nextstitch import NextStitch
from stitchview.ui.pointer import Square

# More lines than this nobody reads, and a list of confetti may be as long as the chart has squares.
MOST = 200
NO_THREAD = "Take a thread in hand with K or in the key."


def listed(next_stitch: NextStitch, aside: Aside, number: int) -> Listed:
    """The lines of one kind for the thread `number`, 0 for none in hand; O(chart) but for the block."""
    if aside is Aside.BLOCK:
        return _block(next_stitch)
    if not number:
        return Listed(NO_THREAD)
    if not next_stitch.work.left(number).in_squares:
        return Listed(f"No crosses of {next_stitch.names[number - 1]} are left.")
    if aside is Aside.STRAGGLERS:
        return _stragglers(next_stitch, number)
    return _islands(next_stitch, number, aside is Aside.LARGEST)


def _islands(next_stitch: NextStitch, number: int, by_size: bool) -> Listed:
    islands = islands_of(next_stitch.work, number)
    shores = islands.seen_from(next_stitch.place, next_stitch.pitch)
    order = islands.by_size() if by_size else shores.by_distance()
    lines = tuple(
        Line(
            f"{_squares(int(islands.sizes[at]))}, {_away(float(shores.mm[at]))}: "
            f"{_where(next_stitch, (int(shores.columns[at]), int(shores.rows[at])))}",
            (int(shores.columns[at]), int(shores.rows[at])),
        )
        for at in order[:MOST].tolist()
    )
    count = len(islands)
    told = f"{next_stitch.names[number - 1]}: {count:,} island{'' if count == 1 else 's'}"
    return Listed(told[:1].upper() + told[1:] + _cut(count), lines)


def _stragglers(next_stitch: NextStitch, number: int) -> Listed:
    found = stragglers(next_stitch.work, number, next_stitch.pitch)
    rows, columns = np.divmod(found, max(1, next_stitch.work.chart.columns))
    away = _distances(next_stitch, columns, rows)
    lines = tuple(
        Line(
            f"{_away(float(away[at]))}: {_where(next_stitch, (int(columns[at]), int(rows[at])))}",
            (int(columns[at]), int(rows[at])),
        )
        for at in np.argsort(away, kind="stable")[:MOST].tolist()
    )
    told = f"{next_stitch.names[number - 1]}: {len(found):,} farther than a carry from the next"
    return Listed(told[:1].upper() + told[1:] + _cut(len(found)), lines)


def _block(next_stitch: NextStitch) -> Listed:
    square = next_stitch.place
    if not next_stitch.work.chart.area.holds(*square):
        return Listed("")
    blocks, key = next_stitch.blocks, next_stitch.work.chart.key
    needed = blocks.threads_needed([blocks.grid.block_at(*square)])
    lines = tuple(
        Line(f"{each.left.total:,} left: {name_of(key[each.number - 1])}", number=each.number)
        for each in needed
    )
    return Listed(next_stitch.block_words(square), lines)


def _distances(next_stitch: NextStitch, columns: Indices, rows: Indices) -> Distances:
    place, pitch = next_stitch.place, next_stitch.pitch
    across, down = (columns - place[0]) * pitch.across_mm, (rows - place[1]) * pitch.down_mm
    away: Distances = np.hypot(across, down)
    return away


def _where(next_stitch: NextStitch, square: Square) -> str:
    chart, numbering = next_stitch.work.chart, next_stitch.numbering
    column = column_counted(square[0], chart.columns, numbering)
    row = row_counted(square[1], chart.rows, numbering)
    told = (
        f"{name} {each.number} {each.side}".rstrip() if each.side != "centre" else f"centre {name}"
        for name, each in (("column", column), ("row", row))
    )
    return ", ".join(told)


def _squares(count: int) -> str:
    return f"{count:,} square{'' if count == 1 else 's'}"


def _away(mm: float) -> str:
    return f"{mm / 10:,.1f} cm" if mm >= 10 else f"{mm:.0f} mm"


def _cut(count: int) -> str:
    return f", the first {MOST} of them" if count > MOST else ""
