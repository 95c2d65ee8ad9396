"""Hands on the chart: every movement of mouse and keys does what she means, and no more."""

from collections.abc import Callable

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QPoint, Qt
from PySide6.QtGui import QContextMenuEvent
from PySide6.QtTest import QTest

from stitchview.canvas.hands import Tool
from stitchview.canvas.touch import Shape
from stitchview.chart.area import Area
from stitchview.chart.model import Chart
from stitchview.done.shapes import Takes
from tests.canvas.charts import Making, full_chart
from tests.canvas.handstage import CTRL, LEFT, MIDDLE, RIGHT, HandStage, squares

HandsOn = Callable[[Chart], HandStage]


# Marking


def test_a_click_marks_one_square(hands: HandStage) -> None:
    """A press and release on a square marks it."""
    hands.stroke((20.5, 15.5))
    assert hands.done == {(20, 15)}


def test_a_sweep_marks_what_it_passes(hands: HandStage) -> None:
    """A drag over squares marks every one of them, also those a quick hand has jumped over."""
    hands.stroke((18.5, 12.5), (19.5, 12.5), (24.5, 12.5), (24.5, 14.5))
    assert hands.done == squares(range(18, 25), [12]) | squares([24], range(12, 15))


def test_a_sweep_is_one_stroke(hands: HandStage) -> None:
    """However far a drag goes, one undo takes all of it back."""
    hands.stroke((18.5, 12.5), (24.5, 12.5), (24.5, 18.5))
    hands.stage.undo()
    assert not hands.done


def test_a_rectangle_marks_what_it_spans(hands: HandStage) -> None:
    """With the rectangle a drag marks all between its corners, whichever way it is drawn."""
    hands.hands.shape = Shape.RECTANGLE
    hands.stroke((24.5, 18.5), (10.5, 3.5), (21.5, 16.5))
    assert hands.done == squares(range(21, 25), range(16, 19))


@pytest.mark.parametrize("down", [False, True])
def test_a_run_marks_one_thread_along_a_line(hands_on: HandsOn, down: bool) -> None:
    """A run takes the neighbours of one thread along the row, or the column if the hand moves that way."""
    chart = full_chart(Making(40, 31, 4), bare=True)
    plain = chart.squares * 0 + 2
    plain[15, 12] = plain[15, 27] = plain[9, 20] = plain[22, 20] = 3
    stage = hands_on(Chart(plain, chart.key))
    stage.hands.set_tool(Tool.MARK)
    stage.hands.shape = Shape.RUN
    stage.stroke((20.5, 15.5), (20.6, 17.5) if down else (22.5, 15.4))
    assert stage.done == (squares([20], range(10, 22)) if down else squares(range(13, 27), [15]))


def test_a_patch_marks_what_is_joined(hands_on: HandsOn) -> None:
    """A patch takes all squares of one thread that are joined edge by edge."""
    chart = full_chart(Making(40, 31, 4), bare=True)
    plain = chart.squares * 0 + 2
    plain[12:18, 17:24] = 3
    plain[14, 20] = 2
    stage = hands_on(Chart(plain, chart.key))
    stage.hands.set_tool(Tool.MARK)
    stage.hands.shape = Shape.PATCH
    stage.stroke((18.5, 13.5))
    assert stage.done == squares(range(17, 24), range(12, 18)) - {(20, 14)}


def test_ctrl_does_the_opposite(hands: HandStage) -> None:
    """With Ctrl held the marking tool unpicks, and the unpicking tool marks."""
    hands.stroke((18.5, 12.5), (24.5, 12.5))
    hands.stroke((20.5, 12.5), (21.5, 12.5), held=CTRL)
    assert hands.done == squares((18, 19, 22, 23, 24), [12])
    hands.hands.set_tool(Tool.UNPICK)
    hands.stroke((18.5, 12.5))
    hands.stroke((20.5, 12.5), held=CTRL)
    assert hands.done == squares((19, 20, 22, 23, 24), [12])


def test_only_the_thread_in_hand_is_taken(hands: HandStage) -> None:
    """With only one thread to be taken, a careless drag marks no other."""
    hands.doing.takes = Takes(only=2)
    hands.stroke((12.5, 12.5), (28.5, 12.5))
    assert hands.done
    assert {int(hands.stage.chart.squares[row, column]) for column, row in hands.done} == {2}


def test_escape_gives_a_stroke_up(hands: HandStage) -> None:
    """Escape in the middle of a drag leaves everything as it was, and the drag's end does nothing."""
    hands.press(18.5, 12.5)
    hands.move((22.5, 12.5))
    assert hands.is_busy()
    assert hands.pointers().swept
    QTest.keyClick(hands.canvas, Qt.Key.Key_Escape)
    assert not hands.is_busy()
    assert not hands.pointers().swept
    hands.move((24.5, 12.5))
    hands.release(24.5, 12.5)
    assert not hands.done


def test_what_will_be_taken_is_shown_before(hands: HandStage) -> None:
    """During a drag the squares or the rectangle it would take are pointed out, and no longer after it."""
    hands.press(18.5, 12.5)
    hands.move((20.5, 12.5))
    assert hands.pointers().swept == ((18, 12), (20, 12))
    hands.release(20.5, 12.5)
    assert hands.pointers().swept == ()
    hands.hands.shape = Shape.RECTANGLE
    hands.press(18.5, 12.5)
    hands.move((16.5, 10.5))
    assert hands.pointers().stretched == Area(16, 10, 3, 3)
    assert hands.stage.difference() == ""
    hands.release(16.5, 10.5)
    assert hands.pointers().stretched is None


def test_a_stroke_beyond_the_chart_takes_what_is_on_it(hands: HandStage) -> None:
    """A drag may begin or end beside the chart."""
    hands.canvas.centre_on(0, 0)
    hands.stroke((-3.5, 0.5), (2.5, 0.5), (2.5, -4.5))
    assert hands.done == squares(range(3), [0])


# Looking around


@pytest.mark.parametrize("way", ["look", "space", "middle"])
def test_the_chart_follows_the_hand(hands: HandStage, way: str) -> None:
    """The chart is moved by the looking tool, by the middle button, or with the space bar held."""
    if way == "look":
        hands.hands.set_tool(Tool.LOOK)
    elif way == "space":
        QTest.keyPress(hands.canvas, Qt.Key.Key_Space)
    button = MIDDLE if way == "middle" else LEFT
    before = hands.canvas.view
    QTest.mousePress(hands.canvas, button, pos=QPoint(200, 150))
    for place in (QPoint(230, 140), QPoint(250, 120)):
        QTest.mouseMove(hands.canvas, place)
    assert hands.canvas.view == before.panned(-50, 30)
    QTest.mouseRelease(hands.canvas, button, pos=QPoint(250, 120))
    assert not hands.is_busy()
    assert hands.canvas.view == before.panned(-50, 30)
    assert not hands.done


def test_after_space_is_let_go_hands_mark_again(hands: HandStage) -> None:
    """The space bar only lends the looking tool; so it is if it was let go in another window."""
    for key_let_go in (True, False):
        QTest.keyPress(hands.canvas, Qt.Key.Key_Space)
        if key_let_go:
            QTest.keyRelease(hands.canvas, Qt.Key.Key_Space)
        else:
            QCoreApplication.sendEvent(hands.canvas, QEvent(QEvent.Type.FocusOut))
        hands.stroke((20.5, 15.5 + key_let_go))
    assert hands.done == {(20, 15), (20, 16)}


def test_the_region_tool_shows_what_was_drawn(hands: HandStage) -> None:
    """The square drawn with the region tool fills the window, and the tool is used up."""
    hands.hands.set_tool(Tool.REGION)
    hands.stroke((18.5, 12.5), (23.5, 15.5))
    assert hands.doing.tools_used_up == 1
    assert not hands.done
    x, y, width, height = hands.canvas.view.pixels_of(Area(18, 12, 6, 4))
    assert x >= 0
    assert y >= 0
    view = hands.canvas.view
    assert x + width <= view.width
    assert y + height <= view.height
    assert width > 0.75 * view.width or height > 0.75 * view.height


def test_a_click_or_escape_uses_the_region_tool_up(hands: HandStage) -> None:
    """A click without a drag, or Escape during it, gives the region up and leaves the view."""
    hands.hands.set_tool(Tool.REGION)
    before = hands.canvas.view
    hands.stroke((18.5, 12.5))
    hands.press(18.5, 12.5)
    hands.move((23.5, 15.5))
    QTest.keyClick(hands.canvas, Qt.Key.Key_Escape)
    hands.release(23.5, 15.5)
    assert hands.doing.tools_used_up == 2
    assert hands.canvas.view == before


# Telling where the hand is


def test_the_pointer_is_told_of(hands: HandStage) -> None:
    """Whoever tells her the place knows where the pointer is, and when it has left."""
    hands.move((20.5, 15.5))
    spot = hands.doing.spots[-1]
    assert spot is not None
    assert spot.square == (20, 15)
    QCoreApplication.sendEvent(hands.canvas, QEvent(QEvent.Type.Leave))
    assert hands.doing.spots[-1] is None


def test_the_other_button_opens_the_menu(hands: HandStage) -> None:
    """The right button marks nothing and asks for the menu of its square."""
    hands.press(20.5, 15.5, RIGHT)
    hands.release(20.5, 15.5, RIGHT)
    place = hands.at(20.5, 15.5)
    event = QContextMenuEvent(QContextMenuEvent.Reason.Mouse, place, hands.canvas.mapToGlobal(place))
    QCoreApplication.sendEvent(hands.canvas, event)
    assert hands.doing.menus == [(20, 15)]
    assert not hands.done


@pytest.mark.parametrize(
    ("tool", "shape"),
    [
        (Tool.LOOK, Qt.CursorShape.OpenHandCursor),
        (Tool.MARK, Qt.CursorShape.CrossCursor),
        (Tool.UNPICK, Qt.CursorShape.CrossCursor),
        (Tool.REGION, Qt.CursorShape.CrossCursor),
    ],
)
def test_the_cursor_tells_what_the_hand_would_do(hands: HandStage, tool: Tool, shape: Qt.CursorShape) -> None:
    """The cursor is a hand to move the chart, a cross to take squares, a double arrow over an edge."""
    hands.hands.set_tool(tool)
    assert hands.canvas.cursor().shape() == shape
    hands.canvas.set_lit(Area(18, 13, 7, 4))
    hands.move((20.5, 12.9))
    assert hands.canvas.cursor().shape() == Qt.CursorShape.SplitVCursor
    hands.move((17.9, 15.5))
    assert hands.canvas.cursor().shape() == Qt.CursorShape.SplitHCursor


def test_another_tool_gives_the_stroke_up(hands: HandStage) -> None:
    """If the tool is changed in the middle of a drag, nothing of the drag is taken."""
    hands.press(18.5, 12.5)
    hands.move((22.5, 12.5))
    hands.hands.set_tool(Tool.UNPICK)
    hands.release(22.5, 12.5)
    assert not hands.done
    assert not hands.doing.touches
