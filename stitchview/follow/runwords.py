"""Runs in words, short enough to be read at a glance or spoken while the eyes stay on the cloth."""

from collections.abc import Sequence

from stitchview.chart.model import Chart
from stitchview.chart.stitches import PartShape
from stitchview.chart.turning import UPRIGHT, Turn
from stitchview.follow.numbering import Counted, Numbering, column_counted, row_counted
from stitchview.follow.place import PART_WORDS, SIDE_WORDS
from stitchview.follow.runs import Run, RunList


def line_words(runs: RunList, at: int, chart: Chart, numbering: Numbering, names: Sequence[str]) -> str:
    """The whole line that run `at` is in: "row 214, from column 87: 7 slate blue, skip 2, 3 slate blue".

    `names` are the threads' names in the order of the key, as `spoken_names` gives them.
    """
    first, last = runs.line_of(at)
    told = (_stitches(runs[each], names) for each in range(first, last))
    return f"{_line(runs[first], chart, numbering)}: {', '.join(told)}"


def run_words(
    run: Run, chart: Chart, numbering: Numbering, names: Sequence[str], turn: Turn = UPRIGHT
) -> str:
    """One run as a step calls it: with its line where one begins, else "skip 2, 3 slate blue".

    Which way it goes is told as it is seen on the turned chart.
    """
    line = f"{_line(run, chart, numbering, turn)}: " if run.begins_line else ""
    return f"{line}{_stitches(run, names)}"


def _line(run: Run, chart: Chart, numbering: Numbering, turn: Turn = UPRIGHT) -> str:
    row = _counted("row", row_counted(run.row, chart.rows, numbering))
    column = _counted("column", column_counted(run.column, chart.columns, numbering))
    way = _WAYS[turn.step(*_steps(run))]
    if run.down:
        return f"{column}, {way}from {row}"
    return f"{row}, {way}from {column}"


_WAYS = {(1, 0): "", (0, 1): "", (-1, 0): "leftwards ", (0, -1): "upwards "}
"""What is told of the way of a run; rightwards and downwards go without saying."""


def _steps(run: Run) -> tuple[int, int]:
    step = -1 if run.backwards else 1
    return (0, step) if run.down else (step, 0)


def _counted(name: str, counted: Counted) -> str:
    if counted.side == "centre":
        return f"the centre {name}"
    return f"{name} {counted.number} {SIDE_WORDS.get(counted.side, '')}".rstrip()


def _stitches(run: Run, names: Sequence[str]) -> str:
    told = f"{run.length} {names[run.number - 1]}{_kind(run.shape, run.length)}"
    if run.skip < 0:
        return f"in the same square {told}"
    return f"skip {run.skip}, {told}" if run.skip else told


def _kind(shape: PartShape | None, count: int) -> str:
    if shape is None:
        return ""
    kind, _, lie = PART_WORDS[shape].partition(", ")
    return f" {kind}{'' if count == 1 else 'es'}, {lie}"
