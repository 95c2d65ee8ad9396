"""The numbers along a chart's edges tell which side is up, where it lies, what was missed."""

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from stitchview.sheets.digitshapes import digit_of
from stitchview.sheets.edgenumbers import edge_numbers
from stitchview.sheets.uprightness import UNKNOWN, upright
from tests.paper.looks import Look
from tests.paper.photographing import Photograph, photographed
from tests.paper.printing import Paper, printed_sheets


def sheet(condition: str, turns: int, look: Look | None = None) -> Photograph:
    """The right one of two sheets of a chart of 70 x 50 squares, lying in the picture as ``turns`` says."""
    page = printed_sheets(70, 50, 12, 3, Paper(across=2, overlap=4, look=look or Look())).pages[1]
    assert page.first == (33, 0)
    return photographed(page, condition, 3, turns)


def as_it_lies(taken: Photograph) -> NDArray[np.float64]:
    """The true nodes, the first being the top left one of the picture and not of the sheet."""
    return np.ascontiguousarray(np.rot90(taken.nodes, taken.turns)).astype(np.float64)


@pytest.mark.parametrize("turns", range(4))
@pytest.mark.parametrize("condition", ["scan", "careful"])
def test_numbers_tell_which_side_is_up(condition: str, turns: int) -> None:
    """Whatever way the picture lies, the numbers are read, and with them the sheet's place on the chart."""
    taken = sheet(condition, turns)
    told = edge_numbers(taken.picture.grey, as_it_lies(taken))
    assert told is not None
    assert told.turns == turns
    assert (told.column, told.row) == (33, 0)
    assert told.read >= 6
    assert not told.column_breaks
    assert not told.row_breaks


@pytest.mark.parametrize("turns", range(4))
def test_without_numbers_the_sheet_stays_as_it_lies(turns: int) -> None:
    """Where no numbers are printed nothing is guessed, and that is said."""
    taken = sheet("careful", turns, Look(numbered=frozenset()))
    assert edge_numbers(taken.picture.grey, as_it_lies(taken)) is None
    told = upright(taken.picture.grey, as_it_lies(taken))
    assert (told.turns, told.doubts) == (0, (UNKNOWN,))


def test_counts_given_by_a_person_turn_a_sheet_that_lies_on_its_side() -> None:
    """A sheet without numbers that is wider than high, but said to be higher than wide, is turned."""
    taken = sheet("careful", 1, Look(numbered=frozenset()))
    assert upright(taken.picture.grey, as_it_lies(taken), 37, 50).turns == 1
    assert upright(taken.picture.grey, as_it_lies(taken), 50, 37).turns == 0


def test_a_missed_column_is_noticed() -> None:
    """Where a column was lost in the count, the numbers beyond it contradict, and the place is named."""
    wide = printed_sheets(80, 30, 12, 3, Paper(look=Look())).pages[0]
    taken = photographed(wide, "scan", 3)
    nodes = np.delete(taken.nodes, 33, axis=1).astype(np.float64)
    told = edge_numbers(taken.picture.grey, nodes)
    assert told is not None
    assert len(told.column_breaks) == 1
    first, last = told.column_breaks[0]
    assert first <= 32 < last
    assert last - first <= 10
    assert not told.row_breaks
    said = upright(taken.picture.grey, nodes)
    assert 32 in said.doubted_columns
    assert any("do not fit the count between columns" in doubt for doubt in said.doubts)


def test_a_column_left_out_at_the_beginning_is_noticed() -> None:
    """A first column that was not seen is told by the numbers."""
    taken = photographed(printed_sheets(60, 30, 12, 3, Paper(look=Look())).pages[0], "scan", 3)
    said = upright(taken.picture.grey, taken.nodes[:, 1:].astype(np.float64))
    assert said.doubted_columns == {0}
    assert any("column is missing" in doubt for doubt in said.doubts)


@pytest.mark.parametrize("size", [16, 24, 40])
def test_printed_digits_are_told_apart(size: int) -> None:
    """Ten digits in Pillow's own type are read in several sizes; a bar is none."""
    for digit in range(10):
        image = Image.new("L", (3 * size, 3 * size), 0)
        font = ImageFont.load_default(size)
        ImageDraw.Draw(image).text((size, size), str(digit), fill=255, font=font)
        ink = np.asarray(image)
        rows, columns = np.nonzero(ink > 100)
        cut = ink[rows.min() : rows.max() + 1, columns.min() : columns.max() + 1]
        read = digit_of(cut)
        assert read is not None
        assert read[0] == digit
    assert digit_of(np.full((20, 40), 255, np.uint8)) is None
