"""Read sheets that were found into a chart, and lay a second reading of them over the first."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from stitchview.chart.model import Chart
from stitchview.sheets.charting import UNREAD_NAME, Reading, chart_of
from stitchview.sheets.correcting import merged
from stitchview.sheets.joining import join_sheets
from stitchview.sheets.papererror import PaperError
from stitchview.sheets.reading import FoundSheet, Watch, Wishes, read_found, sort_found
from stitchview.sheets.rereading import laid_onto

_MOST_OF = 0.5


def chart_from(found: Sequence[FoundSheet], wishes: Wishes, watch: Watch) -> Chart:
    """The sheets as a chart; raises PaperError where they do not fit, ReadingStopped when asked to."""
    if not found:
        raise PaperError("No sheet has been found yet.", "Add a picture of your chart.")
    watch.tell("Beginning", 0.0)
    sorting = sort_found([sheet.straight for sheet in found], wishes, watch)
    sheets = read_found(found, sorting, wishes, watch)
    watch.tell("Joining the sheets", 0.95)
    chart = chart_of(Reading(tuple(sheets), join_sheets(sheets), title=wishes.title))
    watch.tell("Read", 1.0)
    return chart


def is_in(old: Chart, found: Sequence[FoundSheet]) -> bool:
    """Whether any of these sheets is in the chart by its name."""
    names = {sheet.name for sheet in old.sheets}
    return any(sheet.name in names for sheet in found)


def laid_again(old: Chart, fresh: Chart) -> Chart:
    """``old`` with another reading of its sheets laid on, placed by a sheet that both call the same.

    What was decided by hand, names of threads and addresses stay. Raises PaperError where none is in both.
    """
    places = {sheet.name: sheet.area for sheet in fresh.sheets}
    both = next((sheet for sheet in old.sheets if sheet.name in places), None)
    if both is None:
        raise PaperError(
            "None of these sheets is in the chart that is there.", "Save the reading under another name."
        )
    there = places[both.name]
    offset = both.area.column - there.column, both.area.row - there.row
    laid = laid_onto(old, fresh, offset, _known(old, fresh, offset))
    return replace(_without_unread(laid), title=fresh.title or old.title)


def _without_unread(chart: Chart) -> Chart:
    """The chart without the entry for squares nobody has read, once there are none."""
    for number, entry in enumerate(chart.key, 1):
        if entry.name == UNREAD_NAME and not (chart.squares == number).any():
            return merged(chart, number, 0)
    return chart


def _known(old: Chart, fresh: Chart, offset: tuple[int, int]) -> list[int]:
    """For each fresh key entry the old one that most of its squares have, by name for lines; 0 where new."""
    laid = np.zeros((fresh.rows, fresh.columns), np.uint16)
    left, top = max(0, offset[0]), max(0, offset[1])
    right = min(old.columns, offset[0] + fresh.columns)
    bottom = min(old.rows, offset[1] + fresh.rows)
    laid[top - offset[1] : bottom - offset[1], left - offset[0] : right - offset[0]] = old.squares[
        top:bottom, left:right
    ]
    unread = [number for number, entry in enumerate(old.key, 1) if entry.name == UNREAD_NAME]
    by_name = {entry.name: number for number, entry in enumerate(old.key, 1)}
    numbers = []
    for number, entry in enumerate(fresh.key, 1):
        if entry.symbol.picture:
            numbers.append(_most_of(laid[fresh.squares == number], unread))
        else:
            numbers.append(by_name.get(entry.name, 0))
    return numbers


def _most_of(squares: NDArray[np.uint16], unread: Sequence[int]) -> int:
    if not len(squares):
        return 0
    counts = np.bincount(squares)
    best = int(counts.argmax())
    return best if best not in unread and counts[best] > _MOST_OF * len(squares) else 0
