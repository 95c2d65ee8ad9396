"""The tape, the bearings of a square, and counting from a landmark on the cloth."""

from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.model import Chart, Cloth
from stitchview.errors import StitchviewError
from stitchview.follow.clothpitch import USUAL_PITCH, Pitch, pitch_of
from stitchview.follow.landmark import landing, same_thread_near, squares_of_length, squares_of_threads
from stitchview.follow.numbering import Numbering, column_counted, row_counted
from stitchview.follow.tape import (
    LengthUnit,
    Tape,
    bearings_of,
    between_points,
    between_squares,
    length_words,
    tape_words,
)

Drawn = Callable[[str], Chart]
UNEVEN = pitch_of(Cloth(count=14), count_down=13)

squares = st.tuples(st.integers(0, 4095), st.integers(0, 4095))
pitches = st.builds(Pitch, st.floats(0.1, 10), st.floats(0.1, 10))


def test_three_and_four_squares_on_the_cloth() -> None:
    """3 columns and 4 rows at 14 are 9.071429 mm (checks.md, section 6.2)."""
    tape = between_squares((10, 20), (13, 24), USUAL_PITCH)
    assert (tape.columns, tape.rows, tape.diagonal, tape.straight_on) == (3, 4, 3, 1)
    assert tape.mm == pytest.approx(9.071429, abs=5e-7)


def test_the_size_of_a_chart_by_tape() -> None:
    """200 x 300 squares at 14 are 362.857 x 544.286 mm, 14.29 x 21.43 in (checks.md, section 1)."""
    tape = between_points((0, 0), (400, 600), USUAL_PITCH)
    assert tape.across_mm == pytest.approx(362.857, abs=5e-4)
    assert tape.down_mm == pytest.approx(544.286, abs=5e-4)
    assert length_words(tape.across_mm, LengthUnit.INCHES) == "14.29 in"
    assert length_words(tape.down_mm, LengthUnit.INCHES) == "21.43 in"


def test_uneven_cloth_by_tape() -> None:
    """11 across are farther than 10 down at 14 across and 13 down (checks.md, section 6.2)."""
    across, down = between_squares((0, 0), (11, 0), UNEVEN), between_squares((0, 0), (0, 10), UNEVEN)
    assert across.mm == pytest.approx(19.957143, abs=5e-7)
    assert down.mm == pytest.approx(19.538462, abs=5e-7)


@given(squares, squares, pitches)
def test_the_way_back_is_as_long(first: tuple[int, int], last: tuple[int, int], pitch: Pitch) -> None:
    """A tape turned round has the other signs and the same lengths; cornerwise and straight add up."""
    there, back = between_squares(first, last, pitch), between_squares(last, first, pitch)
    assert (there.columns, there.rows) == (-back.columns, -back.rows)
    assert (there.mm, there.diagonal, there.straight_on) == (back.mm, back.diagonal, back.straight_on)
    assert there.diagonal + there.straight_on == max(abs(there.columns), abs(there.rows))
    exact = Fraction(there.columns) ** 2 * Fraction(pitch.across_mm) ** 2
    exact += Fraction(there.rows) ** 2 * Fraction(pitch.down_mm) ** 2
    assert there.mm**2 == pytest.approx(float(exact), rel=1e-12)
    halves = between_points((2 * first[0], 2 * first[1]), (2 * last[0], 2 * last[1]), pitch)
    assert halves == there


@pytest.mark.parametrize(
    ("tape", "unit", "words"),
    [
        (Tape(0, 0, USUAL_PITCH), LengthUnit.MILLIMETRES, "The same place."),
        (Tape(7, 0, USUAL_PITCH), LengthUnit.MILLIMETRES, "7 columns right; 12.7 mm on the cloth."),
        (Tape(0, -1, USUAL_PITCH), LengthUnit.MILLIMETRES, "1 row up; 1.8 mm on the cloth."),
        (
            Tape(-7, 14, USUAL_PITCH),
            LengthUnit.CENTIMETRES,
            "7 columns left, 14 rows down; 7 squares diagonal and 7 squares straight on; "
            "2.84 cm on the cloth (1.27 cm × 2.54 cm).",
        ),
        (
            Tape(14, 14, USUAL_PITCH),
            LengthUnit.INCHES,
            "14 columns right, 14 rows down; 14 squares diagonal; 1.41 in on the cloth (1.00 in × 1.00 in).",
        ),
        (Tape(0.5, 0, USUAL_PITCH), LengthUnit.MILLIMETRES, "0.5 columns right; 0.9 mm on the cloth."),
        (
            Tape(14e5, 0, USUAL_PITCH),
            LengthUnit.INCHES,
            "1,400,000 columns right; 100,000.00 in on the cloth.",
        ),
    ],
)
def test_tapes_in_words(tape: Tape, unit: LengthUnit, words: str) -> None:
    """The tape as it is read out."""
    assert tape_words(tape, unit) == words


@given(st.integers(1, 4096), st.integers(1, 4096), squares, pitches)
def test_bearings_agree_with_the_rulers(
    columns: int, rows: int, square: tuple[int, int], pitch: Pitch
) -> None:
    """Squares to the edges and the centre are those that the numbers along the sides count."""
    column, row = square[0] % columns, square[1] % rows
    bearings = bearings_of(Area(0, 0, columns, rows), column, row, pitch)
    corner = Numbering.TOP_LEFT, Numbering.BOTTOM_RIGHT
    assert [bearings.left, bearings.right] == [column_counted(column, columns, n).number - 1 for n in corner]
    assert [bearings.top, bearings.bottom] == [row_counted(row, rows, n).number - 1 for n in corner]
    across = column_counted(column, columns, Numbering.CENTRE)
    away = across.number - (0.5 if columns % 2 == 0 else 0.0)
    assert bearings.across == (-away if across.side == "left" else away)
    assert bearings.left_mm + bearings.right_mm + pitch.across_mm == pytest.approx(columns * pitch.across_mm)
    assert bearings.top_mm + bearings.bottom_mm + pitch.down_mm == pytest.approx(rows * pitch.down_mm)
    assert bearings.centre_mm == pytest.approx(pitch.apart(bearings.across, bearings.down))


def test_the_centre_is_found_by_halving() -> None:
    """600 x 601: the square right of the centre line is half a square off, the middle row on it (H2)."""
    bearings = bearings_of(Area(0, 0, 600, 601), 300, 300, USUAL_PITCH)
    assert (bearings.across, bearings.down) == (0.5, 0)
    assert (bearings.left, bearings.right, bearings.top, bearings.bottom) == (300, 299, 300, 300)


def test_counting_from_a_landmark(small_chart: Callable[[], Chart]) -> None:
    """A count leads to a square and to what is printed there, part stitches among it."""
    chart = small_chart()
    assert landing(chart, (1, 1), 0, 0).numbers == (1,)
    there = landing(chart, (1, 1), 4, 4)
    assert (there.column, there.row) == (5, 5)
    assert there.numbers == tuple(chart.parts.keys[[10, 11]].tolist())
    assert landing(chart, (11, 9), -11, -9).numbers == ()


@pytest.mark.parametrize(
    ("columns", "rows", "words"),
    [(-3, 0, "2 left of"), (20, 0, "10 right of"), (0, -2, "1 above"), (11, 30, "1 right and 22 below")],
)
def test_a_count_off_the_chart_is_told(
    small_chart: Callable[[], Chart], columns: int, rows: int, words: str
) -> None:
    """How far off it is, and what to do."""
    with pytest.raises(StitchviewError, match=words) as caught:
        landing(small_chart(), (1, 1), columns, rows)
    assert caught.value.remedy


def test_threads_of_the_cloth_make_squares() -> None:
    """14 threads over two are 7 squares, 13 are none; to the left they count below 0."""
    assert squares_of_threads(14, 2) == 7
    assert squares_of_threads(-14, 2) == -7
    assert squares_of_threads(0, 3) == 0
    with pytest.raises(StitchviewError, match="6 squares are 12 threads, 7 are 14"):
        squares_of_threads(-13, 2)


@given(st.integers(-5000, 5000), st.floats(0.1, 10), st.floats(-0.49, 0.49))
def test_a_measured_length_makes_the_nearest_squares(count: int, side: float, off: float) -> None:
    """However far within half a square the ruler is off, the count is right and the rest is told."""
    found, rest = squares_of_length((count + off) * side, side)
    assert found == count
    assert rest == pytest.approx(off * side, abs=1e-9 * max(1, abs(count)))


def test_a_stitch_that_is_off_by_one(thread_chart: Drawn) -> None:
    """She sees the second thread at a square of the first: the chart has it one column to the right."""
    chart = thread_chart("aaaaa\naaaba\naaaab\naaaaa")
    assert same_thread_near(chart, 2, 1, 2) == ((1, 0), (2, 1))
    assert same_thread_near(chart, 3, 1, 2)[0] == (0, 0)
    assert same_thread_near(chart, 0, 0, 2, reach=1) == ()
    assert same_thread_near(chart, 1, 1, 1, reach=1)[:5] == ((0, 0), (0, -1), (-1, 0), (1, 0), (0, 1))


@given(st.integers(0, 2**31), squares, st.integers(0, 6))
def test_the_nearest_offsets_are_those_of_a_plain_search(
    random_chart: Callable[[int, int, int, int], Chart], seed: int, square: tuple[int, int], reach: int
) -> None:
    """Square by square round the place, sorted by distance, then row, then column."""
    chart = random_chart(15, 12, 3, seed)
    column, row = square[0] % 15, square[1] % 12
    around = range(-reach, reach + 1)
    expected = [
        (right, down)
        for right in around
        for down in around
        if chart.area.holds(column + right, row + down) and chart.squares[row + down, column + right] == 2
    ]
    expected.sort(key=lambda off: (off[0] ** 2 + off[1] ** 2, off[1], off[0]))
    assert same_thread_near(chart, column, row, 2, reach) == tuple(expected)
