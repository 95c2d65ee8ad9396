"""How the place line shares its width out: on how many lines its parts stand, and how wide each is."""

from collections.abc import Sequence

from stitchview.chart.model import Chart
from stitchview.ui.segment import Segment

# Rows of a band that its part should have room to count, and how much of a sheet's name there is room for.
BAND_ROWS = 10
NAME_LETTERS = 12
# Before a chart is known.
USUAL_SIDE, USUAL_NAME = 100, "Sheet A1"


def rooms_for(chart: Chart | None) -> tuple[tuple[str, str], ...]:
    """The least and the usual texts for place, block, sheet and band: as long as they get on a chart."""
    columns, rows = (chart.columns, chart.rows) if chart else (USUAL_SIDE, USUAL_SIDE)
    across, down = _zeros(columns), _zeros(rows)
    sides, stacks = _zeros(-(-columns // 10)), _zeros(-(-rows // 10))
    names = [sheet.name[:NAME_LETTERS] for sheet in chart.sheets] if chart else [USUAL_NAME]
    name = max(names, key=len, default="")
    count = f"{columns * BAND_ROWS:,}"
    band = f"Rows {down}–{down}:"
    return (
        (f"Column {across}, row {down}", f"Column {across} right, row {down} down"),
        (f"Block {sides}, {stacks}", f"Block {sides} right, {stacks} down"),
        (f"{name}: {across}, {down}", f"{name}: {across}, {down} +1"),
        (f"{band} {count} left", f"{band} {count} of {count} left"),
    )


def _zeros(number: int) -> str:
    return "0" * len(str(number))


def lines_for(segments: Sequence[Segment], width: int) -> tuple[tuple[Segment, ...], ...]:
    """Share the segments out to one line, to two, or to three where the window is narrow or letters large."""
    *place, thread, band, hand, kept = segments
    one = (tuple(segments),)
    two = ((*place, thread), (band, hand, kept))
    three = (tuple(place), (thread, hand), (band, kept))
    for lines in (one, two):
        if all(sum(segment.least_width for segment in line) <= width for line in lines):
            return lines
    return three


def widths_of(line: Sequence[Segment], width: int) -> list[int]:
    """Share a width out: first the least of each, up to the usual, the rest to what stretches."""
    least = [segment.least_width for segment in line]
    missing = [segment.usual_width - segment.least_width for segment in line]
    spare = width - sum(least)
    if spare < 0:
        shares = [room * width // sum(least) for room in least]
    else:
        given = min(spare, sum(missing))
        rest = (spare - given) // max(sum(segment.stretches for segment in line), 1)
        shares = [
            segment.least_width + lack * given // max(sum(missing), 1) + rest * segment.stretches
            for segment, lack in zip(line, missing, strict=True)
        ]
    shares[-1] += width - sum(shares)
    return shares
