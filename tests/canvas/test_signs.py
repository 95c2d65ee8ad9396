"""Signs over the chart: each is seen where it belongs, leaves nothing behind, and can be made out."""

from collections.abc import Callable

import numpy as np
import pytest

from stitchview.canvas.differsign import sign_of
from stitchview.canvas.signs import REACH_PIXELS, ParkSign, PinSign, Signs
from stitchview.chart.area import Area
from stitchview.chart.colour import Colour
from stitchview.done.differences import Added, Difference, NotWorked, OtherThread, Shifted
from tests.canvas.charts import Making, full_chart
from tests.canvas.stage import LOOKS, Stage

StageFor = Callable[..., Stage]

SIGNS = {
    "route": Signs(route=((8, 8), (9, 8), (9, 9))),
    "pin": Signs(pins=(PinSign((8, 8), "1"),)),
    "park": Signs(parks=(ParkSign((8, 8), Colour(200, 30, 30)),)),
    "tape": Signs(tape=((8, 8), (9, 9))),
    "found": Signs(found=(Area(8, 8, 2, 2),)),
    "shifted": Signs(differ=(sign_of(Shifted("s", 8, 8, 1, 2, 1, 0)),)),
    "other thread": Signs(differ=(sign_of(OtherThread("s", 8, 8, 2, 2, "", "", "a")),)),
    "left out": Signs(differ=(sign_of(NotWorked("s", 8, 8, 2, 2, "", "")),)),
    "added": Signs(differ=(sign_of(Added("s", 8, 8, 2, 2, "a")),)),
}


@pytest.mark.parametrize("pitch", [0.9, 3, 9, 18, 40])
@pytest.mark.parametrize("look", [0, 2, 8])
@pytest.mark.parametrize("name", SIGNS)
def test_a_sign_is_seen_at_its_squares_and_nowhere_else(
    stage_for: StageFor, name: str, look: int, pitch: float
) -> None:
    """A sign changes the picture near its own squares only, and taken away it leaves no trace."""
    stage = stage_for(full_chart(Making(23, 19, 6), bare=True), 300, 260)
    stage.look(look)
    stage.zoom(pitch, 0, 0)
    stage.canvas.centre_on(9, 9)
    plain = stage.shown_canvas()
    stage.canvas.set_signs(SIGNS[name])
    rows, columns = np.nonzero(stage.shown_canvas() != plain)
    assert len(rows) >= 6
    x, y, width, height = stage.canvas.view.pixels_of(Area(8, 8, 2, 2))
    reach = REACH_PIXELS + round(pitch)
    assert x - reach <= columns.min()
    assert columns.max() < x + width + reach
    assert y - reach <= rows.min()
    assert rows.max() < y + height + reach
    stage.canvas.set_signs(Signs())
    assert np.array_equal(stage.shown_canvas(), plain)


def test_signs_stay_on_their_squares_when_the_chart_is_moved(stage_for: StageFor) -> None:
    """Panned or marked under her hand, the window with signs shows what a fresh one would."""
    stage = stage_for(full_chart(Making(40, 31, 6)), 300, 260)
    stage.zoom(18, 0, 0)
    for number in range(len(LOOKS)):
        stage.look(number)
        stage.sign(5 + number, 7, 9)
        stage.turn()
        for step in (15, -7, 32):
            stage.pan(step, number - step)
            assert stage.difference() == ""
            stage.mark(number % 4, 9 * number + step, 3, 1)
            assert stage.difference() == ""


@pytest.mark.parametrize("pitch", [2, 5, 9, 18, 40])
def test_where_the_cloth_differs_fits_piece_by_piece(stage_for: StageFor, pitch: float) -> None:
    """Only what is new is drawn when she pans or marks, turned or not, just as a fresh window shows it."""
    stage = stage_for(full_chart(Making(40, 31, 6)), 300, 260)
    placed = [("s", column, row, 6, 4) for row in (3, 12, 21) for column in (2, 12, 22, 31)]
    kinds: list[Difference] = [Shifted(*placed[0], 1, -1), OtherThread(*placed[1], "", "", "a")]
    kinds.append(NotWorked(*placed[2], "", ""))
    kinds += [Shifted(*each, 2, 1) for each in placed[3:8]] + [Added(*each, "a") for each in placed[8:]]
    stage.zoom(pitch, 0, 0)
    stage.canvas.set_signs(Signs(differ=tuple(sign_of(each) for each in kinds)))
    for number in range(len(LOOKS)):
        stage.look(number)
        stage.turn()
        for step in (15, -7, 32):
            stage.pan(step, number - step)
            assert stage.difference() == ""
            stage.mark(number % 4, 9 * number + step, 3, 1)
            assert stage.difference() == ""


def test_signs_beyond_the_window_cost_nothing_else(stage_for: StageFor) -> None:
    """Signs on squares that are not in the window change nothing in it."""
    stage = stage_for(full_chart(Making(130, 131, 6), bare=True), 200, 150)
    stage.zoom(12, 0, 0)
    stage.canvas.centre_on(100, 100)
    plain = stage.shown()
    for signs in SIGNS.values():
        stage.canvas.set_signs(signs)
        assert np.array_equal(stage.shown(), plain)
