"""Which squares of the chart a departure of the count is about: where it went wrong, and what lies off."""

from dataclasses import replace

from stitchview.chart.area import Area
from stitchview.follow.countoff import Axis, Departure


def area_between(departure: Departure, chart: Area, place: tuple[int, int]) -> Area:
    """The squares of a departure: between its lines, along what was counted along, else along `place`."""
    if departure.near is None:
        first, last = (departure.far, departure.far)
    elif departure.near < departure.far:
        first, last = departure.near + 1, departure.far
    else:
        first, last = departure.far, departure.near - 1
    if departure.axis is Axis.COLUMNS:
        row = place[1] if departure.along is None else departure.along
        return Area(first, row, last - first + 1, 1).clipped(chart)
    column = place[0] if departure.along is None else departure.along
    return Area(column, first, 1, last - first + 1).clipped(chart)


def area_off(departure: Departure, chart: Area) -> Area:
    """All squares that lie off by its `total`, as far as was counted, over the whole chart the other way.

    Squares that would lie off the chart there are left out.
    """
    first, count = min(departure.far, departure.last), abs(departure.last - departure.far) + 1
    if departure.axis is Axis.COLUMNS:
        lies = replace(chart, column=chart.column - departure.total)
        return Area(first, chart.row, count, chart.rows).clipped(chart).clipped(lies)
    lies = replace(chart, row=chart.row - departure.total)
    return Area(chart.column, first, chart.columns, count).clipped(chart).clipped(lies)
