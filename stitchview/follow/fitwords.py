"""Places found from the cloth, in words."""

from stitchview.chart.model import Chart
from stitchview.follow.finding import Fit, FoundPlaces
from stitchview.follow.numbering import Counted, Numbering, column_counted, row_counted
from stitchview.follow.place import SIDE_WORDS

_TURNS = ("", "turned clockwise", "upside down", "turned anticlockwise")


def found_words(found: FoundPlaces) -> str:
    """How many places there are, and how many of them are told."""
    if not found.count:
        return "This fits nowhere on the chart. Leave a doubtful square open, or allow one wrong square."
    places = f"{found.count:,} place{'' if found.count == 1 else 's'}"
    wrong = f", {found.one_wrong:,} of them with one wrong square" if found.one_wrong else ""
    told = f"; the likeliest {len(found.fits):,} are told" if len(found.fits) < found.count else ""
    return f"{places}{wrong}{told}."


def fit_words(chart: Chart, fit: Fit, numbering: Numbering) -> str:
    """One place: its top left square on the chart, and all that is special about it."""
    corner = fit.area.clipped(chart.area)
    told = [square_words(chart, (corner.column, corner.row), numbering)]
    if fit.done:
        told.append("all done there")
    if fit.mirrored:
        told.append("seen from behind")
    if fit.turn:
        told.append(_TURNS[fit.turn])
    if fit.wrong is not None:
        told.append(f"wrong at {_lowered(square_words(chart, fit.wrong, numbering))}")
    return "; ".join(told)


def square_words(chart: Chart, square: tuple[int, int], numbering: Numbering) -> str:
    """A square as she counts it, short; one off the chart is said to be so."""
    if not chart.area.holds(*square):
        return "A square off the chart"
    column = column_counted(square[0], chart.columns, numbering)
    row = row_counted(square[1], chart.rows, numbering)
    return f"{_counted('Column', column)}, {_counted('row', row)}"


def _counted(name: str, counted: Counted) -> str:
    if counted.side == "centre":
        return f"{name} on the centre line"
    return f"{name} {counted.number} {SIDE_WORDS.get(counted.side, '')}".rstrip()


def _lowered(words: str) -> str:
    return words[0].lower() + words[1:]
