"""Rulers: they follow the canvas, and the band is moved and stretched on them by hand."""

from collections.abc import Callable, Iterator, Sequence

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from stitchview.canvas.looks import Look
from stitchview.chart.colour import contrast, ink_on
from stitchview.follow.band import Band, Edge
from stitchview.follow.numbering import Numbering
from stitchview.follow.span import Span
from tests.canvas.rulerstage import CORNER, HAPPENINGS, ORIENTATIONS, RulerStage, keeps_its_promise
from tests.canvas.stage import Step

ACROSS, DOWN = Qt.Orientation.Horizontal, Qt.Orientation.Vertical
LEFT = Qt.MouseButton.LeftButton
RulerFor = Callable[..., RulerStage]


@pytest.fixture
def ruler_for(qapp: QApplication) -> Iterator[RulerFor]:
    """A builder of a ruler in a window, 8 pixels a square, beginning with the chart's first square."""
    assert qapp
    stages: list[RulerStage] = []

    def build(orientation: Qt.Orientation, columns: int = 83, rows: int = 64) -> RulerStage:
        stage = RulerStage(orientation, columns, rows)
        stage.pan(-stage.view.left, -stage.view.top)
        stage.turn()
        stages.append(stage)
        return stage

    yield build
    for stage in stages:
        stage.close()


def at(stage: RulerStage, along: float) -> QPoint:
    """The place on a ruler so many squares from the chart's start."""
    place = round(along * stage.view.pitch) - (
        stage.view.top if stage.orientation == DOWN else stage.view.left
    )
    return QPoint(10, place) if stage.orientation == DOWN else QPoint(place, 10)


def drag(stage: RulerStage, start: float, *stops: float) -> None:
    """Press the hand down at a line, move over others, and let go at the last."""
    QTest.mousePress(stage.ruler, LEFT, pos=at(stage, start))
    for stop in stops:
        QTest.mouseMove(stage.ruler, at(stage, stop))
    QTest.mouseRelease(stage.ruler, LEFT, pos=at(stage, stops[-1]))


@pytest.mark.usefixtures("qapp")
@settings(max_examples=60, suppress_health_check=list(HealthCheck))
@given(ORIENTATIONS, st.integers(1, 200), HAPPENINGS)
def test_a_ruler_shows_what_a_fresh_one_would(
    orientation: Qt.Orientation, columns: int, happenings: Sequence[Step]
) -> None:
    """After any pans, zooms, bands and pointers nothing is left over on a ruler."""
    keeps_its_promise(orientation, columns, happenings)


@pytest.mark.parametrize("orientation", [ACROSS, DOWN])
def test_the_ends_of_the_bar_stretch_the_band(ruler_for: RulerFor, orientation: Qt.Orientation) -> None:
    """Dragging an end of the bar asks for the edge to lie on the line nearest to the hand."""
    stage = ruler_for(orientation)
    stage.band(10, 5)
    drag(stage, 10, 7.8, 6.3)
    first, last = (Edge.TOP, Edge.BOTTOM) if orientation == DOWN else (Edge.LEFT, Edge.RIGHT)
    assert stage.told.edges == [(first, 8), (first, 6)]
    drag(stage, 15, 17.6)
    assert stage.told.edges[2:] == [(last, 18)]
    assert not stage.told.moves


@pytest.mark.parametrize("orientation", [ACROSS, DOWN])
def test_the_middle_of_the_bar_moves_the_band(ruler_for: RulerFor, orientation: Qt.Orientation) -> None:
    """Dragging the bar by its middle asks for the band to begin where its start comes to lie."""
    stage = ruler_for(orientation)
    stage.band(10, 6)
    drag(stage, 13, 13.1, 15.2, 20)
    begins = [15 - 3, 20 - 3]
    wanted = [(None, first) if orientation == DOWN else (first, None) for first in begins]
    assert stage.told.moves == wanted
    assert not stage.told.edges


@pytest.mark.parametrize("count", [1, 2])
@pytest.mark.parametrize("pitch", [1, 8])
def test_a_short_bar_can_be_stretched_and_moved(ruler_for: RulerFor, count: int, pitch: int) -> None:
    """Even a bar of one square can be made longer at either end, from just outside it."""
    stage = ruler_for(ACROSS)
    stage.zoom(pitch)
    stage.band(10, count)
    beyond = 4 / pitch
    drag(stage, 10 - beyond, 10 - 2 * beyond)
    drag(stage, 10 + count + beyond, 10 + count + 2 * beyond)
    assert [edge for edge, _ in stage.told.edges] == [Edge.LEFT, Edge.RIGHT]
    drag(stage, 10 + count / 2, 30)
    assert len(stage.told.moves) == (1 if pitch * count > 1 else 0)


def test_without_a_band_nothing_can_be_dragged(ruler_for: RulerFor) -> None:
    """On a ruler along which no band lies, a drag does nothing."""
    stage = ruler_for(ACROSS)
    stage.ruler.set_band(Band(rows=Span(3, 4)))
    drag(stage, 3, 9)
    drag(stage, 5, 9)
    assert (stage.told.edges, stage.told.moves) == ([], [])


def test_other_buttons_take_no_hold(ruler_for: RulerFor) -> None:
    """Only the left button drags the band."""
    stage = ruler_for(ACROSS)
    stage.band(10, 5)
    QTest.mousePress(stage.ruler, Qt.MouseButton.RightButton, pos=at(stage, 12))
    QTest.mouseMove(stage.ruler, at(stage, 20))
    assert not stage.told.moves


@pytest.mark.parametrize("orientation", [ACROSS, DOWN])
def test_a_double_click_calls_the_band(ruler_for: RulerFor, orientation: Qt.Orientation) -> None:
    """A double click brings the band to the column or row; along the other ruler it stays where it is."""
    stage = ruler_for(orientation)
    stage.ruler.set_band(Band(rows=Span(30, 5), columns=Span(40, 3)))
    QTest.mouseDClick(stage.ruler, LEFT, pos=at(stage, 22.5))
    assert stage.told.calls == [(41, 22) if orientation == DOWN else (22, 32)]
    stage.ruler.set_band(None)
    QTest.mouseDClick(stage.ruler, LEFT, pos=at(stage, 5.5))
    middle = [int(centre) for centre in stage.view.centre]
    assert stage.told.calls[1] == ((middle[0], 5) if orientation == DOWN else (5, middle[1]))


def test_a_double_click_beside_the_chart_does_nothing(ruler_for: RulerFor) -> None:
    """Beyond the chart's end there is nothing to bring the band to."""
    stage = ruler_for(ACROSS, 20)
    for place in (1, 238):
        QTest.mouseDClick(stage.ruler, LEFT, pos=QPoint(place, 10))
    assert not stage.told.calls


@pytest.mark.parametrize(
    ("along", "shape"),
    [
        (10, Qt.CursorShape.SplitHCursor),
        (12.5, Qt.CursorShape.OpenHandCursor),
        (25, Qt.CursorShape.ArrowCursor),
    ],
)
def test_the_cursor_tells_what_can_be_done(ruler_for: RulerFor, along: float, shape: Qt.CursorShape) -> None:
    """Over an end, over the middle and beside the bar the cursor says whether and how it can be dragged."""
    stage = ruler_for(ACROSS)
    stage.band(10, 5)
    QTest.mouseMove(stage.ruler, at(stage, along))
    assert stage.ruler.cursor().shape() == shape


def test_the_pointed_column_is_marked_and_no_other(ruler_for: RulerFor) -> None:
    """The column under the pointer shows on the top ruler; a square beyond the chart shows nothing."""
    stage = ruler_for(ACROSS)
    plain = stage.shown()
    stage.point(12, 3)
    marked = np.argwhere(stage.shown() != plain)[:, 1] - CORNER
    assert marked.min() >= 11 * 8
    assert marked.max() < 14 * 8
    stage.point(-1, 3)
    assert np.array_equal(stage.shown(), plain)
    stage.point(83, 3)
    assert np.array_equal(stage.shown(), plain)


def test_another_chart_takes_the_pointer_away(ruler_for: RulerFor) -> None:
    """When a smaller chart is opened, a pointer beyond its end is forgotten."""
    stage = ruler_for(DOWN)
    stage.point(3, 60)
    stage.view = RulerStage(DOWN, 10, 10).view
    stage.ruler.set_view(stage.view)
    stage.pointed = None
    assert stage.difference() == 0


@pytest.mark.parametrize("rows", [9, 99, 1000, 4096])
def test_the_left_ruler_has_room_for_its_numbers(ruler_for: RulerFor, rows: int) -> None:
    """The more rows a chart has, the wider the ruler beside it."""
    stage = ruler_for(DOWN, 10, rows)
    digits = stage.ruler.fontMetrics().horizontalAdvance("0" * len(str(rows)))
    assert stage.ruler.sizeHint().width() > digits * 0.8


@pytest.mark.parametrize("night", [False, True])
def test_numbers_can_be_read(night: bool) -> None:
    """Numbers on the ruler and on the pointer's mark stand out at 4.5 : 1 by day and night (WCAG 2.2)."""
    ground = Look(night=night).ground
    assert contrast(ground.border, ground.desk) >= 4.5
    assert contrast(ink_on(ground.pointer), ground.pointer) >= 4.5
    assert contrast(ground.bold, ground.desk) >= 3
    assert contrast(ground.edge, ground.desk) >= 3


@pytest.mark.parametrize("orientation", [ACROSS, DOWN])
@pytest.mark.parametrize("numbering", Numbering)
def test_counting_otherwise_shows(
    ruler_for: RulerFor, orientation: Qt.Orientation, numbering: Numbering
) -> None:
    """Each way of counting that differs along a ruler makes it look different."""
    stage = ruler_for(orientation)
    plain = stage.shown()
    stage.numbering = numbering
    stage.ruler.set_numbering(numbering)
    along = numbering.down if orientation == DOWN else numbering.across
    same = along == (Numbering.TOP_LEFT.down if orientation == DOWN else Numbering.TOP_LEFT.across)
    assert np.array_equal(stage.shown(), plain) == same


def test_rulers_have_names_for_a_screen_reader(ruler_for: RulerFor) -> None:
    """A screen reader can tell the two rulers apart, and say what they are for."""
    names = {ruler_for(orientation).ruler.accessibleName() for orientation in (ACROSS, DOWN)}
    assert names == {"Column numbers", "Row numbers"}
    assert "Drag the bar" in ruler_for(ACROSS).ruler.accessibleDescription()
