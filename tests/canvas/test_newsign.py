"""What is new since a moment is washed over the chart: just those stitches, at every size, as marks come."""

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray
from PySide6.QtCore import QRect
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QApplication

from stitchview.canvas.newsign import NewSign, draw_new, new_squares
from stitchview.canvas.view import View
from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.change import DONE, FIRST_LEG, OPEN, Selection
from stitchview.done.marks import Marks, change_to, open_states


def drawn(sign: NewSign, view: View) -> NDArray[np.bool_]:
    """Where something is drawn, pixel by pixel."""
    image = QImage(view.width, view.height, QImage.Format.Format_ARGB32_Premultiplied)
    image.fill(0)
    painter = QPainter(image)
    draw_new(painter, view, sign, QColor("#A3540A"), QRect(0, 0, view.width, view.height))
    painter.end()
    pixels = np.frombuffer(image.constBits(), np.uint32).reshape(view.height, view.width)
    seen: NDArray[np.bool_] = pixels != 0
    return seen


def mark(marks: Marks, squares: list[int], state: int = DONE) -> None:
    change = change_to(marks, Selection(np.array(squares)), state)
    assert change is not None
    marks.apply(change)


@pytest.fixture
def marks(qapp: QApplication, random_chart: Callable[[int, int, int, int], Chart]) -> Marks:
    """A chart of 40 x 30 whole stitches."""
    chart = random_chart(40, 30, 3, 1)
    return Marks(chart)


@pytest.mark.parametrize(("pitch", "left", "top"), [(1, 0, 0), (4, 0, 0), (10, 37, 22), (17, 100, 90)])
def test_just_the_new_squares_are_washed(marks: Marks, pitch: int, left: int, top: int) -> None:
    """Every pixel of a new square, and none of another: what was done, unpicked or begun is not new."""
    stitched = np.flatnonzero(marks.chart.squares.ravel()).tolist()
    mark(marks, stitched[:60])
    squares, parts, lines, points = (each.copy() for each in marks.families)
    mark(marks, stitched[:5], OPEN)
    mark(marks, stitched[100:104], FIRST_LEG)
    mark(marks, stitched[60:90])
    sign = NewSign(marks.chart, (squares, parts, lines, points), marks.families)
    view = View(40, 30, 400, 300, pitch, left, top)
    expected = np.zeros((300, 400), bool)
    for flat in stitched[60:90]:
        x, y, width, height = view.pixels_of(Area(flat % 40, flat // 40, 1, 1))
        if x + width > 0 and y + height > 0:
            expected[max(0, y) : max(0, y + height), max(0, x) : max(0, x + width)] = True
    assert np.array_equal(drawn(sign, view), expected)
    assert new_squares(sign, marks.chart.area).sum() == 30


def test_far_out_it_still_shows(marks: Marks) -> None:
    """With several squares a pixel a new area is seen where it lies, and nothing elsewhere."""
    before = open_states(marks.chart)
    mark(marks, [row * 40 + column for row in range(10, 20) for column in range(10, 20)])
    found = drawn(NewSign(marks.chart, before, marks.families), View(40, 30, 20, 15, 0.5))
    assert found[5:10, 5:10].mean() > 0.5
    found[4:11, 4:11] = False
    assert not found.any()


def test_it_follows_the_marks(marks: Marks) -> None:
    """What is marked while it is shown is washed at the next drawing, without being told."""
    sign = NewSign(marks.chart, open_states(marks.chart), marks.families)
    view = View(40, 30, 400, 300, 10)
    assert not drawn(sign, view).any()
    mark(marks, np.flatnonzero(marks.chart.squares.ravel())[:3].tolist())
    assert drawn(sign, view).sum() == 300


def test_lines_knots_and_parts_are_washed_too(qapp: QApplication, small_chart: Callable[[], Chart]) -> None:
    """Back stitch, knots and part stitches that came are seen; off the window nothing is drawn."""
    chart = small_chart()
    for family in ("parts", "lines", "points"):
        marks = Marks(chart)
        count = len(getattr(chart, family))
        change = change_to(marks, Selection(**{family: np.arange(count)}), DONE)
        assert change is not None
        marks.apply(change)
        sign = NewSign(chart, open_states(chart), marks.families)
        assert drawn(sign, View(12, 10, 240, 200, 20)).any(), family
        assert not drawn(sign, View(12, 10, 50, 50, 20, -60, -60)).any()
