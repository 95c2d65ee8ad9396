"""What a person decides of a chart read from paper is done to the whole chart, and nothing else is."""

from dataclasses import replace

import numpy as np
import pytest

from stitchview.chart.area import Area
from stitchview.chart.model import Chart, KeyEntry, Sheet, Symbol
from stitchview.chart.review import NO_SECOND, Doubts, Why
from stitchview.chart.stitches import LineKind, Lines
from stitchview.sheets.correcting import all_the_same, answered, decided, merged, named, piles_of
from stitchview.sheets.rereading import laid_onto, squares_by_hand

SQUARES = [
    [1, 1, 2, 0],
    [3, 2, 2, 0],
    [3, 2, 2, 4],
]


@pytest.fixture
def chart() -> Chart:
    """Three piles and the thread of the lines; four doubts, two of them between the same piles."""
    key = tuple(
        KeyEntry(code, Symbol(picture=f"pictures/symbols/{number}.png"), f"Symbol {number}")
        for number, code in enumerate("abcd", 1)
    )
    x1, y1, x2, y2 = np.array([(0, 0, 4, 0)], np.int32).T.copy()
    lines = Lines(x1, y1, x2, y2, np.array([LineKind.BACK], np.uint8), np.array([4], np.uint16))
    doubts = Doubts(
        np.array([0, 2, 0, 1], np.int32),
        np.array([0, 0, 1, 1], np.int32),
        np.array([0.1, 0.3, 0.3, 0.2], np.float32),
        np.array([2, 3, NO_SECOND, 3], np.uint16),
        np.full(4, Why.SYMBOL, np.uint8),
    )
    pictures = {entry.symbol.picture: b"png" for entry in key}
    sheet = Sheet("Sheet", Area(0, 0, 4, 3))
    squares = np.array(SQUARES, np.uint16)
    return Chart(squares, key, lines=lines, doubts=doubts, attachments=pictures, sheets=(sheet,))


def test_piles_stand_largest_first(chart: Chart) -> None:
    """By their squares; entries that were not cut from paper are not piles."""
    assert piles_of(chart) == [2, 1, 3, 4]
    key = (*chart.key[:3], replace(chart.key[3], symbol=Symbol("—")))
    assert piles_of(replace(chart, key=key)) == [2, 1, 3]


def test_a_name_keeps_code_and_symbol(chart: Chart) -> None:
    """Only the thread of the one entry is another."""
    after = named(chart, 2, KeyEntry("z", Symbol("z"), "Sample cotton 17, slate blue", "17"))
    assert after.key[1] == replace(chart.key[1], name="Sample cotton 17, slate blue", number="17")
    assert (after.key[0], *after.key[2:]) == (chart.key[0], *chart.key[2:])
    assert after.squares is chart.squares


@pytest.mark.parametrize(("gone", "into"), [(3, 2), (2, 3), (1, 4)])
def test_joined_piles_are_one_everywhere(chart: Chart, gone: int, into: int) -> None:
    """Every square, line and doubt that had the one has the other, by its name, and no other is touched."""
    after = merged(chart, gone, into)
    names = np.array(["", *(entry.name for entry in chart.key)])
    new_names = np.array(["", *(entry.name for entry in after.key)])
    wanted = np.where(names == names[gone], names[into], names)
    assert (new_names[after.squares] == wanted[chart.squares]).all()
    assert new_names[after.lines.keys].tolist() == wanted[chart.lines.keys].tolist()
    assert chart.key[gone - 1].symbol.picture not in after.attachments
    for at, second in enumerate(after.doubts.seconds.tolist()):
        before = int(chart.doubts.seconds[at])
        own = new_names[after.squares[after.doubts.rows[at], after.doubts.columns[at]]]
        if before == NO_SECOND or wanted[before] == own:
            assert second == NO_SECOND
        else:
            assert new_names[second] == wanted[before]


def test_an_answer_stands_against_another_reading(chart: Chart) -> None:
    """The square is as she says, is no doubt any more, and the next reading of the sheet leaves it so."""
    after = answered(chart, [1], 3)
    assert after.squares[0, 2] == 3
    assert (after.squares != chart.squares).sum() == 1
    assert len(after.doubts) == 3
    assert np.argwhere(squares_by_hand(after.by_hand, (3, 4))).tolist() == [[0, 2]]
    again = laid_onto(after, chart, (0, 0), [1, 2, 3, 4])
    assert again.squares[0, 2] == 3
    assert (2, 0) not in set(zip(again.doubts.columns.tolist(), again.doubts.rows.tolist(), strict=True))


def test_all_of_a_pile_can_be_said_to_be_right(chart: Chart) -> None:
    """No square alters, and only the doubts of that pile go."""
    after = all_the_same(chart, 2)
    assert (after.squares == chart.squares).all()
    assert after.doubts.columns.tolist() == [0, 0]
    assert squares_by_hand(after.by_hand, (3, 4)).sum() == 2


def test_a_square_nobody_doubted_can_be_decided(chart: Chart) -> None:
    """It is as she says, its neighbours' doubts stay, and another reading leaves it so."""
    after = decided(chart, np.array([5, 11]), 1)
    assert np.argwhere(after.squares != chart.squares).tolist() == [[1, 1], [2, 3]]
    assert (after.squares[1, 1], after.squares[2, 3]) == (1, 1)
    assert after.doubts.columns.tolist() == [0, 2, 0]
    assert squares_by_hand(after.by_hand, (3, 4)).sum() == 2
