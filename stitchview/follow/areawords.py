"""An area of the chart in words, as she counts columns and rows."""

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.follow.numbering import Counted, Numbering, column_counted, row_counted


def area_words(chart: Chart, area: Area, numbering: Numbering) -> str:
    """Which columns and rows an area has, as she counts them."""
    columns = [column_counted(each, chart.columns, numbering) for each in (area.column, area.right - 1)]
    rows = [row_counted(each, chart.rows, numbering) for each in (area.row, area.bottom - 1)]
    return f"columns {_from_to(columns)}, rows {_from_to(rows)}"


def _from_to(ends: list[Counted]) -> str:
    first, last = (f"{each.number} {each.side}".strip() if each.number else each.side for each in ends)
    return first if first == last else f"{first} to {last}"
