"""Where a count on the cloth departs from the chart, held to cloths whose mistakes are known."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.errors import CommandError
from stitchview.follow.countoff import (
    MOST_COUNTS,
    Axis,
    CountedLine,
    Departure,
    count_off,
)
from stitchview.follow.countoffareas import area_between, area_off
from stitchview.follow.countoffwords import ADVICE, AGREES, CountWords
from stitchview.follow.numbering import Numbering, Way, index_of, number_of, ruler_numbers

COLUMNS, ROWS = Axis.COLUMNS, Axis.ROWS


def chart_of(columns: int, rows: int) -> Chart:
    return Chart(np.zeros((rows, columns), np.uint16), ())


WIDE = chart_of(200, 150)


def at(line: int, cloth: int, along: int | None = None, axis: Axis = COLUMNS) -> CountedLine:
    """A count told from 1, as she tells it."""
    return CountedLine(axis, line - 1, cloth - 1, None if along is None else along - 1)


def found(*counts: CountedLine, numbering: Numbering = Numbering.TOP_LEFT) -> tuple[Departure, ...]:
    return count_off(WIDE, counts, numbering).departures


def words(*counts: CountedLine, numbering: Numbering = Numbering.TOP_LEFT) -> list[str]:
    return CountWords(WIDE, numbering).lines(count_off(WIDE, counts, numbering))


@given(st.integers(2, 90), st.sampled_from(list(Way)), st.integers(0, 2**32))
def test_departures_are_those_of_a_cloth_worked_with_known_mistakes(size: int, way: Way, seed: int) -> None:
    """On a cloth worked line by line, some left out and some twice, the steps of its sum are told (numpy)."""
    random = np.random.default_rng(seed)
    first = {Way.ON: 0, Way.BACK: size, Way.OUT: size // 2}[way]
    # How often each line of the chart was worked; where counting begins in a line, that one was right.
    worked = random.choice([0, 1, 1, 1, 1, 1, 2], size)
    in_middle = way is Way.OUT and size % 2 == 1
    if in_middle:
        worked[first] = 1
    onward, back = np.cumsum(worked[first:]), np.cumsum(worked[:first][::-1])[::-1]
    cloth = np.concatenate([first - back, first - 1 + onward])
    countable = np.flatnonzero(worked)
    lines = random.permutation(countable)[: random.integers(0, 12)]
    counts = [CountedLine(COLUMNS, int(line), int(cloth[line])) for line in lines]
    numbering = {Way.ON: Numbering.TOP_LEFT, Way.BACK: Numbering.BOTTOM_RIGHT, Way.OUT: Numbering.CENTRE}[way]
    wanted = []
    for side in (np.sort(lines[lines >= first + in_middle]), np.sort(lines[lines < first])[::-1]):
        shifts = np.concatenate([[0], (cloth - np.arange(size))[side]])
        for step in np.flatnonzero(np.diff(shifts)):
            near = None if step == 0 else side[step - 1]
            wanted.append((near, side[step], shifts[step + 1] - shifts[step], shifts[step + 1]))
    told = count_off(chart_of(size, 3), counts, numbering).departures
    assert [(each.near, each.far, each.by, each.total) for each in told] == wanted


@given(st.integers(1, 200), st.sampled_from(list(Way)))
def test_numbers_lead_back_to_their_lines_and_go_on_off_the_chart(size: int, way: Way) -> None:
    """On the chart they are the ruler's; beyond its ends each line still has a number of its own."""
    ruler = ruler_numbers(size, way).tolist()
    assert [number_of(each, size, way) for each in range(size)] == ruler
    for line in range(-20, size + 20):
        assert index_of(number_of(line, size, way), size, way) == line


def test_a_count_that_agrees_says_so() -> None:
    """Counts in their places leave nothing to look for."""
    assert words(at(110, 110), at(120, 120), at(30, 30, axis=ROWS)) == [AGREES]


def test_one_column_too_many_is_found_between_two_tens() -> None:
    """Column 110 is in its place, column 120 lies at 121: one too many between them, and for all after."""
    departure = Departure(COLUMNS, 109, 119, 199, 1, 1, True)
    assert found(at(120, 121), at(110, 110)) == (departure,)
    told = words(at(120, 121), at(110, 110))
    assert told == [
        "Between columns 110 and 120 the cloth has 1 column too many. Column 120 lies 1 column right of its"
        " place, and so does all up to column 200 as far as was counted."
        " To find it closer, count column 115.",
        ADVICE,
    ]
    assert area_between(departure, WIDE.area, (5, 40)) == Area(110, 40, 10, 1)
    # The last column would lie off the chart.
    assert area_off(departure, WIDE.area) == Area(119, 0, 80, 150)


def test_several_departures_on_both_axes_are_told_each_by_itself() -> None:
    """Off by one, then by three in all, then right again; and a row too few above the first count."""
    told = found(at(20, 21), at(30, 31), at(60, 63), at(90, 90), at(50, 48, axis=ROWS))
    assert [(each.near, each.far, each.last, each.by, each.total) for each in told] == [
        (None, 19, 29, 1, 1),
        (29, 59, 59, 2, 3),
        (59, 89, 199, -3, 0),
        (None, 49, 149, -2, -2),
    ]
    assert [each.outwards for each in told] == [True, True, False, False]
    lines = words(at(20, 21), at(60, 60))
    assert "From column 60 on all is in its place again." in lines[1]


def test_counted_from_the_right_too_many_lie_further_left() -> None:
    """From the bottom right corner column 20 counted at 21 lies one square left of its place."""
    count = CountedLine(COLUMNS, index_of(20, 200, Way.BACK), index_of(21, 200, Way.BACK))
    told = words(count, numbering=Numbering.BOTTOM_RIGHT)
    assert told[0].startswith(
        "Between where counting begins and column 20 the cloth has 1 column too many. Column 20 lies 1 column"
        " left of its place, and so does all up to column 200 as far as was counted."
    )


def test_a_line_that_is_right_in_one_row_and_off_in_another_tells_the_rows() -> None:
    """Column 120 in its place along row 40 and one off along row 60 went wrong between these rows."""
    told = count_off(WIDE, [at(120, 120, 40), at(120, 119, 60)], Numbering.TOP_LEFT)
    assert [(each.before.along, each.after.along, each.by) for each in told.splits] == [(39, 59, -1)]
    assert CountWords(WIDE, Numbering.TOP_LEFT).lines(told)[1] == (
        "Between rows 40 and 60 column 120 goes 1 column left: along row 40 it is in its place, along row 60"
        " it lies 1 column left. To find it closer, count along row 50."
    )


@pytest.mark.parametrize(
    ("counts", "what"),
    [
        ([at(120, 121), at(120, 122)], "What the chart has in column 120 was counted at 121 and at 122."),
        ([at(120, 121), at(120, 122, 40)], "was counted at 121 and at 122. Say along which row"),
        ([at(120, 125), at(124, 125)], "Column 120 and column 124 were counted at 125 and 125: "),
        ([at(120, 126, 7), at(124, 125, 7)], "Column 120 and column 124 were counted at 126 and 125: "),
        ([at(10, 0)], "Column 10 cannot lie at 0, across from where counting begins."),
        ([at(201, 201)], "The chart has no column 201; it has 200 columns."),
        ([at(20, 20, 151)], "The chart has no row 151; it has 150 rows."),
        ([at(20, 1 << 30)], "Nobody counts as far as column 1,073,741,824."),
        ([at(20, 20, axis=ROWS), at(151, 151, axis=ROWS)], "The chart has no row 151; it has 150 rows."),
    ],
)
def test_counts_that_cannot_all_be_true_are_told_in_a_sentence(counts: list[CountedLine], what: str) -> None:
    """Contradictions name both counts and what to do."""
    with pytest.raises(CommandError) as caught:
        count_off(WIDE, counts, Numbering.TOP_LEFT)
    assert what in str(caught.value)


def test_the_centre_column_cannot_lie_elsewhere_when_counting_begins_there() -> None:
    """Of 201 columns counted from the centre, the middle one is where counting begins."""
    chart = chart_of(201, 3)
    count_off(chart, [CountedLine(COLUMNS, 100, 100)], Numbering.CENTRE)
    with pytest.raises(CommandError, match="Counting begins in the middle"):
        count_off(chart, [CountedLine(COLUMNS, 100, 101)], Numbering.CENTRE)


def test_too_many_counts_are_refused() -> None:
    """A bound keeps a pasted flood from being reckoned."""
    many = [CountedLine(ROWS, line % 150, line % 150, line // 150) for line in range(MOST_COUNTS + 1)]
    with pytest.raises(CommandError, match="too many"):
        count_off(WIDE, many, Numbering.TOP_LEFT)


@given(
    st.lists(st.tuples(st.integers(0, 149), st.integers(-2, 2)), max_size=12, unique_by=lambda each: each[0])
)
def test_splits_are_where_neighbouring_rows_differ(shifts: list[tuple[int, int]]) -> None:
    """Each pair of neighbouring rows with other ends is told once, and no other (pairs tried one by one)."""
    counts = [CountedLine(COLUMNS, 100, 100 + shift, row) for row, shift in shifts]
    told = count_off(WIDE, counts, Numbering.TOP_LEFT).splits
    wanted = [(one, other) for one, other in pairwise(sorted(shifts)) if one[1] != other[1]]
    assert [(each.before.along, each.after.along) for each in told] == [
        (one[0], other[0]) for one, other in wanted
    ]
    assert [each.by for each in told] == [other[1] - one[1] for one, other in wanted]


def test_her_words_are_given_to_programs_too() -> None:
    """Members hold her numbers, not those of memory."""
    counts = [at(20, 21), at(30, 31, 5), at(30, 30, 9)]
    told = CountWords(WIDE, Numbering.TOP_LEFT).members(count_off(WIDE, counts, Numbering.TOP_LEFT))
    first = {"of": "columns", "after": None, "up_to": 20, "last": 200, "by": 1, "in_all": 1, "along": None}
    assert told["departures"][0] == first
    assert told["splits"] == [{"of": "columns", "line": 30, "between": [5, 9], "by": -1}]
