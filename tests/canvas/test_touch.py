"""From the path of a hand to what it means."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.canvas.touch import Preview, Shape, Spot, Touch, gesture
from stitchview.chart.area import Area

PLACES = st.tuples(st.floats(-20, 60), st.floats(-20, 60))


def followed(shape: Shape, places: list[tuple[float, float]]) -> tuple[list[Preview], Touch]:
    """Follow a hand over places; it lets go at the last."""
    hand = gesture(shape, Spot(*places[0]))
    previews = [next(hand)]
    previews += [hand.send(Spot(*place)) for place in places[1:]]
    with pytest.raises(StopIteration) as end:
        hand.send(Spot(*places[-1], released=True))
    touch: Touch = end.value.value
    return previews, touch


@given(st.sampled_from(Shape), st.lists(PLACES, min_size=1, max_size=12))
def test_a_touch_knows_the_squares_the_hand_passed(shape: Shape, places: list[tuple[float, float]]) -> None:
    """The path holds each square the hand came to, in order, none twice in a row."""
    _, touch = followed(shape, places)
    squares = [Spot(*place).square for place in places]
    wanted = [square for n, square in enumerate(squares) if n == 0 or square != squares[n - 1]]
    assert list(touch.path) == wanted
    assert touch.start.square == squares[0]
    assert touch.area.holds(*squares[0])
    assert touch.area.holds(*squares[-1])


@given(st.lists(PLACES, min_size=1, max_size=12))
def test_what_is_shown_is_what_will_be_taken(places: list[tuple[float, float]]) -> None:
    """The last preview of a sweep is its path, that of a rectangle its area."""
    previews, touch = followed(Shape.SWEEP, places)
    assert previews[-1] == Preview(path=touch.path)
    previews, touch = followed(Shape.RECTANGLE, places)
    assert previews[-1] == Preview(area=touch.area)


@pytest.mark.parametrize("shape", [Shape.SINGLE, Shape.RUN, Shape.PATCH])
def test_shapes_of_one_square_point_at_the_first(shape: Shape) -> None:
    """What grows from one square points at that square, wherever the hand goes."""
    previews, _ = followed(shape, [(3.2, 4.9), (7, 8), (9, 1)])
    assert {preview.path for preview in previews} == {((3, 4),)}


def test_a_run_goes_the_way_the_hand_went() -> None:
    """A run is along the column only if the hand moved more down than across."""
    assert followed(Shape.RUN, [(3, 3), (4, 6)])[1].down
    assert not followed(Shape.RUN, [(3, 3), (6, 4)])[1].down
    assert not followed(Shape.RUN, [(3, 3)])[1].down


def test_squares_left_of_the_chart_are_squares_too() -> None:
    """A place just left of the chart or above it lies on the square before the first."""
    assert Spot(-0.1, -0.1).square == (-1, -1)
    assert followed(Shape.RECTANGLE, [(-0.1, 2), (3, 4)])[1].area == Area(-1, 2, 5, 3)
