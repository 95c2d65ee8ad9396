"""The check list says of each point whether it is in order, and is only content when all of them are."""

from dataclasses import replace

import numpy as np
import pytest

from stitchview.chart.area import Area
from stitchview.chart.model import Chart, KeyEntry, Sheet, Symbol
from stitchview.chart.review import NO_SECOND, Doubts, Why
from stitchview.sheets.checklist import Check, Printed, Subject, checks

FIRSTS = {"left": (0, 0), "right": (6, 0)}


@pytest.fixture
def chart() -> Chart:
    """Ten columns on two sheets that share two of them, everything named."""
    key = tuple(
        KeyEntry(code, Symbol(picture=f"pictures/symbols/{number}.png"), f"Sample cotton {number}")
        for number, code in enumerate("ab", 1)
    )
    squares = np.tile(np.array([1, 2], np.uint16), (4, 5))
    sheets = Sheet("left", Area(0, 0, 8, 4)), Sheet("right", Area(6, 0, 4, 4))
    return Chart(squares, key, sheets=sheets)


def point(points: list[Check], subject: Subject) -> Check:
    """The first point about something."""
    return next(each for each in points if each.subject is subject)


def test_a_whole_chart_is_in_order(chart: Chart) -> None:
    """As many columns and rows as printed, numbers that fit, overlaps that agree, no doubt, all named."""
    points = checks(chart, Printed(10, 4), FIRSTS)
    assert [each.subject for each in points] == list(Subject)
    assert all(each.fine for each in points)
    assert "8 squares they share" in point(points, Subject.OVERLAPS).words


def test_a_column_too_many_is_told(chart: Chart) -> None:
    """Compared with the last number that is printed; not compared is not in order either."""
    told = point(checks(chart, Printed(9, 6), FIRSTS), Subject.SIZE)
    assert not told.fine
    assert "1 column too many and 2 rows too few" in told.words
    assert not point(checks(chart, Printed(), FIRSTS), Subject.SIZE).fine


def test_numbers_that_do_not_fit_name_their_sheet(chart: Chart) -> None:
    """A sheet that begins elsewhere than its numbers say was placed or counted wrongly."""
    told = point(checks(chart, Printed(10, 4), FIRSTS | {"right": (7, 0)}), Subject.NUMBERS)
    assert not told.fine
    assert "“right”" in told.words or "“left”" in told.words
    doubtful = replace(chart, sheets=(replace(chart.sheets[0], doubts=("One row may be missing.",)),))
    points = checks(doubtful, Printed(10, 4), {})
    assert point(points, Subject.NUMBERS).words == "“left”: One row may be missing."


def test_what_is_left_is_counted(chart: Chart) -> None:
    """Squares that two sheets show differently, other doubts, unnamed piles, unread sheets."""
    doubts = Doubts(
        np.array([6, 1], np.int32),
        np.array([0, 0], np.int32),
        np.array([0.5, 0.2], np.float32),
        np.full(2, NO_SECOND, np.uint16),
        np.array([Why.SHEETS, Why.SYMBOL], np.uint8),
    )
    key = (replace(chart.key[0], name="Symbol 1"), chart.key[1])
    points = checks(replace(chart, doubts=doubts, key=key), Printed(10, 4), FIRSTS)
    assert "1 of the 8" in point(points, Subject.OVERLAPS).words
    assert "2 squares are" in point(points, Subject.DOUBTS).words
    assert "1 of 2 piles" in point(points, Subject.NAMES).words
    assert not any(point(points, each).fine for each in (Subject.OVERLAPS, Subject.DOUBTS, Subject.NAMES))
    unread = replace(chart, sheets=(replace(chart.sheets[0], read=False), chart.sheets[1]))
    assert "“left” have not been read" in point(checks(unread, Printed(), {}), Subject.DOUBTS).words
