"""Part stitches drawn and rubbed out by hand are in the file, and another reading leaves them so."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from stitchview.chart.fileformat import read_chart, write_chart
from stitchview.chart.model import Chart
from stitchview.chart.stitches import LineKind, PartShape
from stitchview.sheets.pencil import rubbed_out, with_line, with_point, with_squares
from stitchview.sheets.pencilparts import PartKind, with_part
from stitchview.sheets.rereading import laid_onto

CORNERS = {
    (0.2, 0.2): ("HALF_FALLING", "QUARTER_TOP_LEFT", "THREE_QUARTER_TOP_LEFT"),
    (0.8, 0.2): ("HALF_RISING", "QUARTER_TOP_RIGHT", "THREE_QUARTER_TOP_RIGHT"),
    (0.2, 0.8): ("HALF_RISING", "QUARTER_BOTTOM_LEFT", "THREE_QUARTER_BOTTOM_LEFT"),
    (0.8, 0.8): ("HALF_FALLING", "QUARTER_BOTTOM_RIGHT", "THREE_QUARTER_BOTTOM_RIGHT"),
}
# A full cross of the small chart.
COLUMN, ROW = 1, 1


@pytest.fixture
def chart(small_chart: Callable[[], Chart]) -> Chart:
    """The small chart; square (1, 1) holds a full cross."""
    chart = replace(small_chart(), identity="0b8f4a52-6d0e-4c1b-9a37-5f2c8d1e6b90")
    assert chart.squares[ROW, COLUMN]
    return chart


def parts_at(chart: Chart, column: int, row: int) -> list[tuple[str, int]]:
    """The part stitches of a square, (shape, key number)."""
    here = np.flatnonzero((chart.parts.columns == column) & (chart.parts.rows == row))
    return [(PartShape(int(chart.parts.shapes[at])).name, int(chart.parts.keys[at])) for at in here]


def written(chart: Chart, folder: Path) -> Chart:
    """The chart written and read again; a file that breaks a rule of the format is refused there."""
    write_chart(chart, folder / "drawn.svchart")
    return read_chart(folder / "drawn.svchart")


@pytest.mark.parametrize("place", CORNERS)
@pytest.mark.parametrize("at", range(3))
def test_the_corner_that_is_pressed_says_which_part_stitch(
    chart: Chart, place: tuple[float, float], at: int, tmp_path: Path
) -> None:
    """It takes the place of the full cross, and is noted as corrected by hand."""
    kind = list(PartKind)[at]
    after = written(with_part(chart, COLUMN + place[0], ROW + place[1], kind, 2), tmp_path)
    assert parts_at(after, COLUMN, ROW) == [(CORNERS[place][at], 2)]
    assert not after.squares[ROW, COLUMN]
    assert len(after.by_hand) == len(chart.by_hand) + 1
    assert len(after.parts) == len(chart.parts) + 1


def test_by_key_each_press_goes_on_to_the_next(chart: Chart, tmp_path: Path) -> None:
    """The middle of a square is no corner: four presses come to all four, the fifth to the first again."""
    seen = []
    for _ in range(5):
        chart = with_part(chart, COLUMN + 0.5, ROW + 0.5, PartKind.QUARTER, 3)
        ((shape, number),) = parts_at(written(chart, tmp_path), COLUMN, ROW)
        assert number == 3
        seen.append(shape)
    assert len(set(seen[:4])) == 4
    assert seen[4] == seen[0]


def test_a_square_holds_four_parts_and_each_shape_once(chart: Chart, tmp_path: Path) -> None:
    """The same shape in another thread takes the place of the first; a fifth part is not taken."""
    for number, place in enumerate(CORNERS, 1):
        chart = with_part(chart, COLUMN + place[0], ROW + place[1], PartKind.QUARTER, number)
    assert len(parts_at(chart, COLUMN, ROW)) == 4
    assert with_part(chart, COLUMN + 0.2, ROW + 0.2, PartKind.HALF, 1) is chart
    again = with_part(chart, COLUMN + 0.2, ROW + 0.2, PartKind.QUARTER, 4)
    assert ("QUARTER_TOP_LEFT", 4) in parts_at(written(again, tmp_path), COLUMN, ROW)
    assert len(parts_at(again, COLUMN, ROW)) == 4
    assert with_part(chart, -1, 3, PartKind.QUARTER, 1) is chart
    assert with_part(chart, 1, 1, PartKind.QUARTER, 0) is chart


def test_a_full_cross_takes_the_place_of_the_parts(chart: Chart, tmp_path: Path) -> None:
    """Otherwise the file would hold both, and no other program could open it."""
    parted = with_part(chart, COLUMN + 0.2, ROW + 0.2, PartKind.QUARTER, 2)
    whole = written(with_squares(parted, [(COLUMN, ROW)], 3), tmp_path)
    assert not parts_at(whole, COLUMN, ROW)
    assert whole.squares[ROW, COLUMN] == 3


def test_the_part_next_to_the_press_is_rubbed_out_for_good(chart: Chart, tmp_path: Path) -> None:
    """One of two goes, then the other; read again from paper, neither they nor the cross come back."""
    two = with_part(chart, COLUMN + 0.2, ROW + 0.2, PartKind.QUARTER, 2)
    two = with_part(two, COLUMN + 0.8, ROW + 0.8, PartKind.QUARTER, 3)
    one = written(rubbed_out(two, COLUMN + 0.7, ROW + 0.75), tmp_path)
    assert parts_at(one, COLUMN, ROW) == [("QUARTER_TOP_LEFT", 2)]
    none = rubbed_out(one, COLUMN + 0.7, ROW + 0.75)
    assert not parts_at(none, COLUMN, ROW)
    again = laid_onto(none, chart, (0, 0), list(range(1, len(chart.key) + 1)))
    assert not again.squares[ROW, COLUMN]
    assert not parts_at(again, COLUMN, ROW)


def test_straight_stitches_are_lines_of_their_own(chart: Chart, tmp_path: Path) -> None:
    """A back stitch may lie where a straight one lies; the same one drawn twice is there once."""
    drawn = with_line(chart, (4, 6), (10, 6), 2, LineKind.STRAIGHT)
    drawn = with_line(drawn, (4, 6), (10, 6), 2)
    assert drawn.lines.kinds[-2:].tolist() == [LineKind.STRAIGHT, LineKind.BACK]
    assert with_line(drawn, (10, 6), (4, 6), 2) is drawn
    other = written(with_line(drawn, (10, 6), (4, 6), 3), tmp_path)
    assert len(other.lines) == len(chart.lines) + 2


def test_a_knot_drawn_twice_is_there_once(chart: Chart, tmp_path: Path) -> None:
    """In another thread it takes the place of the first."""
    drawn = with_point(chart, (7, 3), 1)
    assert with_point(drawn, (7, 3), 1) is drawn
    other = written(with_point(drawn, (7, 3), 2), tmp_path)
    assert len(other.points) == len(chart.points) + 1
    assert other.points.keys[-1] == 2
