"""Two real printed charts (1886, public domain), followed and marked by hand, counted against their truth.

Source: Encyclopedia of Needlework, figs. 288 and 289, Project Gutenberg ebook 20776; the truth grids
lie in the shared folder beside the plates.
"""

import json
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from stitchview.canvas.hands import Tool
from stitchview.canvas.looks import Look
from stitchview.canvas.touch import Shape
from stitchview.chart.area import Area
from stitchview.chart.colour import Colour
from stitchview.chart.model import Chart, KeyEntry, Symbol
from stitchview.done.shapes import Takes
from stitchview.follow.band import band_of_rows, every_line
from tests.canvas.handstage import CTRL, HandStage

PLATES = ("plate-288", "plate-289")
SIGNS = "□·×■#★◆║▲○▼"


def truth_of(shared: Path, plate: str) -> dict[str, Any]:
    """The truth file of a plate."""
    truth: dict[str, Any] = json.loads((shared / "plates" / f"{plate}.truth.json").read_text("utf-8"))
    return truth


def chart_of(truth: dict[str, Any]) -> Chart:
    """The chart a person read from the plate: one key entry a sign, black thread on white cloth."""
    letters = sorted(truth["classes"])
    squares = np.array([[letters.index(letter) + 1 for letter in row] for row in truth["grid"]], np.uint16)
    key = tuple(
        KeyEntry(letter, Symbol(SIGNS[number]), truth["classes"][letter], colour=Colour(20 * number, 40, 90))
        for number, letter in enumerate(letters)
    )
    return Chart(squares, key, identity=truth["image"])


@pytest.fixture(params=PLATES)
def truth(request: pytest.FixtureRequest, shared: Path) -> dict[str, Any]:
    """The truth of one plate after the other."""
    return truth_of(shared, request.param)


@pytest.fixture
def hands(truth: dict[str, Any], hands_on: Callable[[Chart], HandStage]) -> HandStage:
    """Hands with the marking tool on the plate's chart, in the look of paper."""
    hands = hands_on(chart_of(truth))
    hands.canvas.set_look(Look(paper=True))
    hands.hands.set_tool(Tool.MARK)
    return hands


def letters_done(hands: HandStage) -> Counter[str]:
    """How many squares of each sign are marked."""
    marks = hands.stage.marks
    numbers = marks.chart.squares[marks.squares == 1].tolist()
    return Counter(marks.chart.key[number - 1].code for number in numbers)


def test_rows_are_followed_and_swept(truth: dict[str, Any], hands: HandStage) -> None:
    """Row by row under the band, each swept from end to end: the counts are those of the truth."""
    chart = hands.stage.chart
    band, lines = band_of_rows(0, 1), every_line(chart.columns, chart.rows)
    wanted: Counter[str] = Counter()
    for row in range(10):
        hands.canvas.set_lit(band.inside(chart.area))
        hands.canvas.zoom_to_pitch(5, 0, 0)
        hands.canvas.reveal(Area(0, row, chart.columns, 1))
        hands.stroke((0.5, row + 0.5), (chart.columns - 0.5, row + 0.5))
        wanted.update(truth["grid"][row])
        assert letters_done(hands) == wanted
        band = band.moved(lines, rows=1)
    assert hands.stage.difference() == ""


def test_one_thread_after_the_other(truth: dict[str, Any], hands: HandStage) -> None:
    """With one thread in hand a rectangle over everything takes exactly that thread's squares."""
    chart = hands.stage.chart
    hands.hands.shape = Shape.RECTANGLE
    counted = Counter(letter for row in truth["grid"] for letter in row)
    hands.canvas.show_area(chart.area)
    for number, entry in enumerate(chart.key, 1):
        hands.canvas.set_in_hand(number)
        hands.doing.takes = Takes(only=number)
        before = letters_done(hands)
        hands.stroke((0.5, 0.5), (chart.columns - 0.5, chart.rows - 0.5))
        assert letters_done(hands) - before == Counter({entry.code: counted[entry.code]})
    assert letters_done(hands) == counted
    assert hands.stage.difference() == ""


def test_unpicked_squares_are_to_do_again(truth: dict[str, Any], hands: HandStage) -> None:
    """What she unpicks and undoes leaves the counts of the truth behind."""
    chart = hands.stage.chart
    hands.hands.shape = Shape.RECTANGLE
    hands.canvas.show_area(chart.area)
    hands.stroke((0.5, 0.5), (chart.columns - 0.5, chart.rows - 0.5))
    hands.stroke((10.5, 5.5), (29.5, 14.5), held=CTRL)
    counted = Counter(letter for row in truth["grid"] for letter in row)
    unpicked = Counter(letter for row in truth["grid"][5:15] for letter in row[10:30])
    assert letters_done(hands) == counted - unpicked
    hands.stage.undo()
    assert letters_done(hands) == counted


def test_patches_of_the_print_are_found(truth: dict[str, Any], hands: HandStage) -> None:
    """A patch of one sign, as an eye would follow it on the paper, is marked by one click in it."""
    hands.hands.shape = Shape.PATCH
    hands.canvas.show_area(hands.stage.chart.area)
    for column, row in ((0, 0), (20, 20), (40, 11)):
        wanted = joined(truth["grid"], column, row)
        hands.stroke((column + 0.5, row + 0.5))
        assert wanted <= hands.done
    assert {truth["grid"][row][column] for column, row in hands.done} == {
        truth["grid"][row][column] for column, row in ((0, 0), (20, 20), (40, 11))
    }


def joined(grid: list[str], column: int, row: int) -> set[tuple[int, int]]:
    """The squares joined to one, found by walking from neighbour to neighbour."""
    letter, found, open_ends = grid[row][column], set(), [(column, row)]
    while open_ends:
        x, y = open_ends.pop()
        inside = 0 <= x < len(grid[0]) and 0 <= y < len(grid)
        if inside and (x, y) not in found and grid[y][x] == letter:
            found.add((x, y))
            open_ends += [(x + 1, y), (x - 1, y), (x, y + 1), (x, y - 1)]
    return found


def test_the_whole_plate_can_be_looked_over(truth: dict[str, Any], hands: HandStage) -> None:
    """Panning over the plate by keys held and wheel shows every square where the truth has it."""
    chart = hands.stage.chart
    assert (chart.columns, chart.rows) == (truth["columns"], truth["rows"])
    hands.canvas.zoom_to_pitch(20, 0, 0)
    hands.canvas.centre_on(0, 0)
    QTest.keyPress(hands.canvas, Qt.Key.Key_Space)
    while hands.canvas.view.area.bottom < chart.rows:
        hands.wheel((0, -120))
    QTest.keyRelease(hands.canvas, Qt.Key.Key_Space)
    assert hands.stage.difference() == ""
