"""Calling the band by a double click, and taking hold of it by its edges."""

import pytest
from PySide6.QtTest import QTest

from stitchview.canvas.hands import Tool
from stitchview.chart.area import Area
from stitchview.follow.band import Edge
from tests.canvas.handstage import LEFT, HandStage


@pytest.mark.parametrize("tool", [Tool.LOOK, Tool.MARK, Tool.UNPICK])
def test_a_double_click_calls_the_band(hands: HandStage, tool: Tool) -> None:
    """A double click brings the band to the square, and marks or unpicks nothing."""
    hands.stroke((21.5, 15.5))
    hands.hands.set_tool(tool)
    hands.double(20.5, 15.5)
    assert hands.doing.calls == [(20, 15)]
    assert hands.done == {(21, 15)}


def test_a_double_click_on_a_done_square_keeps_it(hands: HandStage) -> None:
    """Where the first click had nothing to mark, the double click takes nothing back."""
    hands.stroke((20.5, 15.5))
    hands.double(20.5, 15.5)
    assert hands.doing.calls == [(20, 15)]
    assert hands.doing.taken_back == 0
    assert hands.done == {(20, 15)}


def test_a_double_click_never_takes_back_an_older_stroke(hands: HandStage) -> None:
    """A mark made a while ago is safe, even if she now double-clicks the same square with another tool."""
    hands.stroke((20.5, 15.5))
    hands.hands.set_tool(Tool.REGION)
    hands.double(20.5, 15.5)
    hands.release(20.5, 15.5)
    assert hands.doing.taken_back == 0
    assert hands.done == {(20, 15)}


def test_two_quick_strokes_are_no_double_click(hands: HandStage) -> None:
    """Two squares clicked quickly one after the other are both marked."""
    hands.stroke((20.5, 15.5))
    QTest.mouseDClick(hands.canvas, LEFT, pos=hands.at(21.5, 15.5))
    hands.release(21.5, 15.5)
    assert hands.doing.calls == []
    assert hands.done == {(20, 15), (21, 15)}


@pytest.mark.parametrize(
    ("edge", "start", "stop", "line"),
    [
        (Edge.TOP, (20.5, 12.9), (20.5, 10.2), 10),
        (Edge.BOTTOM, (20.5, 17.1), (20.5, 18.7), 19),
        (Edge.LEFT, (17.9, 15.5), (15.4, 15.5), 15),
        (Edge.RIGHT, (25.1, 15.5), (27.6, 15.5), 28),
    ],
)
def test_the_edges_of_the_band_are_dragged(
    hands: HandStage, edge: Edge, start: tuple[float, float], stop: tuple[float, float], line: int
) -> None:
    """Taken by an edge, the band is asked to reach to the line nearest to the hand; nothing is marked."""
    hands.canvas.set_lit(Area(18, 13, 7, 4))
    hands.stroke(start, stop)
    assert hands.doing.edges == [(edge, line)]
    assert not hands.done
    assert not hands.is_busy()


def test_squares_beside_the_edge_of_the_band_can_be_marked(hands: HandStage) -> None:
    """The first row of the band is hers to mark: only its outer hair takes hold of the edge."""
    hands.canvas.set_lit(Area(0, 13, 40, 4))
    for row, place in ((13, 13.25), (16, 16.75)):
        hands.stroke((20.5, place))
        assert (20, row) in hands.done
    assert not hands.doing.edges


def test_a_band_over_everything_has_no_edges(hands: HandStage) -> None:
    """Where the band ends with the chart there is nothing to take hold of."""
    hands.canvas.centre_on(0, 0)
    hands.canvas.set_lit(Area(0, 0, 40, 31))
    hands.stroke((0.1, 0.1))
    assert not hands.doing.edges
    assert hands.done == {(0, 0)}
