"""Counting columns and rows from a corner or from the centre, against values worked out elsewhere."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.follow.numbering import (
    Counted,
    Numbering,
    Way,
    centre_line,
    column_counted,
    row_counted,
    ruler_numbers,
    tens_lines,
)

sizes = st.integers(1, 4096)


def test_column_237_and_row_412_have_the_blocks_of_the_outside_list() -> None:
    """Column 237 is place 7 of block 24, row 412 place 2 of block 42 (checks.md, section 5)."""
    assert column_counted(236, 600, Numbering.TOP_LEFT) == Counted(237, 24, 7)
    assert row_counted(411, 500, Numbering.TOP_LEFT) == Counted(412, 42, 2)


def test_the_centre_of_600_is_a_line_and_of_601_a_column() -> None:
    """Of 600 columns the centre lies between 300 and 301, of 601 in the middle of 301 (checks.md, H2)."""
    assert centre_line(600) == 300.0
    assert column_counted(299, 600, Numbering.CENTRE) == Counted(1, 1, 1, "left")
    assert column_counted(300, 600, Numbering.CENTRE) == Counted(1, 1, 1, "right")
    assert centre_line(601) == 300.5
    assert column_counted(300, 601, Numbering.CENTRE) == Counted(0, 0, 0, "centre")
    assert column_counted(299, 601, Numbering.CENTRE) == Counted(1, 1, 1, "left")
    assert column_counted(301, 601, Numbering.CENTRE) == Counted(1, 1, 1, "right")


@pytest.mark.parametrize(
    ("numbering", "column", "row"),
    [
        (Numbering.TOP_LEFT, Counted(1, 1, 1), Counted(1, 1, 1)),
        (Numbering.TOP_RIGHT, Counted(25, 3, 5), Counted(1, 1, 1)),
        (Numbering.BOTTOM_LEFT, Counted(1, 1, 1), Counted(31, 4, 1)),
        (Numbering.BOTTOM_RIGHT, Counted(25, 3, 5), Counted(31, 4, 1)),
        (Numbering.CENTRE, Counted(12, 2, 2, "left"), Counted(15, 2, 5, "up")),
    ],
)
def test_the_top_left_square_is_named_from_every_corner(
    numbering: Numbering, column: Counted, row: Counted
) -> None:
    """On a chart of 25 x 31 the top left square has another name from each corner (counted by hand)."""
    assert column_counted(0, 25, numbering) == column
    assert row_counted(0, 31, numbering) == row


@pytest.mark.parametrize(
    ("size", "way", "numbers"),
    [
        (4, Way.ON, [1, 2, 3, 4]),
        (4, Way.BACK, [4, 3, 2, 1]),
        (4, Way.OUT, [-2, -1, 1, 2]),
        (5, Way.OUT, [-2, -1, 0, 1, 2]),
        (1, Way.OUT, [0]),
    ],
)
def test_rulers_carry_these_numbers(size: int, way: Way, numbers: list[int]) -> None:
    """The rulers of tiny charts, written out by hand."""
    assert ruler_numbers(size, way).tolist() == numbers


@given(sizes, st.sampled_from(Numbering), st.data())
def test_ruler_and_place_line_never_disagree(size: int, numbering: Numbering, data: st.DataObject) -> None:
    """The number on the ruler is the number that the place line says."""
    square = data.draw(st.integers(0, size - 1))
    counted = column_counted(square, size, numbering)
    assert abs(int(ruler_numbers(size, numbering.across)[square])) == counted.number
    assert row_counted(square, size, numbering).number == abs(
        int(ruler_numbers(size, numbering.down)[square])
    )


@given(sizes, st.sampled_from(Way))
def test_bold_lines_stand_where_a_new_ten_begins(size: int, way: Way) -> None:
    """Between two bold lines all squares belong to one block of ten, and beside a line to two blocks."""
    numbers = ruler_numbers(size, way)
    blocks = np.sign(numbers) * ((np.abs(numbers) - 1) // 10 + 1)
    changes = [0, *(np.flatnonzero(np.diff(blocks)) + 1).tolist(), size]
    assert list(tens_lines(size, way)) == changes


@given(sizes, st.sampled_from(Way))
def test_no_two_squares_of_a_ruler_carry_one_number(size: int, way: Way) -> None:
    """Every square of a ruler has a number of its own."""
    assert len(set(ruler_numbers(size, way).tolist())) == size
