"""Where the band lies, in words, as she counts columns and rows."""

from stitchview.chart.model import Chart
from stitchview.follow.band import Band
from stitchview.follow.numbering import Counted, Numbering, column_counted, row_counted


def band_words(band: Band, chart: Chart, numbering: Numbering) -> str:
    """Say which rows and columns a band lies on, such as "Rows 31–40" or "Columns 1–10, rows 31–40"."""
    told = []
    if band.columns is not None:
        ends = (
            column_counted(at, chart.columns, numbering) for at in _ends(band.columns.first, band.columns.end)
        )
        told.append(_between("column", *ends))
    if band.rows is not None:
        ends = (row_counted(at, chart.rows, numbering) for at in _ends(band.rows.first, band.rows.end))
        told.append(_between("row", *ends))
    words = ", ".join(told)
    return words[:1].upper() + words[1:]


def _ends(first: int, end: int) -> tuple[int, int]:
    return first, end - 1


def _between(name: str, start: Counted, stop: Counted) -> str:
    if start == stop:
        return f"{name} {'on ' if start.side == 'centre' else ''}{_number(start)}"
    if start.side == stop.side:
        low, high = sorted((start.number, stop.number))
        return f"{name}s {low}–{high} {start.side}".rstrip()
    return f"{name}s {_number(start)} to {_number(stop)}"


def _number(counted: Counted) -> str:
    return "the centre" if counted.side == "centre" else f"{counted.number} {counted.side}".rstrip()
