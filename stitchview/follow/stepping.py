"""Where the band steps by itself when all in it is done: its next place that has something left."""

from collections.abc import Iterator

from stitchview.follow.band import Band, EdgeLines
from stitchview.follow.span import onward
from stitchview.follow.threadwork import ThreadWork


def step_when_done(band: Band, work: ThreadWork, lines: EdgeLines) -> Band:
    """The band itself while a square in it has something left, else its next place with work left.

    A band of rows goes down by its own height and one of columns rightwards by its own width; a
    frame goes rightwards and then down, as one reads. At the end it begins again at the start, so
    that nothing is passed over; where nothing is left anywhere the band stays. Squares whole and in
    part count.
    """
    if _has_some(band, work):
        return band
    places = _frames_onward(band, work, lines) if band.rows and band.columns else _onward(band, lines)
    return next((place for place in places if _has_some(place, work)), band)


def _has_some(band: Band, work: ThreadWork) -> bool:
    return bool(work.squares_left(band.inside(work.chart.area)).any())


def _onward(band: Band, lines: EdgeLines) -> Iterator[Band]:
    if band.rows is not None:
        return (Band(rows=span) for span in onward(band.rows, lines.rows))
    return (Band(columns=span) for span in onward(band.columns, lines.columns)) if band.columns else iter(())


def _frames_onward(band: Band, work: ThreadWork, lines: EdgeLines) -> Iterator[Band]:
    """The places of a frame in reading order from its own on, leaving out rows where nothing is left."""
    if band.rows is None or band.columns is None:
        return
    along = list(onward(band.columns, lines.columns))
    ahead = [span for span in along if span.first > band.columns.first]
    behind = [span for span in along if span.first < band.columns.first]
    yield from (Band(band.rows, span) for span in ahead)
    for rows in onward(band.rows, lines.rows):
        if _has_some(Band(rows=rows), work):
            yield from (Band(rows, span) for span in (*behind, band.columns, *ahead))
    yield from (Band(band.rows, span) for span in behind)
