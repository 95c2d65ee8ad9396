"""Where the band lies, in words, as she counts columns and rows."""

from stitchview.chart.model import Chart
from stitchview.follow.band import Band
from stitchview.follow.numbering import Counted, Numbering, column_counted, row_counted


def band_words(band: Band, chart: Chart, numbering: Numbering) -> str:
    """Say which rows and columns a band lies on, such as "Rows 31–40" or "Frame 1–10, 31–40"."""
    across, down = band.columns, band.rows
    told = []
    if across is not None:
        ends = (column_counted(at, chart.columns, numbering) for at in (across.first, across.end - 1))
        told.append(_between("Column", *ends) if down is None else _numbers(*ends))
    if down is not None:
        ends = (row_counted(at, chart.rows, numbering) for at in (down.first, down.end - 1))
        told.append(_between("Row", *ends) if across is None else _numbers(*ends))
    return told[0] if len(told) == 1 else f"Frame {told[0]}, {told[1]}"


def _between(name: str, start: Counted, stop: Counted) -> str:
    if start == stop:
        return f"{name} {'on ' if start.side == 'centre' else ''}{_number(start)}"
    return f"{name}s {_numbers(start, stop)}"


def _numbers(start: Counted, stop: Counted) -> str:
    if start == stop:
        return _number(start)
    if start.side == stop.side:
        low, high = sorted((start.number, stop.number))
        return f"{low}–{high} {start.side}".rstrip()
    return f"{_number(start)} to {_number(stop)}"


def _number(counted: Counted) -> str:
    return "the centre" if counted.side == "centre" else f"{counted.number} {counted.side}".rstrip()
