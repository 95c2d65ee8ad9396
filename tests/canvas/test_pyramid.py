"""From far out the chart is a picture of its colours, averaged as light is, and always up to date."""

from collections.abc import Callable

import numpy as np
import pytest
from coloraide import Color
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from stitchview.canvas.doneblocks import COUNTED, DoneBlocks
from stitchview.canvas.looks import Look
from stitchview.canvas.pyramid import LEVELS
from stitchview.canvas.showing import Showing
from stitchview.chart.area import Area
from stitchview.done.change import STATES
from stitchview.done.marks import Marks, change_to
from stitchview.done.shapes import Takes, rectangle
from tests.canvas.charts import Making, full_chart
from tests.canvas.reference import far_fill
from tests.canvas.stage import Stage, painter_of

pytestmark = pytest.mark.usefixtures("qapp")

StageFor = Callable[..., Stage]
SIZES = ((1, 1), (7, 5), (64, 64), (65, 63), (130, 131), (200, 3))


def parts_of(pixels: NDArray[np.uint32]) -> NDArray[np.float64]:
    """The sRGB parts of RGB32 pixels, 0 to 255."""
    return np.stack([pixels >> shift & 0xFF for shift in (16, 8, 0)], -1).astype(np.float64)


def light_of(colours: NDArray[np.float64]) -> NDArray[np.float64]:
    """Linear light of sRGB parts, by the formula of IEC 61966-2-1."""
    share = colours / 255
    return np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)


@pytest.mark.parametrize("look", [Look(), Look(worked=True, night=True)])
@pytest.mark.parametrize(("columns", "rows"), SIZES)
def test_far_colours_are_the_mean_light_of_the_squares(columns: int, rows: int, look: Look) -> None:
    """Each pixel is as bright as its squares together; mixed as paint, dark squares would win."""
    chart = full_chart(Making(columns, rows, 3), bare=True)
    marks = Marks(chart)
    change = change_to(marks, rectangle(chart, Area(0, 0, columns // 2, rows // 2 + 1), Takes()), 1)
    if change is not None:
        marks.apply(change)
    pyramid = painter_of(marks).pyramid(Showing(look))
    pyramid.freshen()
    squares = np.array(
        [
            [_far(chart.squares[row, column], bool(marks.squares[row, column]), look, chart.key)
             for column in range(columns)]
            for row in range(rows)
        ]
    )  # fmt: skip
    light = light_of(np.floor(squares + 0.5))
    for picture in pyramid.levels:
        light = _halved(light)
        assert picture.shape == light.shape[:2]
        assert np.abs(light_of(parts_of(picture)) - light).max() < 0.01


def _far(number: int, done: bool, look: Look, key: tuple) -> NDArray[np.float64]:  # type: ignore[type-arg]
    paper = look.ground.paper
    if number == 0:
        return np.array([paper.red, paper.green, paper.blue], np.float64)
    return far_fill(key[number - 1].colour, done, look)


def _halved(light: NDArray[np.float64]) -> NDArray[np.float64]:
    """The mean of each two by two; the last row or column counts twice where there is no other."""
    rows, columns = light.shape[:2]
    light = np.concatenate([light, light[-1:]]) if rows % 2 else light
    light = np.concatenate([light, light[:, -1:]], 1) if columns % 2 else light
    return np.asarray((light[::2, ::2] + light[1::2, ::2] + light[::2, 1::2] + light[1::2, 1::2]) / 4)


def test_our_formula_is_that_of_the_reference_library() -> None:
    """Linear light as `coloraide` reckons it (sRGB to srgb-linear) is what these tests reckon."""
    for part in range(0, 256, 5):
        reference = Color("srgb", [part / 255, 0, 0]).convert("srgb-linear")["red"]
        assert light_of(np.array(float(part))) == pytest.approx(reference, abs=1e-9)


@given(
    size=st.sampled_from(SIZES), seed=st.integers(0, 99),
    marks=st.lists(
        st.tuples(*[st.integers(0, 140)] * 2, *[st.integers(1, 90)] * 2, st.integers(0, STATES - 1)),
        max_size=6,
    ),
)  # fmt: skip
def test_marks_show_from_far_out(size: tuple[int, int], seed: int, marks: list[tuple[int, ...]]) -> None:
    """After any marks the kept pictures are the ones that would be made anew."""
    chart = full_chart(Making(*size, seed))
    kept = Marks(chart)
    painter = painter_of(kept)
    pyramid = painter.pyramid(Showing())
    blocks = DoneBlocks(chart, kept.squares, 16)
    blocks.refresh(chart.area)
    pyramid.freshen()
    for column, row, columns, rows, state in marks:
        change = change_to(kept, rectangle(chart, Area(column, row, columns, rows), Takes()), state)
        if change is None:
            continue
        kept.apply(change)
        painter.marks_changed(change.area, change.parts.indices, change.lines.indices)
        blocks.refresh(change.area)
        while not pyramid.freshen_some(20):
            pass
    anew = painter_of(kept).pyramid(Showing())
    anew.freshen()
    for old, new in zip(pyramid.levels, anew.levels, strict=True):
        assert np.array_equal(old, new)
    assert np.array_equal(pyramid.squares(chart.area), anew.squares(chart.area))
    counted = DoneBlocks(chart, kept.squares, 16)
    counted.refresh(chart.area)
    for state in COUNTED:
        assert np.array_equal(blocks.counts[state], counted.counts[state])
    assert np.array_equal(blocks.stitches, counted.stitches)


def test_another_dimming_loses_no_mark(stage_for: StageFor) -> None:
    """Part stitches marked after the dimming was changed show from far out."""
    stage = stage_for(full_chart(Making(40, 31, 2)))
    stage.zoom(0.5, 0, 0)
    stage.turn()
    stage.look(1)
    stage.turn()
    stage.mark(1, 0, 60, 1)
    assert stage.difference() == ""


def test_the_finest_picture_that_is_needed_is_taken() -> None:
    """A picture is never enlarged: there is at least a pixel of it for each on the screen."""
    pyramid = painter_of(Marks(full_chart(Making(130, 131, 1), bare=True))).pyramid(Showing())
    for pitch in (0.99, 0.5, 0.3, 0.25, 0.1, 1 / 64):
        level, picture = pyramid.level_for(pitch)
        assert pitch <= 1 / (1 << (level - 1))
        assert picture is pyramid.levels[level - 1]
        assert level == LEVELS or pitch > 1 / (1 << (level + 1))


@pytest.mark.parametrize("side", [1, 4, 64])
def test_squares_are_counted_by_blocks_and_states(side: int) -> None:
    """Blocks know how many of their stitches are in each state, also where the chart ends within one."""
    chart = full_chart(Making(130, 131, 9), bare=True)
    marks = Marks(chart)
    for state in range(1, STATES):
        change = change_to(marks, rectangle(chart, Area(10 * state, 20, 70, 80 - 9 * state), Takes()), state)
        assert change is not None
        marks.apply(change)
    blocks = DoneBlocks(chart, marks.squares, side)
    blocks.refresh(chart.area)
    for row in range(blocks.stitches.shape[0]):
        for column in range(blocks.stitches.shape[1]):
            here = (slice(row * side, (row + 1) * side), slice(column * side, (column + 1) * side))
            for state in COUNTED:
                assert blocks.counts[state][row, column] == np.count_nonzero(marks.squares[here] == state)
            assert blocks.stitches[row, column] == np.count_nonzero(chart.squares[here])
