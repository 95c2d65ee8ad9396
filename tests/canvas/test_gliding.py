"""The glide after a swing: as quick as the hand was, slower and slower, and over soon."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.canvas.gliding import GLIDE_STEP_MS, Glide

SPEEDS = st.floats(-12, 12)


def swung(across: float, down: float) -> Glide:
    """A glide after a drag of a tenth of a second at so many pixels a millisecond."""
    glide = Glide()
    for time in range(0, 96, 8):
        glide.drag(across * time, down * time, time)
    glide.release(88)
    return glide


@given(SPEEDS, SPEEDS)
def test_a_glide_comes_to_rest(across: float, down: float) -> None:
    """However quick the swing was, the chart rests after a second or two, having gone the same way."""
    glide = swung(across, down)
    steps = []
    while glide.moving:
        steps.append(glide.step(GLIDE_STEP_MS))
        assert len(steps) < 120
    for way, speed in enumerate((across, down)):
        total = sum(step[way] for step in steps)
        assert total * speed >= -1
        assert abs(total) <= abs(speed) * 250 + 2


@given(st.floats(0.5, 8))
def test_a_glide_begins_as_quick_as_the_hand(speed: float) -> None:
    """The first step after letting go is as long as the hand's own would have been."""
    assert swung(speed, 0).step(GLIDE_STEP_MS)[0] == pytest.approx(speed * GLIDE_STEP_MS, abs=1)


@given(st.floats(0.5, 8))
def test_how_far_it_glides_does_not_hang_on_the_machine(speed: float) -> None:
    """On a slow machine with longer steps the chart goes about as far as on a quick one."""
    totals = []
    for pause in (8, 16, 32):
        glide, total = swung(speed, 0), 0
        while glide.moving:
            total += glide.step(pause)[0]
        totals.append(total)
    assert max(totals) <= min(totals) * 1.2 + 4


def test_a_hand_that_rested_lets_go_without_a_glide() -> None:
    """If the hand stood still before it let go, or only clicked, the chart stays."""
    glide = Glide()
    glide.drag(0, 0, 0)
    glide.drag(300, 0, 40)
    assert not glide.release(200)
    glide.drag(5, 5, 300)
    assert not glide.release(301)
    assert not glide.moving


def test_a_stopped_glide_stays_stopped() -> None:
    """Stopped by a touch, the chart does not go on."""
    glide = swung(5, 5)
    glide.stop()
    assert not glide.moving
    assert glide.step(GLIDE_STEP_MS) == (0, 0)
