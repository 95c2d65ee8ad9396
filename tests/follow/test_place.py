"""Where am I: the place line, from the square under the pointer."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.chart.area import Area
from stitchview.chart.model import Chart, KeyEntry, Sheet, Symbol, Thread
from stitchview.chart.stitches import PartShape
from stitchview.done.change import DONE, FIRST_LEG, LATER, MISTAKE, OPEN, Selection
from stitchview.done.marks import Marks, change_to
from stitchview.follow.numbering import Numbering
from stitchview.follow.place import PART_WORDS, OnSheet, left_words, place_of, sentence, thread_words

SLATE = KeyEntry("a", Symbol("a"), "Slate blue", "17")


@pytest.fixture(scope="module")
def harbour_wall() -> Chart:
    """600 x 500 squares of one thread on three paper sheets, the first two overlapping by three columns."""
    squares = np.ones((500, 600), np.uint16)
    squares[0, 0] = 0
    sheets = (
        Sheet("Sheet 1", Area(0, 0, 240, 500)),
        Sheet("Sheet 2", Area(237, 0, 200, 500)),
        Sheet("Sheet 3", Area(437, 0, 100, 500)),
    )
    return Chart(squares, (SLATE,), sheets=sheets)


def test_the_place_line_says_it_in_plain_words(harbour_wall: Chart) -> None:
    """Column 237, row 412, with the blocks of checks.md, section 5, the sheet and the thread."""
    place = place_of(harbour_wall, 236, 411, Numbering.TOP_LEFT)
    assert place is not None
    assert sentence(place) == (
        "Column 237 (block 24, place 7), row 412 (block 42, place 2). "
        "On “Sheet 1”: column 237, row 412. Slate blue, number 17."
    )


def test_a_square_printed_on_two_sheets_is_named_on_both(harbour_wall: Chart) -> None:
    """Sheets repeat a few columns of their neighbours; the square is told on each."""
    place = place_of(harbour_wall, 238, 0, Numbering.TOP_LEFT)
    assert place is not None
    assert place.sheets == (OnSheet("Sheet 1", 239, 1), OnSheet("Sheet 2", 2, 1))


def test_from_the_centre_the_side_is_told(harbour_wall: Chart) -> None:
    """Counted from the centre a place needs its side."""
    place = place_of(harbour_wall, 299, 262, Numbering.CENTRE)
    assert place is not None
    assert sentence(place).startswith(
        "Column 1 left of the centre (block 1, place 1), row 13 down from the centre (block 2, place 3). "
    )


def test_the_middle_column_of_an_odd_chart_is_called_so() -> None:
    """The centre line of 601 columns runs through column 301."""
    chart = Chart(np.ones((3, 601), np.uint16), (SLATE,))
    place = place_of(chart, 300, 0, Numbering.CENTRE)
    assert place is not None
    assert sentence(place) == (
        "Column on the centre line, row 1 up from the centre (block 1, place 1). Slate blue, number 17."
    )


def test_an_empty_square_off_all_sheets_is_told_plainly() -> None:
    """No stitch and no sheet: the line says no stitch."""
    place = place_of(Chart(np.zeros((2, 2), np.uint16), ()), 0, 0, Numbering.TOP_LEFT)
    assert place is not None
    assert sentence(place) == "Column 1 (block 1, place 1), row 1 (block 1, place 1). No stitch here."


@pytest.mark.parametrize("square", [(-1, 0), (0, -1), (600, 0), (0, 500)])
def test_outside_the_chart_there_is_no_place(harbour_wall: Chart, square: tuple[int, int]) -> None:
    """One square beyond any edge is nowhere."""
    assert place_of(harbour_wall, *square, Numbering.TOP_LEFT) is None


def test_two_part_stitches_in_one_square_are_both_told(small_chart: Callable[[], Chart]) -> None:
    """Part stitches of two threads in one square are told one after the other."""
    chart = small_chart()
    place = place_of(chart, 5, 5, Numbering.TOP_LEFT)
    assert place is not None
    assert [part.shape for part in place.parts] == [
        PartShape.QUARTER_TOP_LEFT,
        PartShape.THREE_QUARTER_BOTTOM_RIGHT,
    ]
    assert "Quarter stitch, top left: Sample cotton 2, shade 2, number 2." in sentence(place)
    assert "Three-quarter stitch, bottom right: Sample cotton 3, shade 3, number 3." in sentence(place)
    assert "No stitch" not in sentence(place)


@given(st.integers(0, 11), st.integers(0, 9), st.sampled_from(Numbering))
def test_every_square_has_a_place(
    small_chart: Callable[[], Chart], column: int, row: int, numbering: Numbering
) -> None:
    """From every corner each square has its thread, its sheets and a sentence ending in a full stop."""
    chart = small_chart()
    place = place_of(chart, column, row, numbering)
    assert place is not None
    number = int(chart.squares[row, column])
    assert place.entry == (chart.key[number - 1] if number else None)
    assert {sheet.name for sheet in place.sheets} == {
        sheet.name for sheet in chart.sheets if sheet.area.holds(column, row)
    }
    assert sentence(place).endswith(".")


def test_every_part_stitch_has_its_words() -> None:
    """No part stitch is without a name."""
    assert set(PART_WORDS) == set(PartShape)
    assert len(set(PART_WORDS.values())) == len(PartShape)


def test_a_blend_names_its_threads() -> None:
    """Two threads in one needle are both named; a thread without a name goes by its symbol."""
    blend = replace(SLATE, name="Dusk", number="", blend=(Thread("slate blue"), Thread("lamp yellow")))
    assert thread_words(blend) == "Dusk (blend of slate blue and lamp yellow)"
    assert thread_words(replace(SLATE, name="", number="")) == "Thread of symbol a"


@pytest.mark.parametrize(
    ("left", "squares", "over", "words"),
    [
        (1234, 4000, 0, "1,234 of 4,000 crosses and part stitches left in the band."),
        (4, 40, 1, "4 of 40 crosses and part stitches left in the band, and 1 line, knot or bead."),
        (0, 4000, 0, "All crosses and part stitches in the band are done."),
        (0, 4000, 12, "All crosses and part stitches in the band are done; 12 lines, knots or beads left."),
        (0, 0, 0, "No crosses or part stitches in the band."),
        (0, 0, 2, "No crosses or part stitches in the band; 2 lines, knots or beads left."),
    ],
)
def test_what_is_left_in_the_band_is_told(left: int, squares: int, over: int, words: str) -> None:
    """The place line ends with what is left in the band; back stitch that waits is not called done."""
    assert left_words(left, squares, over) == words


@pytest.mark.parametrize(
    ("state", "words"),
    [
        (OPEN, ""),
        (DONE, " Done."),
        (FIRST_LEG, " A first leg, to be crossed."),
        (LATER, " Left for later."),
        (MISTAKE, " A mistake, to be unpicked."),
    ],
)
def test_the_place_line_says_the_state_of_a_square(harbour_wall: Chart, state: int, words: str) -> None:
    """With the marks at hand, the state stands at the end; a square without a stitch has none."""
    marks = Marks(harbour_wall)
    change = change_to(marks, Selection(np.array([411 * 600 + 236])), state)
    if change is not None:
        marks.apply(change)
    place = place_of(harbour_wall, 236, 411, Numbering.TOP_LEFT, marks)
    assert place is not None
    assert sentence(place).endswith(f"Slate blue, number 17.{words}")
    bare = place_of(harbour_wall, 0, 0, Numbering.TOP_LEFT, marks)
    assert bare is not None
    assert sentence(bare).endswith("No stitch here.")
