"""The check list at the end of a reading: what tells that a chart is as it is printed, and what is left."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import combinations

import numpy as np

from stitchview.chart.model import MOST_COLUMNS, MOST_ROWS, Chart, Sheet
from stitchview.chart.review import Why
from stitchview.sheets.correcting import piles_of
from stitchview.sheets.keynaming import UNNAMED

First = tuple[int, int]

PRINTED = "printed"
"""The member of a chart file that keeps the numbers a person read off the paper."""


class Subject(StrEnum):
    """What a point of the list is about."""

    SIZE = "size"
    NUMBERS = "numbers"
    OVERLAPS = "overlaps"
    DOUBTS = "doubts"
    NAMES = "names"


@dataclass(frozen=True, slots=True)
class Check:
    """One point: what was looked at and found, in a sentence, and whether it is in order."""

    subject: Subject
    words: str
    fine: bool


@dataclass(frozen=True, slots=True)
class Printed:
    """The last column and row number printed on the paper, as a person reads them; 0 where she has not."""

    columns: int = 0
    rows: int = 0


def checks(chart: Chart, printed: Printed, firsts: Mapping[str, First]) -> list[Check]:
    """The points of the list in their order.

    ``firsts`` gives by a sheet's name the chart's (column, row), from 0, that the numbers printed around it
    say it begins with; sheets whose numbers could not be read are missing there.
    """
    return [
        _size(chart, printed),
        *_sheet_numbers(chart, firsts),
        _overlaps(chart),
        _doubts(chart),
        _names(chart),
    ]


def printed_on(chart: Chart) -> Printed:
    """What a person has read off the paper of a chart, kept with it; 0 for what is no such number."""
    told = chart.extra.get(PRINTED)
    numbers = told if isinstance(told, dict) else {}
    return Printed(_number(numbers.get("columns"), MOST_COLUMNS), _number(numbers.get("rows"), MOST_ROWS))


def with_printed(chart: Chart, printed: Printed) -> Chart:
    """The chart with the numbers a person read off its paper."""
    if printed == printed_on(chart):
        return chart
    others = {name: value for name, value in chart.extra.items() if name != PRINTED}
    return replace(chart, extra=others | {PRINTED: {"columns": printed.columns, "rows": printed.rows}})


def _number(value: object, most: int) -> int:
    return value if type(value) is int and 0 < value <= most else 0


def is_named(chart: Chart, number: int) -> bool:
    """Whether a pile has a thread's name, not only the number it was given when it was found."""
    return not UNNAMED.match(chart.key[number - 1].name)


def _size(chart: Chart, printed: Printed) -> Check:
    size = f"{chart.columns:,} columns and {chart.rows:,} rows"
    if not printed.columns or not printed.rows:
        words = f"The chart has {size}. Type the last numbers printed on the paper to compare them."
        return Check(Subject.SIZE, words, fine=False)
    wrong = []
    for told, there, name in (
        (printed.columns, chart.columns, "column"),
        (printed.rows, chart.rows, "row"),
    ):
        if told != there:
            off = abs(there - told)
            wrong.append(f"{off:,} {name}{'s' if off != 1 else ''} too {'many' if there > told else 'few'}")
    if wrong:
        return Check(Subject.SIZE, f"The chart has {size}: {' and '.join(wrong)}.", fine=False)
    return Check(Subject.SIZE, f"The chart has {size}, as the paper says.", fine=True)


def _sheet_numbers(chart: Chart, firsts: Mapping[str, First]) -> list[Check]:
    """Whether the numbers around every sheet agree with where it lies, and with each other."""
    starts = {
        sheet.name: (
            firsts[sheet.name][0] - sheet.area.column,
            firsts[sheet.name][1] - sheet.area.row,
        )
        for sheet in chart.sheets
        if sheet.name in firsts
    }
    points = []
    if starts:
        usual = max(set(starts.values()), key=list(starts.values()).count)
        astray = [name for name, start in starts.items() if start != usual]
        if astray:
            names = " and ".join(f"“{name}”" for name in astray[:3])
            words = f"The numbers printed around {names} do not fit where it lies among the other sheets."
        else:
            words = (
                f"The numbers printed around {_of(len(starts), len(chart.sheets))} fit where the sheets lie."
            )
        points.append(Check(Subject.NUMBERS, words, fine=not astray))
    for sheet in chart.sheets:
        for doubt in sheet.doubts:
            points.append(Check(Subject.NUMBERS, f"“{sheet.name}”: {doubt}", fine=False))
    return points


def _overlaps(chart: Chart) -> Check:
    differing = int((chart.doubts.whys == Why.SHEETS).sum())
    shared = _shared(chart.sheets)
    if not shared:
        return Check(Subject.OVERLAPS, "No square is shown on two sheets.", fine=True)
    if differing:
        words = f"Sheets show {differing:,} of the {shared:,} squares they share in different ways."
        return Check(Subject.OVERLAPS, words, fine=False)
    words = f"Sheets agree on all {shared:,} squares they share, or you have said which is right."
    return Check(Subject.OVERLAPS, words, fine=True)


def _shared(sheets: Sequence[Sheet]) -> int:
    return sum(one.area.clipped(two.area).count for one, two in combinations(sheets, 2))


def _doubts(chart: Chart) -> Check:
    left = len(chart.doubts)
    unread = [sheet.name for sheet in chart.sheets if not sheet.read]
    if unread:
        names = " and ".join(f"“{name}”" for name in unread[:3])
        return Check(Subject.DOUBTS, f"The symbols of {names} have not been read yet.", fine=False)
    words = f"{left:,} square{_s(left)} still in doubt." if left else "No square is in doubt."
    return Check(Subject.DOUBTS, words, fine=not left)


def _names(chart: Chart) -> Check:
    piles = piles_of(chart)
    used = set(np.unique(chart.squares).tolist())
    unnamed = [number for number in piles if number in used and not is_named(chart, number)]
    if unnamed:
        words = f"{len(unnamed):,} of {len(piles):,} piles have no thread yet."
        return Check(Subject.NAMES, words, fine=False)
    return Check(Subject.NAMES, f"Every one of the {len(piles):,} piles has its thread.", fine=True)


def _of(some: int, whole: int) -> str:
    return f"{some} of {whole} sheets" if some < whole else "the sheets" if whole > 1 else "the sheet"


def _s(count: int) -> str:
    return " is" if count == 1 else "s are"
