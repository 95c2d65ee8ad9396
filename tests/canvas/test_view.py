"""Where squares are in the window: zooms keep what is pointed at, and nothing is ever lost from sight."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stitchview.canvas.view import LARGEST_PITCH, SMALLEST_PITCH, View, snapped
from stitchview.chart.area import Area

SIDES = st.integers(1, 4096)
WINDOW = st.integers(1, 4000)
PITCHES = st.one_of(st.integers(1, 160).map(float), st.floats(1 / 64, 0.999))
SHARES = st.floats(0, 1, exclude_max=True)


@st.composite
def views(draw: st.DrawFn) -> View:
    """A view she could really have."""
    view = View(draw(SIDES), draw(SIDES), draw(WINDOW), draw(WINDOW), draw(PITCHES))
    return view.centred(draw(SHARES) * view.columns, draw(SHARES) * view.rows)


@given(views(), PITCHES, SHARES, SHARES)
def test_a_zoom_keeps_what_the_pointer_is_on(view: View, pitch: float, across: float, down: float) -> None:
    """The point under the pointer stays there to a pixel, unless the chart's edge forbids it."""
    x, y = across * view.width, down * view.height
    zoomed = view.zoomed(pitch, x, y)
    before, after = view.exact_at(x, y), zoomed.exact_at(x, y)
    free = View(view.columns, view.rows, view.width, view.height, zoomed.pitch)
    wanted = before[0] * zoomed.pitch - x, before[1] * zoomed.pitch - y
    for axis, place, size in ((0, zoomed.left, view.width), (1, zoomed.top, view.height)):
        moved = abs(after[axis] - before[axis]) * zoomed.pitch
        chart = (free.chart_width, free.chart_height)[axis]
        held = chart <= size or not -size / 2 + 2 < wanted[axis] < chart - size / 2 - 2
        assert moved <= 0.51 or held, (moved, place)


@given(views(), SHARES, SHARES)
def test_a_square_is_found_where_it_is_drawn(view: View, across: float, down: float) -> None:
    """The square under any pixel of a square is that square."""
    if not view.whole:
        return
    column, row = int(across * view.columns), int(down * view.rows)
    x, y, width, height = view.pixels_of(Area(column, row, 1, 1))
    for place in ((x, y), (x + width - 1, y + height - 1), (x + width // 2, y + height // 2)):
        assert view.square_at(*place) == (column, row)
    assert view.square_at(x - 1, y - 1) == (column - 1, row - 1)
    assert view.square_at(x + width, y + height) == (column + 1, row + 1)


@given(views())
def test_squares_lie_side_by_side(view: View) -> None:
    """Neighbouring areas share an edge to the pixel at any zoom, so that no gap can show."""
    middle = view.columns // 2
    left, right = Area(0, 0, middle, view.rows), Area(middle, 0, view.columns - middle, view.rows)
    x, _, width, _ = view.pixels_of(left)
    assert x + width == view.pixels_of(right)[0]
    assert view.pixels_of(right)[0] + view.pixels_of(right)[2] - x == pytest.approx(view.chart_width, abs=1)


@given(views(), st.integers(-9000, 9000), st.integers(-9000, 9000))
def test_a_pan_goes_as_far_as_asked_or_to_the_end(view: View, right: int, down: int) -> None:
    """The chart moves by whole pixels, and some of it always stays in the middle of the window."""
    panned = view.panned(right, down)
    for old, new, step, size, chart in (
        (view.left, panned.left, right, view.width, view.chart_width),
        (view.top, panned.top, down, view.height, view.chart_height),
    ):
        if chart <= size:
            assert new == -((size - chart) // 2)
        else:
            assert new == old + step or new in (-int(size / 2), chart - size + int(size / 2))
            assert new < chart
            assert new > -size


@given(views(), st.data())
def test_an_area_is_shown_whole(view: View, data: st.DataObject) -> None:
    """Whatever she wants to see is wholly in the window, unless its squares were too small to draw."""
    column, row = data.draw(st.integers(0, view.columns - 1)), data.draw(st.integers(0, view.rows - 1))
    area = Area(
        column, row,
        data.draw(st.integers(1, view.columns - column)), data.draw(st.integers(1, view.rows - row)),
    )  # fmt: skip
    shown = view.showing(area)
    if shown.pitch == SMALLEST_PITCH:
        return
    x, y, width, height = shown.pixels_of(area)
    assert width <= view.width + 1
    assert height <= view.height + 1
    middle = x + width / 2, y + height / 2
    for at, size, chart, place in (
        (middle[0], view.width, shown.chart_width, shown.left),
        (middle[1], view.height, shown.chart_height, shown.top),
    ):
        held = chart <= size or place in (-int(size / 2), chart - size + int(size / 2))
        assert abs(at - size / 2) <= 1 or held
    fits = min(view.width / area.columns, view.height / area.rows)
    assert shown.pitch == pytest.approx(min(fits, LARGEST_PITCH), abs=1)


@given(views(), WINDOW, WINDOW)
def test_a_window_of_another_size_keeps_its_middle(view: View, width: int, height: int) -> None:
    """Making the window larger or smaller keeps the middle of the chart's picture where it was."""
    resized = view.resized(width, height)
    assert (resized.width, resized.height, resized.pitch) == (width, height, view.pitch)
    held = resized.held()
    assert resized == held
    if resized.chart_width > width and view.chart_width > view.width:
        assert abs(resized.centre[0] - view.centre[0]) * view.pitch <= 1.01


@given(views())
def test_the_squares_in_the_window_are_those_that_show(view: View) -> None:
    """No more and no fewer squares are drawn than the window can show."""
    area = view.area
    if not area.empty:
        x, y, width, height = view.pixels_of(area)
        assert x < view.width
        assert y < view.height
        assert x + width >= 0
        assert y + height >= 0
    outside = view.square_at(0, 0), view.square_at(view.width - 1, view.height - 1)
    assert area.column == max(0, outside[0][0]) or area.empty
    assert area.right == min(view.columns, outside[1][0] + 1) or area.empty


@given(st.floats(-5, 500))
def test_squares_are_whole_pixels(pitch: float) -> None:
    """A square large enough to be told from its neighbour is a whole number of pixels."""
    size = snapped(pitch)
    assert SMALLEST_PITCH <= size <= LARGEST_PITCH
    assert size < 1 or size.is_integer()
    assert snapped(size) == size
    if 1 <= pitch <= LARGEST_PITCH:
        assert abs(size - pitch) <= 0.5
    assert not math.isnan(size)
