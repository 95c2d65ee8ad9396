"""Moving the chart by wheel, trackpad and a swing of the hand."""

from collections.abc import Callable
from functools import partial
from itertools import count

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from stitchview.canvas.hands import Tool
from stitchview.canvas.panner import WHEEL_STEP
from stitchview.chart.model import Chart
from tests.canvas.charts import Making, full_chart
from tests.canvas.handstage import CTRL, LEFT, HandStage


@pytest.fixture
def hands(hands_on: Callable[[Chart], HandStage]) -> HandStage:
    """Hands on a chart large enough to be moved any way."""
    stage = hands_on(full_chart(Making(130, 131, 4), bare=True))
    stage.canvas.centre_on(60, 60)
    return stage


def test_the_wheel_moves_the_chart(hands: HandStage) -> None:
    """A notch of the wheel moves the chart down or up, with Shift sideways."""
    before = hands.canvas.view
    hands.wheel((0, -120))
    assert hands.canvas.view == before.panned(0, WHEEL_STEP)
    hands.wheel((0, -120), held=Qt.KeyboardModifier.ShiftModifier)
    assert hands.canvas.view == before.panned(WHEEL_STEP, WHEEL_STEP)
    hands.wheel((120, 120))
    assert hands.canvas.view == before


def test_a_trackpad_moves_it_by_the_pixel(hands: HandStage) -> None:
    """Two fingers on a trackpad move the chart exactly as far as they say."""
    before = hands.canvas.view
    for _ in range(7):
        hands.wheel((0, 0), (-3, 2))
    assert hands.canvas.view == before.panned(21, -14)


def test_a_fine_wheel_loses_no_step(hands: HandStage) -> None:
    """A wheel that turns in hundredths of a notch comes as far as one that turns in whole ones."""
    before = hands.canvas.view
    for _ in range(120):
        hands.wheel((0, -1))
    assert hands.canvas.view == before.panned(0, WHEEL_STEP)


@pytest.mark.parametrize("notches", [1, -1, 3, -4])
def test_ctrl_and_the_wheel_zoom_about_the_pointer(hands: HandStage, notches: int) -> None:
    """With Ctrl the wheel makes squares larger or smaller, and what is under the pointer stays there."""
    place = QPoint(310, 80)
    before = hands.canvas.view
    point = before.exact_at(310, 80)
    hands.wheel((0, 120 * notches), held=CTRL, place=place)
    after = hands.canvas.view
    assert (after.pitch > before.pitch) == (notches > 0)
    assert abs(after.exact_at(310, 80)[0] - point[0]) * after.pitch <= 1
    assert abs(after.exact_at(310, 80)[1] - point[1]) * after.pitch <= 1


def test_a_fine_wheel_zooms_no_faster(hands: HandStage) -> None:
    """Many small turns with Ctrl zoom as far as the notches they add up to, and none zooms by itself."""
    before = hands.canvas.view
    for _ in range(11):
        hands.wheel((0, 10), held=CTRL)
    assert hands.canvas.view == before
    hands.wheel((0, 10), held=CTRL)
    fine = hands.canvas.view
    hands.canvas.go_to(before)
    hands.wheel((0, 120), held=CTRL)
    assert hands.canvas.view == fine
    hands.wheel((0, 0), held=CTRL)
    assert hands.canvas.view == fine


@pytest.mark.parametrize("share", [0.004, -0.004, 0.03, -0.2])
def test_pinching_on_a_trackpad_zooms_by_little_and_little(hands: HandStage, share: float) -> None:
    """However small the steps a trackpad reports, together they zoom as far as the fingers went."""
    before = hands.canvas.view.pitch
    steps = 120 if abs(share) < 0.01 else 8
    hands.pinch(*[share] * steps, place=QPoint(200, 150))
    wanted = before * (1 + share) ** steps
    assert hands.canvas.view.pitch == pytest.approx(wanted, abs=0.51)
    assert hands.canvas.view.pitch != before


def test_a_pinch_can_always_be_turned_back(hands: HandStage) -> None:
    """At the largest and smallest squares a pinch further does nothing, and one back works at once."""
    hands.pinch(*[0.5] * 30)
    assert hands.canvas.view.pitch == 160
    hands.pinch(-0.1)
    assert hands.canvas.view.pitch == 144
    hands.pinch(*[-0.5] * 40)
    assert hands.canvas.view.pitch == 1 / 64
    hands.pinch(0.5)
    assert hands.canvas.view.pitch > 1 / 64


def swing(hands: HandStage) -> None:
    """Drag quickly to the right and let go in full swing: 20 pixels in 4 ms, however busy the machine is."""
    hands.hands.panner.clock = partial(next, count(0, 4))
    QTest.mousePress(hands.canvas, LEFT, pos=QPoint(100, 150))
    for step in range(1, 6):
        QTest.mouseMove(hands.canvas, QPoint(100 + 20 * step, 150))
    QTest.mouseRelease(hands.canvas, LEFT, pos=QPoint(200, 150))


def test_after_a_swing_the_chart_glides_and_rests(hands: HandStage, qtbot: QtBot) -> None:
    """Let go in full swing, the chart goes on the same way and comes to rest by itself."""
    hands.hands.set_tool(Tool.LOOK)
    before = hands.canvas.view
    swing(hands)
    panner = hands.hands.panner
    assert panner.gliding
    dragged = before.panned(-100, 0)
    qtbot.waitUntil(lambda: not panner.gliding)
    assert hands.canvas.view.left < dragged.left
    assert hands.canvas.view.top == dragged.top
    assert hands.stage.difference() == ""


@pytest.mark.parametrize("stop", ["press", "wheel", "tool"])
def test_a_touch_stops_the_glide(hands: HandStage, stop: str) -> None:
    """Any touch of the hand brings the gliding chart to rest at once."""
    hands.hands.set_tool(Tool.LOOK)
    swing(hands)
    if stop == "press":
        QTest.mousePress(hands.canvas, LEFT, pos=QPoint(100, 100))
    elif stop == "wheel":
        hands.wheel((0, 0))
    else:
        hands.hands.set_tool(Tool.MARK)
    assert not hands.hands.panner.gliding
