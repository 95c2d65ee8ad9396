"""What a chart brings from, and leaves behind in, the plainer forms that other programs know."""

from dataclasses import dataclass

from stitchview.chart.model import Chart


@dataclass(frozen=True, eq=False)
class Imported:
    """A chart made from another form, and plain sentences about what was guessed."""

    chart: Chart
    notes: tuple[str, ...]


def left_behind(chart: Chart, form: str) -> tuple[str, ...]:
    """Sentences about what only the chart file can hold and `form` ("A table", "A picture") cannot."""
    pictured = sum(bool(entry.symbol.picture) for entry in chart.key)
    counted = (
        (len(chart.parts), "part stitch", "part stitches"),
        (len(chart.lines), "back or straight stitch line", "back and straight stitch lines"),
        (len(chart.points), "knot or bead", "knots and beads"),
        (len(chart.sheets), "paper sheet", "paper sheets"),
        (pictured, "symbol cut from paper", "symbols cut from paper"),
    )
    notes = [
        f"{form} does not hold the chart's {count:,} {one if count == 1 else many}."
        for count, one, many in counted
        if count
    ]
    told = [
        name
        for name, value in (("title", chart.title), ("notes", chart.notes), ("cloth", chart.cloth))
        if value
    ]
    if told:
        listed = " and ".join([", ".join(told[:-1]), told[-1]] if told[1:] else told)
        notes.append(f"{form} does not hold the chart's {listed}.")
    return tuple(notes)
