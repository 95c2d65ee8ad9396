"""A chart seen turned looks as the turned chart would, and hands and rulers mean the squares they are on."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PySide6.QtCore import QPoint, QPointF, QRect, Qt
from PySide6.QtGui import QImage, QPainter
from PySide6.QtTest import QTest

from stitchview.canvas.bandgrip import cursor_for, edge_near
from stitchview.canvas.items import ItemStates
from stitchview.canvas.looks import Look
from stitchview.canvas.painting import ChartPainter
from stitchview.canvas.showing import Showing, turned_showing
from stitchview.canvas.strips import Tens
from stitchview.canvas.view import View
from stitchview.chart.area import Area
from stitchview.chart.turning import LEFT, MIRRORED, RIGHT, Turn, turned_chart
from stitchview.follow.band import Edge
from stitchview.follow.numbering import Numbering
from stitchview.ui.display import tens_of
from tests.canvas.charts import Making, full_chart
from tests.canvas.rulerstage import RulerStage
from tests.canvas.stage import Picture, Stage, Step, painter_of, pixels_of

StageFor = Callable[..., Stage]
TURNS = tuple(Turn(quarters, mirrored) for mirrored in (False, True) for quarters in range(4))
turns = st.sampled_from(TURNS)


def painted(painter: ChartPainter, view: View, showing: Showing) -> Picture:
    """The window as a painter paints it at once."""
    image = QImage(view.width, view.height, QImage.Format.Format_RGB32)
    pen = QPainter(image)
    painter.paint(pen, view, showing, QRect(0, 0, view.width, view.height))
    pen.end()
    return pixels_of(image)


@pytest.mark.parametrize("turn", TURNS[1:])
@pytest.mark.parametrize("pitch", [1, 2])
def test_from_far_the_picture_is_numpys_turned_picture(stage_for: StageFor, turn: Turn, pitch: int) -> None:
    """Where a square is one colour, what shows is the upright picture turned by numpy.rot90 and fliplr."""
    stage = stage_for(full_chart(Making(31, 24, 5), bare=True))
    if pitch == 1:
        # From 2 pixels a square on, states are told by a pattern in the square, which is not turned.
        stage.mark(0, 7, 90, 1)
    marks = stage.marks
    states = ItemStates(marks.parts, marks.lines, marks.points)
    look = Showing(look=Look())
    upright = painted(
        ChartPainter(marks.chart, marks.squares, states), View(31, 24, 31 * pitch, 24 * pitch, pitch), look
    )
    width, height = turn.size(31 * pitch, 24 * pitch)
    seen = painted(
        ChartPainter(marks.chart, marks.squares, states, turn),
        View(31, 24, width, height, pitch, turn=turn),
        look,
    )
    plain = np.rot90(np.fliplr(upright) if turn.mirrored else upright, k=-turn.quarters)
    # The border lies on the outermost pixels.
    inside = slice(pitch, -pitch), slice(pitch, -pitch)
    assert np.array_equal(plain[inside], seen[inside])


@settings(deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=40)
@given(turns, st.integers(0, 99), st.sampled_from([0.3, 1, 3, 8, 13, 24]), st.sampled_from(Numbering))
def test_a_turned_view_looks_as_the_turned_chart_would(
    stage_for: StageFor, turn: Turn, seed: int, pitch: float, numbering: Numbering
) -> None:
    """Squares, parts, lines, knots, band and bold lines: pixel for pixel a chart that was turned before."""
    stage = stage_for(full_chart(Making(37, 26, seed)))
    for family in range(4):
        stage.mark(family, seed, 40, 1)
    marks, size = stage.marks, (37, 26)
    lit = Area(seed % 20, seed % 11, 9, 7)
    showing = Showing(look=Look(worked=bool(seed % 2)), lit=lit, tens=tens_of(*size, numbering))
    view = View(*size, 150, 110, pitch, turn=turn).centred(seed % 37, seed % 26)
    seen = painted(painter_of(marks).turned(turn), view, showing)
    turned = turned_chart(marks.chart, turn)
    states = ItemStates(marks.parts, marks.lines, marks.points)
    plain_painter = ChartPainter(turned, np.ascontiguousarray(turn.grid(marks.squares)), states)
    plain_painter._threads = replace(plain_painter._threads, swapped=turn.swaps_slants)
    shown = turned_showing(showing, view)
    assert shown.lit == turn.area(lit, *size)
    assert np.array_equal(seen, painted(plain_painter, view.flat, shown))


@given(turns, st.integers(1, 45), st.integers(1, 45), st.sampled_from(Numbering))
def test_bold_lines_stay_between_the_same_squares(
    turn: Turn, columns: int, rows: int, numbering: Numbering
) -> None:
    """Turned, the lines that are drawn are those numpy's turned grid of lines has."""

    def lines(tens: Tens, wide: int, high: int) -> tuple[set[int], set[int]]:
        def along(tenth: int, centre: int | None, size: int) -> set[int]:
            if centre is None:
                return {line for line in range(1, size) if (line - tenth) % 10 == 0}
            before = {line for line in range(1, centre + 1) if (line - tenth) % 10 == 0}
            return before | {line for line in range(centre + 1, size) if (line - centre - 1) % 10 == 0}

        return along(tens.column, tens.centre_column, wide), along(tens.row, tens.centre_row, high)

    tens = tens_of(columns, rows, numbering)
    down, level = lines(tens, columns, rows)
    view = View(columns, rows, 100, 100, turn=turn)
    wide, high = turn.size(columns, rows)
    got = lines(turned_showing(Showing(tens=tens), view).tens, wide, high)
    # A line is turned as the point where it begins.
    want: tuple[set[int], set[int]] = (set(), set())
    for x in down:
        (x1, y1), (x2, _) = (turn.point(x, end, columns, rows) for end in (0, rows))
        want[0 if x1 == x2 else 1].add(int(x1 if x1 == x2 else y1))
    for y in level:
        (x1, y1), (x2, _) = (turn.point(end, y, columns, rows) for end in (0, columns))
        want[0 if x1 == x2 else 1].add(int(x1 if x1 == x2 else y1))
    assert got == want


@given(turns, st.sampled_from([0.4, 1, 7, 16]), st.integers(0, 149), st.integers(0, 109))
def test_every_pixel_belongs_to_the_square_it_shows(turn: Turn, pitch: float, x: int, y: int) -> None:
    """The square under a pixel is drawn over that pixel, and the point under it lies in that square."""
    view = View(37, 26, 150, 110, pitch, turn=turn).centred(18, 13)
    square = view.square_at(x, y)
    left, top, width, height = view.pixels_of(Area(*square, 1, 1))
    assert left - 1 <= x <= left + width
    assert top - 1 <= y <= top + height
    if pitch >= 1:
        assert left <= x < left + width
        assert top <= y < top + height
    point = view.exact_at(x, y)
    assert (int(np.floor(point[0])), int(np.floor(point[1]))) == square
    back = view.exact_pixel_of(*point)
    assert back == pytest.approx((x, y), abs=1e-6)


@given(turns, st.sampled_from([0.4, 1, 7, 16]))
def test_what_a_turned_window_holds(turn: Turn, pitch: float) -> None:
    """The squares under a rectangle of pixels are those under its corners and between them."""
    view = View(37, 26, 150, 110, pitch, turn=turn).centred(5, 20)
    area = view.area
    for x, y in ((0, 0), (149, 0), (0, 109), (149, 109), (75, 50)):
        square = view.square_at(x, y)
        assert area.holds(*square) or not Area(0, 0, 37, 26).holds(*square)
    near = View(37, 26, 50, 40, 16, turn=turn).centred(18, 13)
    assert near.turned(turn.then(RIGHT)).centre == pytest.approx(near.centre, abs=0.51 / 16 + 1e-6)


@pytest.mark.parametrize("turn", TURNS)
def test_an_edge_of_the_band_is_held_where_it_is_seen(stage_for: StageFor, turn: Turn) -> None:
    """Beside each side of the lit area the hand takes the edge that lies there on the chart."""
    stage = stage_for(full_chart(Making(40, 40, 2), bare=True), 300, 300)
    stage.canvas.set_turn(turn)
    stage.zoom(10, 0, 0)
    stage.canvas.set_lit(Area(15, 18, 8, 6))
    stage.canvas.centre_on(19, 21)
    ratio = stage.canvas.devicePixelRatioF()
    for edge, square in (
        (Edge.TOP, Area(18, 17, 1, 1)),
        (Edge.BOTTOM, Area(18, 24, 1, 1)),
        (Edge.LEFT, Area(14, 20, 1, 1)),
        (Edge.RIGHT, Area(23, 20, 1, 1)),
    ):
        x, y, width, height = stage.canvas.view.pixels_of(square)
        inner = stage.canvas.view.pixels_of(Area(18, 20, 1, 1))
        # From the middle of the square outside towards the band, three pixels before its edge.
        toward = np.sign(inner[0] - x) * (width / 2 - 3), np.sign(inner[1] - y) * (height / 2 - 3)
        step = (toward[0], 0) if edge_is_upright(edge, turn) else (0, toward[1])
        place = QPointF(x + width / 2 + step[0], y + height / 2 + step[1]) / ratio
        assert edge_near(stage.canvas, place) is edge
        upright = cursor_for(edge, turn) == Qt.CursorShape.SplitHCursor
        assert upright == edge_is_upright(edge, turn)


def edge_is_upright(edge: Edge, turn: Turn) -> bool:
    """Whether an edge is seen as an upright line."""
    return (edge in (Edge.LEFT, Edge.RIGHT)) != turn.lies


@pytest.mark.parametrize("turn", TURNS)
@pytest.mark.parametrize("orientation", [Qt.Orientation.Horizontal, Qt.Orientation.Vertical])
@pytest.mark.usefixtures("qapp")
def test_rulers_number_what_stands_beside_them(turn: Turn, orientation: Qt.Orientation) -> None:
    """A double click on a turned ruler calls the band to the column or row seen there."""
    stage = RulerStage(orientation, 40, 40)
    try:
        stage.turn_hoop(turn.quarters, turn.mirrored)
        stage.pan(-stage.view.left, -stage.view.top)
        down = orientation == Qt.Orientation.Vertical
        for along in (12, 21):
            place = along * int(stage.view.pitch) + 3
            ratio = stage.ruler.devicePixelRatioF()
            along_it = round((place - (stage.view.top if down else stage.view.left)) / ratio)
            spot = QPoint(3, along_it) if down else QPoint(along_it, 3)
            QTest.mouseDClick(stage.ruler, Qt.MouseButton.LeftButton, pos=spot)
            column, row = stage.told.calls[-1]
            seen = turn.square(column, row, 40, 40)
            assert seen[1 if down else 0] == along
        assert stage.ruler.accessibleName() == ("Row numbers" if down != turn.lies else "Column numbers")
    finally:
        stage.close()


@pytest.mark.parametrize("turn", [RIGHT, LEFT, MIRRORED])
def test_marks_show_at_once_on_a_turned_chart(stage_for: StageFor, turn: Turn) -> None:
    """A mark, a pan, a zoom and a band: the window equals one drawn afresh."""
    stage = stage_for(full_chart(Making(60, 50, 4)))
    stage.canvas.set_turn(turn)
    stage.take([Step("zoom", (9, 20, 20)), Step("band", (10, 12, 8, 9)), Step("turn")])
    for family in range(4):
        stage.take([Step("mark", (family, 30, 25, 1)), Step("pan", (13, -7)), Step("turn")])
        assert stage.difference() == ""
