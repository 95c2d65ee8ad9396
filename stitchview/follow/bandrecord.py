"""How a band is written down between sittings: in addresses, which stay when the chart grows."""

from typing import TypedDict

from stitchview.chart.area import Area
from stitchview.follow.band import Band, every_line
from stitchview.follow.span import Span


class SpanRecord(TypedDict):
    """Rows or columns of a band: the address of the first, and how many."""

    first: int
    count: int


class BandRecord(TypedDict):
    """A band as it is written down; the part it does not have is None."""

    rows: SpanRecord | None
    columns: SpanRecord | None


# Whole numbers beyond this are not safe in JSON (RFC 8259, section 6).
_MOST = 2**53 - 1


def to_json(band: Band, origin: tuple[int, int]) -> BandRecord:
    """The band as a plain dict of whole numbers; `origin` is the chart's (column, row) address."""
    return {"rows": _written(band.rows, origin[1]), "columns": _written(band.columns, origin[0])}


def from_json(record: object, area: Area, origin: tuple[int, int]) -> Band | None:
    """The band that was written down, brought back onto a chart whose squares are `area`.

    None if the record is not one: wrong types, neither rows nor columns, a count below 1. Numbers
    beyond the chart are brought back onto it, because a chart may have lost a sheet since.
    """
    if not isinstance(record, dict) or area.empty:
        return None
    spans = []
    for name, first_address in (("rows", origin[1]), ("columns", origin[0])):
        written = record.get(name)
        span = _read(written, first_address)
        if span is None and written is not None:
            return None
        spans.append(span)
    if spans == [None, None]:
        return None
    return Band(*spans).fitted(every_line(area.columns, area.rows))


def _written(span: Span | None, first_address: int) -> SpanRecord | None:
    return None if span is None else {"first": span.first + first_address, "count": span.count}


def _read(written: object, first_address: int) -> Span | None:
    if not isinstance(written, dict):
        return None
    first, count = written.get("first"), written.get("count")
    # A bool is an int in Python, though not in JSON; so the exact type is asked for.
    if type(first) is not int or type(count) is not int:
        return None
    if abs(first) > _MOST or not 1 <= count <= _MOST:
        return None
    return Span(first - first_address, count)
