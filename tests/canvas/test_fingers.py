"""Fingers on a touch screen: one does what the mouse does, two move and pinch."""

from collections.abc import Callable

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QPoint
from PySide6.QtGui import QPointingDevice, QTouchEvent
from PySide6.QtTest import QTest

from stitchview.canvas.hands import Tool
from stitchview.chart.model import Chart
from tests.canvas.charts import Making, full_chart
from tests.canvas.handstage import HandStage, squares


class Screen:
    """A touch screen over a canvas; fingers are put down, moved and lifted by number."""

    def __init__(self, hands: HandStage, device: QPointingDevice) -> None:
        self.hands, self._device = hands, device
        self._down: dict[int, QPoint] = {}

    def touch(self, **fingers: QPoint | None) -> None:
        """One event: each finger named (`a`, `b`, `c`) goes to a place, or is lifted."""
        sequence = QTest.touchEvent(self.hands.canvas, self._device)
        # A finger that rests is told of too, and Qt's own sequence would forget where it is.
        for name, place in {**{chr(number): at for number, at in self._down.items()}, **fingers}.items():
            number = ord(name)
            if place is None:
                sequence.release(number, self._down.pop(number), self.hands.canvas)
            elif number in self._down:
                sequence.move(number, place, self.hands.canvas)
            else:
                sequence.press(number, place, self.hands.canvas)
            if place is not None:
                self._down[number] = place
        sequence.commit()


@pytest.fixture(scope="module")
def device(qapp: object) -> QPointingDevice:
    """A touch screen."""
    assert qapp
    return QTest.createTouchDevice()


@pytest.fixture
def screen(hands_on: Callable[[Chart], HandStage], device: QPointingDevice) -> Screen:
    """A touch screen with the marking tool on a large chart."""
    chart = full_chart(Making(130, 131, 4), bare=True)
    hands = hands_on(Chart(chart.squares % 5 + 1, chart.key))
    hands.hands.set_tool(Tool.MARK)
    hands.canvas.centre_on(60, 60)
    return Screen(hands, device)


def test_one_finger_marks(screen: Screen) -> None:
    """One finger marks as the mouse does: put down, moved, lifted."""
    hands = screen.hands
    screen.touch(a=hands.at(60.5, 60.5))
    screen.touch(a=hands.at(64.5, 60.5))
    screen.touch(a=None)
    assert hands.done == squares(range(60, 65), [60])


def test_two_fingers_zoom_about_their_middle(screen: Screen) -> None:
    """Spread to double, two fingers double the squares; what lay between them stays there."""
    canvas = screen.hands.canvas
    point = canvas.view.exact_at(200, 150)
    screen.touch(a=QPoint(150, 150))
    screen.touch(b=QPoint(250, 150))
    for reach in (60, 75, 100):
        screen.touch(a=QPoint(200 - reach, 150), b=QPoint(200 + reach, 150))
    assert canvas.view.pitch == 24
    after = canvas.view.exact_at(200, 150)
    assert abs(after[0] - point[0]) * 24 <= 3
    assert abs(after[1] - point[1]) * 24 <= 3
    screen.touch(a=None, b=None)
    assert not screen.hands.done


def test_two_fingers_move_the_chart(screen: Screen) -> None:
    """Two fingers side by side take the chart with them."""
    before = screen.hands.canvas.view
    screen.touch(a=QPoint(150, 150), b=QPoint(250, 150))
    screen.touch(a=QPoint(180, 130), b=QPoint(280, 130))
    assert screen.hands.canvas.view == before.panned(-30, 20)
    screen.touch(a=None, b=None)


def test_the_second_finger_gives_the_stroke_up(screen: Screen) -> None:
    """A stroke begun with one finger is forgotten when the second comes, and the last one marks nothing."""
    hands = screen.hands
    screen.touch(a=hands.at(60.5, 60.5))
    screen.touch(a=hands.at(62.5, 60.5))
    screen.touch(b=QPoint(300, 200))
    screen.touch(b=None)
    screen.touch(a=hands.at(66.5, 60.5))
    screen.touch(a=None)
    assert not hands.done
    assert not hands.hands.busy


def test_after_a_pinch_one_finger_marks_again(screen: Screen) -> None:
    """Also when both fingers were lifted at once, the next touch is a stroke like any other."""
    hands = screen.hands
    screen.touch(a=QPoint(150, 150), b=QPoint(250, 150))
    screen.touch(a=None, b=None)
    screen.touch(a=hands.at(60.5, 60.5))
    screen.touch(a=None)
    assert hands.done == {(60, 60)}


def test_a_finger_lifted_and_put_down_elsewhere_moves_nothing(screen: Screen) -> None:
    """When one finger of a pinch is put down anew, the chart does not jump."""
    canvas = screen.hands.canvas
    screen.touch(a=QPoint(150, 150), b=QPoint(250, 150))
    screen.touch(b=None)
    before = canvas.view
    screen.touch(a=QPoint(100, 100))
    screen.touch(c=QPoint(390, 290))
    assert canvas.view == before
    screen.touch(a=QPoint(110, 100), c=QPoint(400, 290))
    assert canvas.view == before.panned(-10, 0)
    screen.touch(a=None, c=None)


def test_a_third_finger_makes_no_jump(screen: Screen) -> None:
    """When a third finger comes and the first of them goes, the chart stays where it is."""
    canvas = screen.hands.canvas
    screen.touch(a=QPoint(150, 150), b=QPoint(250, 150))
    screen.touch(c=QPoint(390, 290))
    screen.touch(a=None)
    before = canvas.view
    screen.touch(b=QPoint(250, 150), c=QPoint(390, 290))
    assert canvas.view == before
    screen.touch(b=QPoint(240, 150), c=QPoint(380, 290))
    assert canvas.view == before.panned(10, 0)
    screen.touch(b=None, c=None)


def test_a_touch_that_is_taken_away_takes_nothing(screen: Screen) -> None:
    """If the system takes the touch for itself, as for a gesture of its own, nothing is marked."""
    hands = screen.hands
    screen.touch(a=hands.at(60.5, 60.5))
    QCoreApplication.sendEvent(
        hands.canvas, QTouchEvent(QEvent.Type.TouchCancel, QPointingDevice.primaryPointingDevice())
    )
    assert not hands.hands.busy
    screen.touch(a=None)
    assert not hands.done
