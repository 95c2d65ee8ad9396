"""What is left to stitch: counted inside an area, and the next place of the band that has some."""

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.area import Area
from stitchview.chart.model import Squares
from stitchview.chart.stitches import Parts
from stitchview.done.change import DONE, States, no_states
from stitchview.follow.band import Band, EdgeLines
from stitchview.follow.span import onward

Mask = NDArray[np.bool_]
Counts = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Work:
    """What there is to stitch, and the states of its stitches as `done.marks.Marks` holds them.

    `squares` and `squares_states` have shape (rows, columns), `parts_states` shape (len(parts),);
    the states are uint8, and whatever is not DONE is left.
    """

    squares: Squares
    squares_states: States
    parts: Parts = field(default_factory=Parts)
    parts_states: States = field(default_factory=no_states)

    def __post_init__(self) -> None:
        if self.squares.shape != self.squares_states.shape or len(self.parts) != len(self.parts_states):
            raise ValueError("states must have the shape of the stitches they tell of")


def left_in_band(work: Work, area: Area, keys: int) -> Counts:
    """How many squares and part stitches of each key entry are left in `area`, shape (keys + 1,).

    The place of a count is the number of its key entry, so place 0 (no stitch) always holds 0.
    """
    rows, columns = area.clipped(_whole(work)).slices()
    squares = work.squares[rows, columns][work.squares_states[rows, columns] != DONE]
    parts = work.parts.keys[_parts_in(work.parts, area) & (work.parts_states != DONE)]
    return _counted(squares, parts, keys)


def all_in_band(work: Work, area: Area, keys: int) -> Counts:
    """How many squares and part stitches of each key entry lie in `area`, done or not; as `left_in_band`."""
    squares = work.squares[area.clipped(_whole(work)).slices()]
    return _counted(squares.ravel(), work.parts.keys[_parts_in(work.parts, area)], keys)


def step_when_done(band: Band, left: int, work: Work, lines: EdgeLines) -> Band:
    """The band itself while `left` (what is left in it) is above 0, else its next place with work left.

    A band of rows goes down by its own height and one of columns rightwards by its own width; a
    frame goes rightwards and then down, as one reads. At the end it begins again at the start, so
    that nothing is passed over; where nothing is left anywhere the band stays.
    """
    if left > 0:
        return band
    places = _frames_onward(band, work, lines) if band.rows and band.columns else _onward(band, lines)
    whole = _whole(work)
    return next((place for place in places if left_map(work, place.inside(whole)).any()), band)


def left_map(work: Work, area: Area) -> Mask:
    """Which squares of `area` (within the chart) have a stitch or part stitch left, shape (rows, columns)."""
    rows, columns = area.slices()
    left: Mask = (work.squares[rows, columns] != 0) & (work.squares_states[rows, columns] != DONE)
    here = _parts_in(work.parts, area) & (work.parts_states != DONE)
    left[work.parts.rows[here] - area.row, work.parts.columns[here] - area.column] = True
    return left


def _onward(band: Band, lines: EdgeLines) -> Iterator[Band]:
    if band.rows is not None:
        return (Band(rows=span) for span in onward(band.rows, lines.rows))
    return (Band(columns=span) for span in onward(band.columns, lines.columns)) if band.columns else iter(())


def _frames_onward(band: Band, work: Work, lines: EdgeLines) -> Iterator[Band]:
    """The places of a frame in reading order from its own on, leaving out rows where nothing is left."""
    if band.rows is None or band.columns is None:
        return
    along = list(onward(band.columns, lines.columns))
    ahead = [span for span in along if span.first > band.columns.first]
    behind = [span for span in along if span.first < band.columns.first]
    yield from (Band(band.rows, span) for span in ahead)
    for rows in onward(band.rows, lines.rows):
        if left_map(work, Band(rows=rows).inside(_whole(work))).any():
            yield from (Band(rows, span) for span in (*behind, band.columns, *ahead))
    yield from (Band(band.rows, span) for span in behind)


def _whole(work: Work) -> Area:
    return Area(0, 0, work.squares.shape[1], work.squares.shape[0])


def _parts_in(parts: Parts, area: Area) -> Mask:
    across = (parts.columns >= area.column) & (parts.columns < area.right)
    inside: Mask = across & (parts.rows >= area.row) & (parts.rows < area.bottom)
    return inside


def _counted(squares: Squares, parts: Squares, keys: int) -> Counts:
    counts = np.bincount(squares, minlength=keys + 1) + np.bincount(parts, minlength=keys + 1)
    counts[0] = 0
    return counts.astype(np.int64, copy=False)
