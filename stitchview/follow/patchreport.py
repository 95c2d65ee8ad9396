"""The places where a patch fits, told to people in lines and to programs in members."""

from collections.abc import Iterator
from typing import Any

from stitchview.chart.model import Chart
from stitchview.follow.finding import Fit, FoundPlaces
from stitchview.follow.fitwords import fit_words, found_words
from stitchview.follow.numbering import Numbering


def lines_of(chart: Chart, found: FoundPlaces) -> Iterator[str]:
    """How many places there are, then a line for each, counted from 1 at the top left corner."""
    yield found_words(found)
    for number, fit in enumerate(found.fits, 1):
        yield f"{number}. {fit_words(chart, fit, Numbering.TOP_LEFT)}"


def members_of(found: FoundPlaces) -> dict[str, Any]:
    """All of it as a JSON object; columns and rows count from 1 at the chart's top left square."""
    return {
        "right": found.right,
        "one_wrong": found.one_wrong,
        "places": [_place(fit) for fit in found.fits],
    }


def _place(fit: Fit) -> dict[str, Any]:
    wrong = fit.wrong and {"column": fit.wrong[0] + 1, "row": fit.wrong[1] + 1}
    return {
        "column": fit.area.column + 1,
        "row": fit.area.row + 1,
        "columns": fit.area.columns,
        "rows": fit.area.rows,
        "quarter_turns": fit.turn,
        "mirrored": fit.mirrored,
        "wrong": wrong,
        "done": fit.done,
        "mm_away": round(fit.mm, 1),
    }
